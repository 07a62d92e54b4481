drop trigger athlete_erased on athlete;
drop function mark_erased();
drop table erased;
alter table club drop column waiting_since;

delete from letter where kind in ('new_address', 'old_address');
alter table letter
  drop constraint letter_kind,
  drop constraint letter_to,
  add constraint letter_kind check (kind in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device',
    'weekly', 'weekly_now', 'at_once', 'decision', 'monday', 'gentle')),
  add constraint letter_to check (case kind
    when 'way_in' then address is null and num_nonnulls(coach_id, athlete_id) = 1
    when 'invitation' then num_nonnulls(coach_id, address) = 0 and num_nonnulls(athlete_id, by_coach) = 2
    when 'new_device' then num_nonnulls(athlete_id, address) = 0 and num_nonnulls(coach_id, login_id) = 2
    when 'weekly' then num_nonnulls(athlete_id, address) = 0 and num_nonnulls(coach_id, week) = 2
    when 'weekly_now' then num_nonnulls(athlete_id, address) = 0 and coach_id is not null
    when 'at_once' then address is null and num_nonnulls(coach_id, athlete_id) = 2
    when 'decision' then num_nonnulls(coach_id, address) = 0 and num_nonnulls(athlete_id, by_coach) = 2
    when 'monday' then num_nonnulls(coach_id, address) = 0 and athlete_id is not null
    when 'gentle' then num_nonnulls(coach_id, address) = 0 and athlete_id is not null
    else num_nonnulls(coach_id, athlete_id) = 0 and num_nonnulls(address, by_coach) = 2 end);
comment on column letter.address is 'Of somebody who is nobody here yet; for all others it is read when the letter is sent.';

alter table coach drop column email_at, drop column email_login;

delete from code where purpose = 'coach_email';
alter table code
  drop constraint code_purpose,
  drop constraint code_person,
  drop column email,
  add constraint code_purpose check (purpose in ('set_up', 'athlete', 'coach', 'coach_invite', 'deputy_invite')),
  add constraint code_person check (case purpose
    when 'set_up' then club_id = 0 and num_nonnulls(coach_id, athlete_id) = 0
    when 'athlete' then club_id > 0 and coach_id is null and athlete_id is not null
    when 'coach' then club_id > 0 and coach_id is not null and athlete_id is null
    else club_id > 0 and num_nonnulls(coach_id, athlete_id) = 0 end);
