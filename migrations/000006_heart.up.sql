-- Heart-rate evidence: recordings of sessions, and what was measured of somebody's
-- heart. What a recording shows of a session's blocks is written into the session;
-- here is the recording itself, with what was read in it and the ceilings it was
-- judged with, so that an old verdict stays to be understood.

create table recording (
  club_id      bigint not null,
  athlete_id   bigint not null,
  recording_id bigint not null generated always as identity,
  session_id   bigint not null,
  digest       bytea not null constraint recording_digest check (octet_length(digest) = 32),
  format       text not null constraint recording_format check (format in ('fit', 'gpx', 'csv', 'strap')),
  started_at   timestamptz,
  body         bytea not null constraint recording_body check (octet_length(body) between 1 and 1048576),
  reading      jsonb not null constraint recording_reading check (jsonb_typeof(reading) = 'object' and octet_length(reading::text) <= 2097152),
  peak         smallint constraint recording_peak check (peak between 1 and 250),
  easy_bpm     smallint,
  easy_sd      integer,
  easy_source  text,
  easy_formula text,
  hard_bpm     smallint,
  hard_sd      integer,
  hard_source  text,
  hard_formula text,
  rules        integer not null constraint recording_rules check (rules >= 0),
  read_at      timestamptz not null,
  added_at     timestamptz not null,
  by_coach     bigint,
  passed_over  boolean not null default false,
  primary key (club_id, recording_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, session_id) references session on delete cascade,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint recording_session_once unique (club_id, session_id),
  constraint recording_digest_once unique (club_id, athlete_id, digest),
  constraint recording_easy check (num_nonnulls(easy_bpm, easy_sd, easy_source) in (0, 3)
    and (easy_bpm between 30 and 230 and easy_sd between 0 and 50000 and easy_source in ('predicted', 'measured', 'reserve', 'talk_test')) is not false
    and (easy_formula is not null) = (easy_source is not null and easy_source = 'predicted')
    and (easy_formula in ('nes', 'fox', 'tanaka', 'gellish', 'gellish_quadratic', 'zhu')) is not false),
  constraint recording_hard check (num_nonnulls(hard_bpm, hard_sd, hard_source) in (0, 3)
    and (hard_bpm between 30 and 230 and hard_sd between 0 and 50000 and hard_source in ('predicted', 'measured', 'reserve', 'talk_test')) is not false
    and (hard_formula is not null) = (hard_source is not null and hard_source = 'predicted')
    and (hard_formula in ('nes', 'fox', 'tanaka', 'gellish', 'gellish_quadratic', 'zhu')) is not false)
);
-- The body is packed already; trying to make it smaller still is time lost.
alter table recording alter column body set storage external;
comment on table recording is 'The heart-rate recording of a session. It never holds a position.';
comment on column recording.digest is 'SHA-256 of the file, so that the same one is recognised.';
comment on column recording.started_at is 'Of its first sample; null where the file tells no date.';
comment on column recording.body is 'What the device wrote down, packed by internal/trace.';
comment on column recording.reading is 'What was read in it at read_at with these rules and ceilings.';
comment on column recording.peak is 'The highest heart rate held for ten seconds; null: none to be told.';
comment on column recording.easy_bpm is 'The easy ceiling it was judged with; null: there was none (rule 4.5).';
comment on column recording.easy_sd is 'Thousandths of a beat a minute (rule 4.3).';
comment on column recording.hard_bpm is 'The top of zone 2; null: not known.';
comment on column recording.by_coach is 'Null: added by the athlete.';
comment on column recording.passed_over is 'Its peak is not to be offered as a maximum.';

create table measurement (
  club_id        bigint not null,
  athlete_id     bigint not null,
  measurement_id bigint not null generated always as identity,
  key            form_key not null,
  on_date        date not null,
  kind           text not null constraint measurement_kind check (kind in ('talk_test', 'max', 'observed', 'resting')),
  bpm            smallint not null,
  stage_bpm      smallint[],
  stage_talk     text[],
  at             timestamptz not null,
  by_coach       bigint,
  primary key (club_id, measurement_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint measurement_key_once unique (club_id, athlete_id, key),
  constraint measurement_bpm check (case kind
    when 'resting' then bpm between 30 and 120
    when 'talk_test' then bpm between 60 and 220
    else bpm between 100 and 230 end),
  constraint measurement_stages check (case
    when kind = 'talk_test' then (cardinality(stage_bpm) between 1 and 20 and array_ndims(stage_bpm) = 1 and array_lower(stage_bpm, 1) = 1
      and cardinality(stage_talk) = cardinality(stage_bpm) and array_ndims(stage_talk) = 1 and array_lower(stage_talk, 1) = 1
      and (60 <= all (stage_bpm)) is not false and (220 >= all (stage_bpm)) is not false
      and array_position(stage_talk, null) is null and stage_talk <@ array['chat', 'sentence', 'words']) is true
    else num_nonnulls(stage_bpm, stage_talk) = 0 end)
);
comment on table measurement is 'Something measured of somebody''s heart; it holds from its date on (rule 4.5).';
comment on column measurement.bpm is 'Of a talk test that of the last comfortable stage.';
comment on column measurement.stage_bpm is 'The heart rate at the end of each stage of a talk test; an element is null where none was read.';
comment on column measurement.by_coach is 'Null: by the athlete.';

alter table athlete add column max_formula text not null default 'nes' constraint athlete_max_formula
  check (max_formula in ('nes', 'fox', 'tanaka', 'gellish', 'gellish_quadratic', 'zhu'));
comment on column athlete.max_formula is 'The formula of the predicted maximum heart rate (rule 4.2).';

alter table recording enable row level security;
alter table recording force row level security;
create policy own on recording using (club_id = (select current_club()));
alter table measurement enable row level security;
alter table measurement force row level security;
create policy own on measurement using (club_id = (select current_club()));

grant select, insert, delete, update (reading, peak, easy_bpm, easy_sd, easy_source, easy_formula, hard_bpm, hard_sd, hard_source, hard_formula,
  rules, read_at, passed_over) on recording to halfhour_app;
grant select, insert, delete on measurement to halfhour_app;
grant update (max_formula) on athlete to halfhour_app;
