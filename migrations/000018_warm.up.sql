-- Before and after a session, and the weather: what was typed of it, the club's
-- routines in versions, and whether somebody warmed up.

create table weather (
  club_id    bigint not null,
  weather_id bigint not null generated always as identity,
  athlete_id bigint,
  key        form_key not null,
  at         timestamptz not null,
  told_at    timestamptz not null,
  tenths     smallint not null constraint weather_tenths check (tenths between -400 and 500),
  humidity   smallint constraint weather_humidity check (humidity between 1 and 100),
  shade      boolean not null,
  by_coach   bigint,
  primary key (club_id, weather_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint weather_key_once unique nulls not distinct (club_id, athlete_id, key),
  constraint weather_mild check (humidity is not null or tenths < 100),
  constraint weather_by check (num_nonnulls(athlete_id, by_coach) = 1)
);
comment on table weather is 'The weather that you typed: temperature in tenths of a degree, humidity, shade, and the hour it is of. Kept for two weeks.';
comment on column weather.athlete_id is 'Who typed it for the own way; null: a coach, for the club.';
comment on column weather.at is 'The hour that it is of.';
create index weather_at on weather (club_id, athlete_id, at);
alter table weather enable row level security;
alter table weather force row level security;
create policy own on weather using (club_id = (select current_club()));
grant select, insert, delete on weather to halfhour_app;
grant select (club_id, athlete_id, weather_id), delete on weather to halfhour_keeper;

create domain movement_ids as text[] constraint movement_ids check (
  cardinality(value) between 1 and 14 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and array_position(value, null) is null
  and ('' <> all (value)) is not false and char_length(array_to_string(value, '')) <= 40 * cardinality(value));
create domain movement_counts as smallint[] constraint movement_counts check (
  cardinality(value) between 1 and 14 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and array_position(value, null) is null
  and (1 <= all (value)) is not false and (900 >= all (value)) is not false);

create table routine (
  club_id       bigint not null,
  routine_id    bigint not null generated always as identity,
  key           form_key not null,
  coach_id      bigint not null,
  at            timestamptz not null,
  before_moves  movement_ids not null,
  before_counts movement_counts not null,
  after_moves   movement_ids not null,
  after_counts  movement_counts not null,
  primary key (club_id, routine_id),
  foreign key (club_id, coach_id) references coach,
  constraint routine_key_once unique (club_id, key),
  constraint routine_before check (cardinality(before_moves) = cardinality(before_counts)),
  constraint routine_after check (cardinality(after_moves) = cardinality(after_counts))
);
comment on table routine is 'What the club does before and after a session. Each edit is a version, never changed again; the newest holds.';
alter table routine enable row level security;
alter table routine force row level security;
create policy own on routine using (club_id = (select current_club()));
grant select, insert on routine to halfhour_app;

create table movement (
  club_id     bigint not null,
  movement_id bigint not null generated always as identity,
  key         form_key not null,
  coach_id    bigint not null,
  at          timestamptz not null,
  away_at     timestamptz,
  name        text not null constraint movement_name check (char_length(name) between 1 and 60),
  kind        text not null constraint movement_kind check (kind in ('walk', 'release', 'dynamic', 'rhythm', 'cool_down')),
  how         text not null constraint movement_how check (char_length(how) between 1 and 300),
  sides       boolean not null,
  timed       boolean not null,
  usual       smallint not null constraint movement_usual check (usual between 1 and 900),
  loads       text[] not null constraint movement_loads check (loads <@ array['foot', 'ankle', 'Achilles', 'calf', 'shin', 'knee', 'thigh', 'hip', 'back',
    'shoulder', 'elbow', 'wrist', 'neck'] and array_position(loads, null) is null),
  on_back     boolean not null,
  on_front    boolean not null,
  strains     boolean not null,
  hops        boolean not null,
  primary key (club_id, movement_id),
  foreign key (club_id, coach_id) references coach,
  constraint movement_key_once unique (club_id, key)
);
comment on table movement is 'Movements that coaches of the club added to the library. One that was put away stays, for the versions that have it.';
comment on column movement.away_at is 'When it was put away; null: it can be chosen.';
alter table movement enable row level security;
alter table movement force row level security;
create policy own on movement using (club_id = (select current_club()));
grant select, insert, update (away_at) on movement to halfhour_app;

alter table athlete add column roller boolean not null default false;
comment on column athlete.roller is 'There is a roller, to release tissue with before a session.';
grant update (roller) on athlete to halfhour_app;

alter table session
  add column warm_up    text constraint session_warm_up check (warm_up in ('done', 'skipped')),
  add column cool_down  text constraint session_cool_down check (cool_down in ('done', 'skipped')),
  add column routine_id bigint,
  add constraint session_routine foreign key (club_id, routine_id) references routine (club_id, routine_id);
comment on column session.warm_up is 'Whether there was a warm-up; null: not told.';
comment on column session.cool_down is 'The same of the walk at the end.';
comment on column session.routine_id is 'The club''s routine when it was told; null: the one that everybody begins with, or not told.';
create index session_routine on session (club_id, routine_id) where routine_id is not null;
