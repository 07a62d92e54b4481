-- Strength: an athlete's programme in versions, what there is to lift with, what was
-- done of each exercise, and the exercises that coaches of a club added. What is next
-- is worked out when it is read.

create domain exercise_ids as text[] constraint exercise_ids check (
  cardinality(value) <= 32 and (cardinality(value) = 0 or array_ndims(value) = 1 and array_lower(value, 1) = 1) and array_position(value, null) is null
  and ('' <> all (value)) is not false and char_length(array_to_string(value, '')) <= 60 * cardinality(value));
create domain slot_numbers as smallint[] constraint slot_numbers check (
  cardinality(value) <= 32 and (cardinality(value) = 0 or array_ndims(value) = 1 and array_lower(value, 1) = 1) and array_position(value, null) is null
  and (0 <= all (value)) is not false and (120 >= all (value)) is not false);

create table program (
  club_id    bigint not null,
  athlete_id bigint not null,
  program_id bigint not null generated always as identity,
  key        form_key not null,
  coach_id   bigint not null,
  at         timestamptz not null,
  a_week     smallint not null constraint program_a_week check (a_week between 1 and 3),
  names      text[] not null constraint program_names check (cardinality(names) <= 4 and array_position(names, null) is null
    and ('' <> all (names)) is not false and char_length(array_to_string(names, '')) <= 60 * cardinality(names)),
  sizes      slot_numbers not null,
  exercises  exercise_ids not null,
  patterns   text[] not null constraint program_patterns check (cardinality(patterns) <= 32 and array_position(patterns, null) is null
    and char_length(array_to_string(patterns, '')) <= 120 * cardinality(patterns)),
  sets       slot_numbers not null,
  low        slot_numbers not null,
  high       slot_numbers not null,
  reserve    slot_numbers not null,
  primary key (club_id, program_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, coach_id) references coach,
  constraint program_key_once unique (club_id, athlete_id, key),
  constraint program_slots check (cardinality(sizes) = cardinality(names) and cardinality(patterns) = cardinality(exercises)
    and cardinality(sets) = cardinality(exercises) and cardinality(low) = cardinality(exercises) and cardinality(high) = cardinality(exercises)
    and cardinality(reserve) = cardinality(exercises))
);
comment on table program is 'What you train for strength, as a coach gave it. Each change is a version, never changed again; the newest holds, and one without sessions ends it.';
comment on column program.names is 'The sessions, which take turns.';
comment on column program.sizes is 'How many of the exercises belong to each of the sessions, in their order.';
comment on column program.patterns is 'What may stand in each place, names with blanks between.';
comment on column program.low is 'Repetitions, or seconds, with high as the upper end.';
create index program_athlete on program (club_id, athlete_id, program_id desc);

create table kit (
  club_id    bigint not null,
  athlete_id bigint not null,
  has        text[] not null constraint kit_has check (has <@ array['dumbbells', 'band', 'bench', 'step'] and array_position(has, null) is null),
  weights    integer[] not null constraint kit_weights check (cardinality(weights) <= 60 and array_position(weights, null) is null
    and (100 <= all (weights)) is not false and (100000 >= all (weights)) is not false),
  least      integer not null,
  most       integer not null,
  step       integer not null,
  at         timestamptz not null,
  primary key (club_id, athlete_id),
  foreign key (club_id, athlete_id) references athlete,
  constraint kit_rack check (least between 0 and 100000 and most between 0 and 100000 and step between 0 and 100000)
);
comment on table kit is 'What you have for strength training: things, and dumbbells in grams, as a list or from the lightest to the heaviest by steps.';

