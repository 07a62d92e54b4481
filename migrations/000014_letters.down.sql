drop function door_stop(text);
drop function door_letters(timestamptz, bigint, bigint, integer);
revoke select (zone) on club from halfhour_door;
revoke select (letter_on, letter_day, letter_hour, letter_next, mail_stop, mail_refused_at, left_at) on coach from halfhour_door;
alter table club drop column gentle_on, drop column gentle_words;
alter table athlete drop column mail_decisions, drop column mail_monday, drop column mail_gentle, drop column mail_stop;
alter table coach drop column letter_on, drop column letter_day, drop column letter_hour, drop column letter_news_only, drop column letter_all,
  drop column letter_detail, drop column at_once_on, drop column letter_next, drop column mail_stop, drop column mail_refused_at;
drop table letter_part;
alter table letter no force row level security;
delete from letter where kind not in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device') or dropped_for in ('moot', 'stopped');
alter table letter force row level security;
drop index letter_coach;
comment on column letter.coach_id is null;
alter table letter
  drop constraint letter_kind, drop constraint letter_to, drop constraint letter_dropped_for;
alter table letter
  drop column week, drop column session_id, drop column decision_id, drop column subject, drop column composed_at, drop column parts,
  add constraint letter_kind check (kind in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device')),
  add constraint letter_dropped_for check (dropped_for in ('refused', 'late', 'nobody')),
  add constraint letter_to check (num_nonnulls(coach_id, athlete_id, address) = 1 and case kind
    when 'way_in' then address is null
    when 'invitation' then athlete_id is not null and by_coach is not null
    when 'new_device' then coach_id is not null and login_id is not null
    else address is not null and by_coach is not null end);
comment on table letter is 'The mail that was sent to somebody in the last 30 days, or is to be: of which kind, when, and how it ended. What stood in it is not in here.';
