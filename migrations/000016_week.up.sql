-- The whole week: what athletes and coaches want of it, groups that meet on fixed
-- days, and holidays. The week itself is laid out when it is read, and never kept.

create table run_group (
  club_id      bigint not null references club,
  run_group_id bigint not null generated always as identity,
  key          form_key not null,
  name         short_name not null,
  meets        smallint[] not null constraint run_group_meets check (
    cardinality(meets) = 7 and array_ndims(meets) = 1 and array_lower(meets, 1) = 1 and (0 <= all (meets)) is not false and (1439 >= all (meets)) is not false
    and cardinality(array_remove(meets, null)) > 0),
  version      integer not null default 1,
  primary key (club_id, run_group_id),
  constraint run_group_key_once unique (club_id, key)
);
comment on table run_group is 'Athletes who meet on fixed days.';
comment on column run_group.meets is 'When it meets, for each day from Monday on: minutes after midnight where the club is; null: not on that day.';
alter table run_group enable row level security;
alter table run_group force row level security;
create policy own on run_group using (club_id = (select current_club()));
grant select, insert, update (name, meets, version), delete on run_group to halfhour_app;

create table holiday (
  club_id    bigint not null references club,
  holiday_id bigint not null generated always as identity,
  key        form_key not null,
  name       short_name not null,
  first_day  date not null,
  last_day   date not null,
  primary key (club_id, holiday_id),
  constraint holiday_key_once unique (club_id, key),
  constraint holiday_to check (last_day >= first_day)
);
comment on table holiday is 'Dates on which nothing is planned for anybody in the club.';
alter table holiday enable row level security;
alter table holiday force row level security;
create policy own on holiday using (club_id = (select current_club()));
grant select, insert, delete on holiday to halfhour_app;

alter table athlete
  add column run_group_id  bigint,
  add column strength_week smallint not null default 0 constraint athlete_strength check (strength_week between 0 and 3),
  add column strength_legs smallint not null default 0 constraint athlete_legs check (strength_legs between 0 and strength_week),
  add column week_version  integer not null default 0,
  add constraint athlete_group foreign key (club_id, run_group_id) references run_group on delete set null (run_group_id);
comment on column athlete.strength_week is 'Sessions of strength in each week.';
comment on column athlete.strength_legs is 'How many of these are hard on the legs.';
comment on column athlete.week_version is 'Counts what was wished of the weeks, so that two at once do not overwrite each other.';
create index athlete_of_group on athlete (club_id, run_group_id) where run_group_id is not null;
grant update (run_group_id, strength_week, strength_legs, week_version) on athlete to halfhour_app;

create table pin (
  club_id    bigint not null,
  athlete_id bigint not null,
  pin_id     bigint not null generated always as identity,
  key        form_key not null,
  kind       text not null constraint pin_kind check (kind in ('run', 'strength', 'legs')),
  on_date    date,
  weekday    smallint constraint pin_weekday check (weekday between 1 and 7),
  part       text not null default '' constraint pin_part check (part in ('', 'morning', 'midday', 'evening')),
  by_coach   bigint,
  insist     boolean not null default false,
  from_date  date,
  made_at    timestamptz not null,
  made_on    date not null,
  lifted_at  timestamptz,
  lifted_on  date,
  undone_key form_key,
  primary key (club_id, pin_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach,
  constraint pin_key_once unique (club_id, athlete_id, key),
  constraint pin_day check (num_nonnulls(on_date, weekday) = 1),
  constraint pin_from check (from_date is null or on_date is not null and date_trunc('week', from_date) = date_trunc('week', on_date)),
  constraint pin_insist check (not insist or by_coach is not null),
  constraint pin_lifted check (num_nonnulls(lifted_at, lifted_on) in (0, 2) and lifted_at >= made_at),
  constraint pin_undone check (undone_key is null or lifted_at is not distinct from made_at)
);
comment on table pin is 'On which day you or your coach wanted a session of the week to be, since when, and until when that held.';
comment on column pin.kind is 'run: a session of the pathway, also where that is a walk; legs: strength that is hard on the legs.';
comment on column pin.weekday is 'For every week: Monday is 1.';
comment on column pin.part is 'Empty: any time of the day.';
comment on column pin.by_coach is 'Null: the athlete.';
comment on column pin.insist is 'It stays whatever rule gives way for it.';
comment on column pin.from_date is 'Where the session was before it was moved.';
comment on column pin.undone_key is 'Of a move that was taken back at once, as if it had not been made: what it was taken back with.';
create index pin_held on pin (club_id, coalesce(on_date, 'infinity')) where lifted_at is null;
create index pin_ended on pin (club_id, lifted_on) where lifted_at is not null;
alter table pin enable row level security;
alter table pin force row level security;
create policy own on pin using (club_id = (select current_club()));
grant select, insert, update (lifted_at, lifted_on, undone_key) on pin to halfhour_app;
grant select (club_id, athlete_id, pin_id), delete on pin to halfhour_keeper;