create table lifted (
  club_id    bigint not null,
  athlete_id bigint not null,
  session_id bigint not null,
  turn       text not null default '' constraint lifted_turn check (char_length(turn) <= 60),
  exercises  exercise_ids not null,
  stood_for  exercise_ids not null,
  grams      integer[] not null constraint lifted_grams check (cardinality(grams) <= 32 and array_position(grams, null) is null
    and (0 <= all (grams)) is not false and (100000 >= all (grams)) is not false),
  reserve    smallint[] not null constraint lifted_reserve check (cardinality(reserve) <= 32 and (0 <= all (reserve)) is not false and (20 >= all (reserve)) is not false),
  sets       slot_numbers not null,
  counts     smallint[] not null constraint lifted_counts check (cardinality(counts) <= 192 and array_position(counts, null) is null
    and (1 <= all (counts)) is not false and (600 >= all (counts)) is not false),
  primary key (club_id, session_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, session_id) references session on delete cascade,
  constraint lifted_lists check (cardinality(stood_for) = cardinality(exercises) and cardinality(grams) = cardinality(exercises)
    and cardinality(reserve) = cardinality(exercises) and cardinality(sets) = cardinality(exercises))
);
comment on table lifted is 'What you did of each exercise in a strength session.';
comment on column lifted.turn is 'Which session of the programme it was; empty: none of it.';
comment on column lifted.stood_for is 'The exercise of the programme in whose place each was done.';
comment on column lifted.grams is 'Of one dumbbell; 0: none.';
comment on column lifted.reserve is 'Repetitions still left after the hardest set; null: not told.';
comment on column lifted.sets is 'How many of the counts belong to each of the exercises, in their order.';
comment on column lifted.counts is 'Repetitions of each set, or seconds.';
create index lifted_athlete on lifted (club_id, athlete_id);

create table exercise (
  club_id     bigint not null,
  exercise_id bigint not null generated always as identity,
  key         form_key not null,
  coach_id    bigint not null,
  at          timestamptz not null,
  away_at     timestamptz,
  name        text not null constraint exercise_name check (char_length(name) between 1 and 60),
  pattern     text not null constraint exercise_pattern check (pattern in ('squat', 'hinge', 'single_leg', 'pull', 'vertical_press', 'horizontal_press', 'core')),
  needs       text[] not null constraint exercise_needs check (needs <@ array['dumbbells', 'band', 'bench', 'step'] and array_position(needs, null) is null),
  measure     text not null constraint exercise_measure check (measure in ('weight', 'reps', 'hold')),
  sides       boolean not null,
  level       smallint not null constraint exercise_level check (level between 1 and 3),
  cues        text[] not null constraint exercise_cues check (cardinality(cues) between 1 and 6 and array_position(cues, null) is null
    and ('' <> all (cues)) is not false and char_length(array_to_string(cues, '')) <= 200 * cardinality(cues)),
  easier      text not null constraint exercise_easier check (char_length(easier) <= 200),
  harder      text not null constraint exercise_harder check (char_length(harder) <= 200),
  caution     text not null constraint exercise_caution check (char_length(caution) <= 200),
  loads       text[] not null constraint exercise_loads check (cardinality(loads) > 0 and loads <@ array['foot', 'ankle', 'Achilles', 'calf', 'shin', 'knee',
    'thigh', 'hip', 'back', 'shoulder', 'elbow', 'wrist', 'neck'] and array_position(loads, null) is null),
  hard        boolean not null,
  on_back     boolean not null,
  on_front    boolean not null,
  strains     boolean not null,
  hops        boolean not null,
  version     integer not null default 1,
  primary key (club_id, exercise_id),
  foreign key (club_id, coach_id) references coach,
  constraint exercise_key_once unique (club_id, key)
);
comment on table exercise is 'Exercises that coaches of the club added to the library. One that was put away stays, for what was done of it.';
comment on column exercise.away_at is 'When it was put away; null: it can be chosen.';

alter table program enable row level security;
alter table program force row level security;
create policy own on program using (club_id = (select current_club()));
alter table kit enable row level security;
alter table kit force row level security;
create policy own on kit using (club_id = (select current_club()));
alter table lifted enable row level security;
alter table lifted force row level security;
create policy own on lifted using (club_id = (select current_club()));
alter table exercise enable row level security;
alter table exercise force row level security;
create policy own on exercise using (club_id = (select current_club()));

grant select, insert on program to halfhour_app;
grant select, insert, update (has, weights, least, most, step, at) on kit to halfhour_app;
grant select, insert, update (exercises, stood_for, grams, reserve, sets, counts) on lifted to halfhour_app;
grant select, insert, update (away_at, name, pattern, needs, measure, sides, level, cues, easier, harder, caution, loads, hard, on_back, on_front,
  strains, hops, version) on exercise to halfhour_app;
grant select (club_id, athlete_id, program_id), delete on program to halfhour_keeper;
grant select (club_id, athlete_id), delete on kit to halfhour_keeper;
grant select (club_id, athlete_id), delete on lifted to halfhour_keeper;
