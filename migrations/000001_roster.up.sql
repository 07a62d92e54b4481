-- Clubs, coaches, pathways and athletes.
--
-- What holds for every table:
--   * club_id comes first in every primary key and in every foreign key between
--     clubs' rows; row security lets a session of the database see one club only,
--     the one in the setting halfhour.club. Without the setting it sees nothing.
--   * Club 0 is the doorstep: what is kept before anybody knows whose it is.
--   * A constraint about one column is named table_column, and that of a domain
--     after what it holds, so that the error can be shown at its field.
--   * What comes up often, and what a session holds, are domains: PostgreSQL reads
--     a table's own checks anew with every statement that writes to it, and
--     sessions are written all day. (A bounded repetition in a regular expression
--     is slow, too.)
--   * Two roles must exist before: halfhour_app, as which the program works, and
--     halfhour_door, which owns the functions that find a club for a secret.
--     The program makes both before it takes these steps.

create function current_club() returns bigint
  language sql stable parallel safe
  return nullif(current_setting('halfhour.club', true), '')::bigint;
comment on function current_club() is 'The one club that this transaction may see; null: none.';

create domain form_key   as text constraint key check (char_length(value) between 8 and 64 and value !~ '[^A-Za-z0-9_-]');
create domain short_name as text constraint name check (char_length(value) between 1 and 80);
create domain zone_name  as text constraint zone check (char_length(value) between 1 and 80);
create domain phase_name as text constraint phase check (char_length(value) between 1 and 81);
create domain long_text  as text constraint note check (char_length(value) <= 2000);
create domain hold       as text constraint held check (value in ('', 'paused', 'referred'));
comment on domain form_key is 'Made with a form or on a phone, so that what is sent twice is stored once.';
comment on domain phase_name is 'A phase of a pathway, or with a minus at its end the half step before it.';

-- Blocks are two columns and more: which are runs and which are walks, as a text of
-- r and w, and an array of seconds beside it.
create domain block_kinds    as text constraint blocks check (char_length(value) between 1 and 60 and translate(value, 'rw', '') = '');
create domain planned_blocks as smallint[] constraint planned_s check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and (1 <= all (value)) is not false and (7200 >= all (value)) is not false
  and array_position(value, null) is null);

create sequence club_number;

create table club (
  club_id bigint primary key default nextval('club_number'),
  name    short_name not null,
  zone    zone_name not null,
  demo    boolean not null default false,
  constraint club_id check (club_id > 0)
);

create table coach (
  club_id  bigint not null references club,
  coach_id bigint not null generated always as identity,
  name     short_name not null,
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
  name       short_name not null,
  version    integer not null constraint pathway_version check (version > 0),
  made_at    timestamptz not null default now(),
  primary key (club_id, pathway_id),
  constraint pathway_once unique (club_id, name, version)
);
comment on table pathway is 'One version of a pathway. It never changes: an edit makes a new version, and whoever began on the old one stays on it.';

create table phase (
  club_id    bigint not null,
  pathway_id bigint not null,
  place      smallint not null constraint phase_place check (place between 0 and 199),
  id         short_name not null constraint phase_id check (id not like '%-'),
  stage      text not null constraint phase_stage check (char_length(stage) <= 80),
  kinds      block_kinds not null,
  planned_s  planned_blocks not null,
  half_kinds block_kinds,
  half_s     planned_blocks,
  primary key (club_id, pathway_id, place),
  foreign key (club_id, pathway_id) references pathway,
  constraint phase_once unique (club_id, pathway_id, id),
  constraint phase_blocks check (cardinality(planned_s) = char_length(kinds)),
  constraint phase_half check (coalesce(cardinality(half_s), 0) = coalesce(char_length(half_kinds), 0))
);
comment on column phase.half_kinds is 'The phase''s own half step; null: computed from the phase below.';

create table athlete (
  club_id         bigint not null references club,
  athlete_id      bigint not null generated always as identity,
  key             form_key not null,
  name            short_name not null,
  email           text not null default '' constraint athlete_email check (octet_length(email) <= 254),
  birth_year      smallint constraint athlete_birth_year check (birth_year between 1900 and 2200),
  zone            zone_name not null,
  sessions_a_week smallint not null constraint athlete_sessions_a_week check (sessions_a_week between 2 and 6),
  heart_usable    boolean not null,
  pathway_id      bigint not null,
  phase           phase_name not null,
  phase_since     date not null,
  last_passed     text not null default '' constraint athlete_last_passed check (char_length(last_passed) <= 81),
  held            hold not null default '',
  held_since      date,
  cleared_on      date,
  cleared_at      timestamptz,
  injured_on      date,
  coach_word      long_text not null default '',
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
