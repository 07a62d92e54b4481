-- Letters that are kept as they were sent: the weekly one to coaches, and what coaches
-- and athletes hear in between; when each is due, and who wants which.

alter table letter
  drop constraint letter_kind,
  drop constraint letter_to,
  drop constraint letter_dropped_for,
  add column week        date constraint letter_week check (extract(isodow from week) = 1),
  add column session_id  bigint,
  add column decision_id bigint,
  add column subject     text constraint letter_subject check (char_length(subject) between 1 and 200),
  add column composed_at timestamptz,
  add column parts       smallint constraint letter_parts check (parts between 1 and 2000),
  add constraint letter_session foreign key (club_id, session_id) references session (club_id, session_id) on delete set null (session_id),
  add constraint letter_decision foreign key (club_id, decision_id) references decision (club_id, decision_id) on delete cascade,
  add constraint letter_kind check (kind in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device',
    'weekly', 'weekly_now', 'at_once', 'decision', 'monday', 'gentle')),
  add constraint letter_dropped_for check (dropped_for in ('refused', 'late', 'nobody', 'moot', 'stopped')),
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
    else num_nonnulls(coach_id, athlete_id) = 0 and num_nonnulls(address, by_coach) = 2 end),
  add constraint letter_composed check (num_nonnulls(subject, composed_at, parts) in (0, 3));
comment on table letter is 'The mail that was sent to somebody, or is to be: of which kind, when, and how it ended. The weekly letters of coaches are kept for a year, all others for 30 days.';
comment on column letter.coach_id is 'To whom; with at_once, athlete_id is whom it is about.';
comment on column letter.week is 'Of a weekly letter: the Monday of its week where the club is.';
comment on column letter.parts is 'Of how many parts it was made. A letter that has fewer now told of somebody who was erased.';
create unique index letter_week_once on letter (club_id, coach_id, week) where kind = 'weekly';
create index letter_coach on letter (club_id, coach_id, made_at) where kind in ('weekly', 'weekly_now');
create index letter_session on letter (club_id, session_id) where session_id is not null;
create index letter_decision on letter (club_id, decision_id) where decision_id is not null;
grant update (subject, composed_at, parts) on letter to halfhour_app;

create table letter_part (
  club_id    bigint not null,
  letter_id  bigint not null,
  place      smallint not null constraint letter_part_place check (place between 1 and 2000),
  athlete_id bigint,
  plain      text not null,
  html       text not null,
  primary key (club_id, letter_id, place),
  foreign key (club_id, letter_id) references letter on delete cascade,
  foreign key (club_id, athlete_id) references athlete on delete cascade
);
comment on table letter_part is 'Letters that are kept as they were sent, in parts: what stood about you in letters to coaches, and what stood in letters to you.';
comment on column letter_part.athlete_id is 'Whom the part is about, so that it goes with whom it is about; null: nobody.';
create index letter_part_athlete on letter_part (club_id, athlete_id) where athlete_id is not null;
alter table letter_part enable row level security;
alter table letter_part force row level security;
create policy own on letter_part using (club_id = (select current_club()));
grant select, insert on letter_part to halfhour_app;
grant select (club_id, athlete_id), delete on letter_part to halfhour_keeper;

-- What each coach wants, and when the next weekly letter is due.
alter table coach
  add column letter_on        boolean not null default true,
  add column letter_day       smallint not null default 7 constraint coach_letter_day check (letter_day between 1 and 7),
  add column letter_hour      smallint not null default 18 constraint coach_letter_hour check (letter_hour between 0 and 23),
  add column letter_news_only boolean not null default false,
  add column letter_all       boolean not null default false,
  add column letter_detail    text not null default 'initials' constraint coach_letter_detail check (letter_detail in ('initials', 'names', 'reasons')),
  add column at_once_on       boolean not null default true,
  add column letter_next      timestamptz,
  add column mail_stop        text not null default replace(gen_random_uuid()::text, '-', ''),
  add column mail_refused_at  timestamptz,
  add constraint coach_mail_stop_once unique (mail_stop);
comment on column coach.letter_day is 'The day of the week on which the weekly letter is written: Monday is 1.';
comment on column coach.letter_hour is 'The hour of that day, where the club is.';
comment on column coach.letter_next is 'When the next one is due; null: to be worked out anew.';
comment on column coach.mail_stop is 'The secret in the address that stops mail: whoever got one of the letters has it.';
comment on column coach.mail_refused_at is 'When a mail server last refused the address; nothing once it takes a letter, or the address is another.';
create index coach_letter_due on coach (coalesce(letter_next, '-infinity')) where letter_on and left_at is null and mail_refused_at is null;
grant update (letter_on, letter_day, letter_hour, letter_news_only, letter_all, letter_detail, at_once_on, letter_next, mail_refused_at) on coach to halfhour_app;

alter table athlete
  add column mail_decisions boolean not null default true,
  add column mail_monday    boolean not null default false,
  add column mail_gentle    boolean not null default true,
  add column mail_stop      text not null default replace(gen_random_uuid()::text, '-', ''),
  add constraint athlete_mail_stop_once unique (mail_stop);
comment on column athlete.mail_monday is 'Wants a note of the week''s sessions on Mondays.';
comment on column athlete.mail_gentle is 'May be written to after silence.';
comment on column athlete.mail_stop is 'The secret in the address that stops mail: whoever got one of the letters has it.';
grant update (mail_decisions, mail_monday, mail_gentle) on athlete to halfhour_app;

alter table club
  add column gentle_on    boolean not null default false,
  add column gentle_words long_text not null default '';
comment on column club.gentle_on is 'Athletes are written to when nothing was heard of them for a while.';
comment on column club.gentle_words is 'The words of that letter; empty: those that Halfhour brings.';
grant update (gentle_on, gentle_words) on club to halfhour_app;

-- Doors: to whom a weekly letter may be due, in whichever club, and whose mail a
-- secret stops.
grant select (letter_on, letter_day, letter_hour, letter_next, mail_stop, mail_refused_at, left_at) on coach to halfhour_door;
grant select (mail_stop) on athlete to halfhour_door;
grant select (zone) on club to halfhour_door;

create function door_letters(until timestamptz, after_club bigint, after_coach bigint, most integer)
  returns table (club_id bigint, coach_id bigint, zone text, day smallint, hour smallint, next timestamptz)
  language sql stable security definer set search_path = public, pg_temp
  as $$
  select c.club_id, c.coach_id, k.zone::text, c.letter_day, c.letter_hour, c.letter_next
  from coach c join club k on k.club_id = c.club_id
  where c.letter_on and c.left_at is null and c.mail_refused_at is null and coalesce(c.letter_next, '-infinity') <= until
    and (c.club_id, c.coach_id) > (after_club, after_coach)
  order by c.club_id, c.coach_id limit most
$$;
create function door_stop(secret text) returns table (club_id bigint, coach_id bigint, athlete_id bigint)
  language sql stable security definer set search_path = public, pg_temp
  as $$
  select c.club_id, c.coach_id, null::bigint from coach c where c.mail_stop = secret and c.left_at is null
  union all
  select a.club_id, null::bigint, a.athlete_id from athlete a where a.mail_stop = secret and a.left_at is null
$$;
revoke execute on function door_letters(timestamptz, bigint, bigint, integer), door_stop(text) from public;
grant execute on function door_letters(timestamptz, bigint, bigint, integer), door_stop(text) to halfhour_app;
grant create on schema public to halfhour_door;
alter function door_letters(timestamptz, bigint, bigint, integer) owner to halfhour_door;
alter function door_stop(text) owner to halfhour_door;
revoke create on schema public from halfhour_door;
