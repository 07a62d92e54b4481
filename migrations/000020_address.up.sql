-- A coach's own e-mail address can be changed: a one-time code goes to the new one, and
-- the old one is told. And who was erased is known again, without being known: so that a
-- copy of the database that is brought back does not bring them back. Those who were
-- invited and never began are not kept for ever.

alter table code
  add column email text constraint code_email check (email = lower(email) and octet_length(email) between 3 and 254 and position('@' in email) > 1),
  drop constraint code_purpose,
  drop constraint code_person,
  add constraint code_purpose check (purpose in ('set_up', 'athlete', 'coach', 'coach_invite', 'deputy_invite', 'coach_email')),
  add constraint code_person check (case purpose
    when 'set_up' then club_id = 0 and num_nonnulls(coach_id, athlete_id, email) = 0
    when 'athlete' then club_id > 0 and num_nonnulls(coach_id, email) = 0 and athlete_id is not null
    when 'coach' then club_id > 0 and coach_id is not null and num_nonnulls(athlete_id, email) = 0
    when 'coach_email' then club_id > 0 and coach_id is not null and athlete_id is null
    else club_id > 0 and num_nonnulls(coach_id, athlete_id, email) = 0 end);
comment on column code.email is 'The new address that a coach confirms with it; null again once it was used or is long over.';
grant update (email) on code to halfhour_app;

alter table coach
  add column email_at    timestamptz,
  add column email_login bigint,
  add constraint coach_email_at check (num_nonnulls(email_at, email_login) in (0, 2));
comment on column coach.email_at is 'When the coach changed the address, until that was seen on another login; null: never, or it was seen.';
comment on column coach.email_login is 'The login that changed it.';
grant update (email_at, email_login) on coach to halfhour_app;

alter table letter
  drop constraint letter_kind,
  drop constraint letter_to,
  add constraint letter_kind check (kind in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device',
    'new_address', 'old_address', 'weekly', 'weekly_now', 'at_once', 'decision', 'monday', 'gentle')),
  add constraint letter_to check (case kind
    when 'way_in' then address is null and num_nonnulls(coach_id, athlete_id) = 1
    when 'invitation' then num_nonnulls(coach_id, address) = 0 and num_nonnulls(athlete_id, by_coach) = 2
    when 'new_device' then num_nonnulls(athlete_id, address) = 0 and num_nonnulls(coach_id, login_id) = 2
    when 'new_address' then athlete_id is null and num_nonnulls(coach_id, address) = 2
    when 'old_address' then athlete_id is null and num_nonnulls(coach_id, address) = 2
    when 'weekly' then num_nonnulls(athlete_id, address) = 0 and num_nonnulls(coach_id, week) = 2
    when 'weekly_now' then num_nonnulls(athlete_id, address) = 0 and coach_id is not null
    when 'at_once' then address is null and num_nonnulls(coach_id, athlete_id) = 2
    when 'decision' then num_nonnulls(coach_id, address) = 0 and num_nonnulls(athlete_id, by_coach) = 2
    when 'monday' then num_nonnulls(coach_id, address) = 0 and athlete_id is not null
    when 'gentle' then num_nonnulls(coach_id, address) = 0 and athlete_id is not null
    else num_nonnulls(coach_id, athlete_id) = 0 and num_nonnulls(address, by_coach) = 2 end);
comment on column letter.address is 'Of somebody who is nobody here yet, or a coach''s address before it counts or after; for all others it is read when the letter is sent.';

create table erased (
  club_id   bigint not null references club,
  mark      bytea not null constraint erased_mark check (octet_length(mark) = 32),
  erased_on date not null,
  primary key (club_id, mark)
);
comment on column erased.mark is 'SHA-256 of a random secret that was erased with the person: it says nothing of anybody, but knows them again in a copy.';
comment on column erased.erased_on is 'In UTC.';
alter table erased enable row level security;
alter table erased force row level security;
create policy own on erased using (club_id = (select current_club()));
grant select on erased to halfhour_app;
grant insert on erased to halfhour_keeper;

-- Who was invited and never began is erased after some time, and not before it could be
-- announced.
alter table club add column waiting_since timestamptz not null default now();
comment on column club.waiting_since is 'Since when it holds for the club that those are erased who never began.';

-- Whoever is erased leaves the mark, in the same transaction.
create function mark_erased() returns trigger
  language plpgsql set search_path = public, pg_temp
  as $$
begin
  insert into erased (club_id, mark, erased_on)
    values (old.club_id, sha256(convert_to(old.mail_stop, 'UTF8')), (now() at time zone 'UTC')::date)
    on conflict do nothing;
  return null;
end $$;
create trigger athlete_erased after delete on athlete for each row execute function mark_erased();
