-- Calendars elsewhere: a secret address for each athlete and coach who wants one, and
-- what stood in each calendar when it was fetched last, so that a session that moved
-- is the same one there.

create table calendar (
  club_id     bigint not null references club,
  calendar_id bigint not null generated always as identity,
  athlete_id  bigint,
  coach_id    bigint,
  name        text not null default replace(gen_random_uuid()::text, '-', ''),
  fetched_on  date,
  primary key (club_id, calendar_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, coach_id) references coach,
  constraint calendar_athlete_once unique (club_id, athlete_id),
  constraint calendar_coach_once unique (club_id, coach_id),
  constraint calendar_of check (num_nonnulls(athlete_id, coach_id) = 1)
);
comment on table calendar is 'That you made a private address at which calendar programs fetch your sessions, at some time.';
comment on column calendar.name is 'What the names of its events end with, so that they are unlike any others in the world.';
comment on column calendar.fetched_on is 'The date, in UTC, on which a program fetched it last; null: none has.';

create table calendar_address (
  club_id     bigint not null,
  calendar_id bigint not null,
  athlete_id  bigint,
  hash        bytea not null constraint calendar_address_hash check (octet_length(hash) = 32),
  made_at     timestamptz not null,
  primary key (club_id, calendar_id),
  foreign key (club_id, calendar_id) references calendar on delete cascade,
  foreign key (club_id, athlete_id) references athlete,
  constraint calendar_address_once unique (hash)
);
comment on table calendar_address is 'When the address that opens your calendar elsewhere now was made. One that is made anew or taken away is removed, so that it opens nothing at once.';
comment on column calendar_address.athlete_id is 'Null: it is a coach''s.';
create index calendar_address_athlete on calendar_address (club_id, athlete_id) where athlete_id is not null;
comment on column calendar_address.hash is 'SHA-256 of the secret in the address.';

create table calendar_event (
  club_id     bigint not null,
  calendar_id bigint not null,
  slot        text not null constraint calendar_event_slot check (char_length(slot) between 1 and 60),
  athlete_id  bigint,
  week        date not null constraint calendar_event_week check (extract(isodow from week) = 1),
  kind        text not null constraint calendar_event_kind check (char_length(kind) between 1 and 30),
  on_date     date not null,
  starts_at   timestamptz,
  minutes     smallint not null constraint calendar_event_minutes check (minutes between 1 and 1440),
  words       text not null constraint calendar_event_words check (char_length(words) = 64),
  state       text not null constraint calendar_event_state check (state in ('on', 'off', 'gone')),
  sequence    integer not null constraint calendar_event_sequence check (sequence >= 0),
  changed_at  timestamptz not null,
  primary key (club_id, calendar_id, slot),
  foreign key (club_id, calendar_id) references calendar on delete cascade,
  foreign key (club_id, athlete_id) references athlete,
  constraint calendar_event_in_week check (on_date between week and week + 6)
);
comment on table calendar_event is 'What your calendar elsewhere was told last: sessions of some weeks, when they are, and how often that changed.';
comment on column calendar_event.slot is 'What the event''s name begins with: it stays whatever is changed.';
comment on column calendar_event.athlete_id is 'Null: it is in a coach''s calendar.';
comment on column calendar_event.starts_at is 'Null: at any time of the day.';
comment on column calendar_event.words is 'SHA-256 of its words, to see whether they changed.';
comment on column calendar_event.state is 'off: called off, and shown struck out; gone: not shown.';
create index calendar_event_athlete on calendar_event (club_id, athlete_id) where athlete_id is not null;

alter table calendar enable row level security;
alter table calendar force row level security;
create policy own on calendar using (club_id = (select current_club()));
alter table calendar_address enable row level security;
alter table calendar_address force row level security;
create policy own on calendar_address using (club_id = (select current_club()));
alter table calendar_event enable row level security;
alter table calendar_event force row level security;
create policy own on calendar_event using (club_id = (select current_club()));

grant select, insert, update (fetched_on) on calendar to halfhour_app;
grant select, insert, delete on calendar_address to halfhour_app;
grant select, insert, update (on_date, starts_at, minutes, words, state, sequence, changed_at), delete on calendar_event to halfhour_app;
grant select (club_id, athlete_id, calendar_id), delete on calendar to halfhour_keeper;
grant select (club_id, athlete_id), delete on calendar_address to halfhour_keeper;
grant select (club_id, athlete_id), delete on calendar_event to halfhour_keeper;

-- The door by which a calendar program comes in of which only the secret is known.
create policy door on calendar_address for select to halfhour_door using (true);
grant select (club_id, hash) on calendar_address to halfhour_door;
create function door_calendar(secret bytea) returns bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select c.club_id from calendar_address c where c.hash = secret $$;
revoke execute on function door_calendar(bytea) from public;
grant execute on function door_calendar(bytea) to halfhour_app;
grant create on schema public to halfhour_door;
alter function door_calendar(bytea) owner to halfhour_door;
revoke create on schema public from halfhour_door;
