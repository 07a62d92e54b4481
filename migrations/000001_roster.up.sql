-- Clubs, coaches, pathways and athletes.
--
-- What holds for every table:
--   * club_id comes first in every primary key and in every foreign key between
--     clubs' rows; row security lets a session of the database see one club only,
--     the one in the setting halfhour.club. Without the setting it sees nothing.
--   * Club 0 is the doorstep: what is kept before anybody knows whose it is.
--   * A constraint about one column is named table_column, so that the error can
--     be shown at its field.
--   * Two roles must exist before: halfhour_app, as which the program works, and
--     halfhour_door, which owns the functions that find a club for a secret.
--     The program makes both before it takes these steps.

create function current_club() returns bigint
  language sql stable parallel safe
  return nullif(current_setting('halfhour.club', true), '')::bigint;
comment on function current_club() is 'The one club that this transaction may see; null: none.';

create sequence club_number;

create table club (
  club_id bigint primary key default nextval('club_number'),
  name    text not null constraint club_name check (char_length(name) between 1 and 80),
  zone    text not null constraint club_zone check (zone <> '' and char_length(zone) <= 80),
  demo    boolean not null default false,
  constraint club_id check (club_id > 0)
);

create table coach (
  club_id  bigint not null references club,
  coach_id bigint not null generated always as identity,
  name     text not null constraint coach_name check (char_length(name) between 1 and 80),
  email    text not null constraint coach_email check (email = lower(email) and octet_length(email) between 3 and 254 and position('@' in email) > 1),
  password text not null default '',
  owner    boolean not null default false,
  primary key (club_id, coach_id),
  constraint coach_email_once unique (email)
);
comment on column coach.password is 'argon2id hash as a PHC string; empty: none was set.';
comment on constraint coach_email_once on coach is 'One address signs in to one club.';

create table pathway (
  club_id    bigint not null references club,
  pathway_id bigint not null generated always as identity,
  name       text not null constraint pathway_name check (char_length(name) between 1 and 80),
  version    integer not null constraint pathway_version check (version > 0),
  made_at    timestamptz not null default now(),
  primary key (club_id, pathway_id),
  constraint pathway_once unique (club_id, name, version)
);
comment on table pathway is 'One version of a pathway. It never changes: an edit makes a new version, and whoever began on the old one stays on it.';

-- Blocks of a plan are two columns: which are runs and which are walks, as a text
-- of r and w, and the seconds of each.
create table phase (
  club_id    bigint not null,
  pathway_id bigint not null,
  place      smallint not null constraint phase_place check (place between 0 and 199),
  id         text not null constraint phase_id check (char_length(id) between 1 and 80 and id not like '%-'),
  stage      text not null constraint phase_stage check (char_length(stage) <= 80),
  kinds      text not null constraint phase_kinds check (kinds ~ '^[rw]{1,60}$'),
  planned_s  smallint[] not null,
  half_kinds text constraint phase_half_kinds check (half_kinds ~ '^[rw]{1,60}$'),
  half_s     smallint[],
  primary key (club_id, pathway_id, place),
  foreign key (club_id, pathway_id) references pathway,
  constraint phase_once unique (club_id, pathway_id, id),
  constraint phase_planned_s check (
    array_ndims(planned_s) = 1 and array_lower(planned_s, 1) = 1 and cardinality(planned_s) = char_length(kinds)
    and (1 <= all (planned_s)) is true and (7200 >= all (planned_s)) is true),
  constraint phase_half_s check (
    (half_kinds is null) = (half_s is null)
    and (half_s is null or array_ndims(half_s) = 1 and array_lower(half_s, 1) = 1
      and cardinality(half_s) = char_length(half_kinds)
      and (1 <= all (half_s)) is true and (7200 >= all (half_s)) is true))
);
comment on column phase.half_kinds is 'The phase''s own half step; null: computed from the phase below.';

create table athlete (
  club_id         bigint not null references club,
  athlete_id      bigint not null generated always as identity,
  key             text not null constraint athlete_key check (key ~ '^[A-Za-z0-9_-]{8,64}$'),
  name            text not null constraint athlete_name check (char_length(name) between 1 and 80),
  email           text not null default '' constraint athlete_email check (octet_length(email) <= 254),
  birth_year      smallint constraint athlete_birth_year check (birth_year between 1900 and 2200),
  zone            text not null constraint athlete_zone check (zone <> '' and char_length(zone) <= 80),
  sessions_a_week smallint not null constraint athlete_sessions_a_week check (sessions_a_week between 2 and 6),
  heart_usable    boolean not null,
  pathway_id      bigint not null,
  phase           text not null constraint athlete_phase check (char_length(phase) between 1 and 81),
  phase_since     date not null,
  last_passed     text not null default '' constraint athlete_last_passed check (char_length(last_passed) <= 81),
  held            text not null default '' constraint athlete_held check (held in ('', 'paused', 'referred')),
  held_since      date,
  cleared_on      date,
  cleared_at      timestamptz,
  injured_on      date,
  coach_word      text not null default '' constraint athlete_coach_word check (char_length(coach_word) <= 2000),
  joined_on       date not null,
  left_at         timestamptz,
  version         integer not null default 1,
  primary key (club_id, athlete_id),
  foreign key (club_id, pathway_id) references pathway,
  constraint athlete_key_once unique (club_id, key)
);

alter table club enable row level security;
alter table club force row level security;
create policy own on club using (club_id = (select current_club()));
alter table coach enable row level security;
alter table coach force row level security;
create policy own on coach using (club_id = (select current_club()));
alter table pathway enable row level security;
alter table pathway force row level security;
create policy own on pathway using (club_id = (select current_club()));
alter table phase enable row level security;
alter table phase force row level security;
create policy own on phase using (club_id = (select current_club()));
alter table athlete enable row level security;
alter table athlete force row level security;
create policy own on athlete using (club_id = (select current_club()));

grant usage on sequence club_number to halfhour_app;
grant select, insert on club, pathway, phase to halfhour_app;
grant select, insert, update (password) on coach to halfhour_app;
grant select, insert on athlete to halfhour_app;
grant update (name, email, birth_year, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since, last_passed, held,
  held_since, cleared_on, cleared_at, injured_on, coach_word, left_at, version) on athlete to halfhour_app;
