-- Sessions, times away and notes.
--
-- A session's blocks live in its own row, as arrays side by side: the i-th letter
-- of block_kinds (r or w) goes with the i-th element of each array. A null column
-- means that nothing of the sort was given: no blocks, no tap, no recording, no
-- pain, no sign.

-- sound_blocks holds the arrays of one session against the ranges of the rule
-- book, block by block, and against the two sums kept beside them.
create function sound_blocks(kinds text, planned smallint[], done smallint[], settle smallint[],
  valid smallint[], heart smallint[], low smallint[], high smallint[], ran integer, walked integer) returns boolean
  language plpgsql immutable parallel safe as $$
declare
  runs  integer := 0;
  walks integer := 0;
begin
  for i in 1 .. char_length(kinds) loop
    if not coalesce(planned[i] between 1 and 7200 and done[i] between 0 and 14400, false) then
      return false;
    end if;
    if substr(kinds, i, 1) = 'r' then
      runs := runs + done[i];
      if settle[i] is not null then
        return false;
      end if;
    else
      walks := walks + done[i];
      if settle[i] not between 0 and done[i] then
        return false;
      end if;
    end if;
  end loop;
  if runs <> ran or walks <> walked then
    return false;
  end if;
  if valid is null and heart is null and low is null and high is null then
    return true;
  end if;
  for i in 1 .. char_length(kinds) loop
    if (valid[i] is null) <> (heart[i] is null) or valid[i] is null and (low[i] is not null or high[i] is not null)
      or valid[i] not between 0 and done[i] or heart[i] not between 0 and valid[i]
      or low[i] not between 0 and valid[i] or high[i] not between 0 and valid[i] then
      return false;
    end if;
    if substr(kinds, i, 1) = 'w' and (low[i] > heart[i] or heart[i] > high[i])
      or substr(kinds, i, 1) = 'r' and (high[i] > heart[i] or heart[i] > low[i]) then
      return false;
    end if;
  end loop;
  return true;
end $$;

create table session (
  club_id         bigint not null,
  athlete_id      bigint not null,
  session_id      bigint not null generated always as identity,
  key             text not null constraint session_key check (key ~ '^[A-Za-z0-9_-]{8,64}$'),
  started_at      timestamptz not null,
  date            date not null,
  kind            text not null constraint session_kind check (kind in ('planned', 'extra', 'strength', 'other')),
  phase           text constraint session_phase check (char_length(phase) between 1 and 81),
  outcome         text constraint session_outcome check (outcome in ('in_full', 'shortened', 'stopped_for_pain', 'missed', 'called_off')),
  minutes         smallint constraint session_minutes check (minutes between 0 and 600),
  planned_minutes smallint constraint session_planned_minutes check (planned_minutes between 0 and 600),
  effort          smallint constraint session_effort check (effort between 0 and 10),
  talk            text constraint session_talk check (talk in ('chat', 'sentence', 'words')),
  breath          text constraint session_breath check (breath in ('early', 'half', 'late')),
  hot             boolean not null,
  limp            boolean not null,
  block_kinds     text constraint session_block_kinds check (block_kinds ~ '^[rw]{1,60}$'),
  planned_s       smallint[],
  done_s          smallint[],
  settle_s        smallint[],
  valid_s         smallint[],
  heart_s         smallint[],
  heart_low_s     smallint[],
  heart_high_s    smallint[],
  ran_s           integer,
  walked_s        integer,
  pain_asked      boolean not null,
  pain_site       text[],
  pain_score      smallint[],
  pain_morning    smallint[],
  signs           text[],
  note            text not null default '' constraint session_note check (char_length(note) <= 2000),
  logged_at       timestamptz not null,
  changed_at      timestamptz,
  by_coach        bigint,
  version         integer not null default 1,

  -- What the look-back searches for. Each says a little more rather than less:
  -- the rules themselves are asked of the session, these only find it.
  aching  boolean not null generated always as (coalesce(3 <= any (pain_score), false) or coalesce(3 <= any (pain_morning), false)) stored,
  exposed boolean not null generated always as (kind = 'planned' and coalesce(outcome = 'stopped_for_pain'
    or case when block_kinds is null then outcome in ('in_full', 'shortened')
       else ran_s + walked_s > 0 and coalesce(outcome <> 'called_off', true) end, false)) stored,
  loaded  boolean not null generated always as (coalesce(effort, 1) > 0 and coalesce(minutes > 0, ran_s + walked_s >= 30, false)) stored,
  ran     boolean not null generated always as (coalesce(case kind
    when 'planned' then case
      when block_kinds is null then outcome = 'in_full' or coalesce(minutes, 0) > 0 and coalesce(outcome <> 'missed', true)
      when block_kinds like '%r%' then ran_s > 0
      else walked_s > 0 end
    when 'extra' then ran_s > 0
    else false end, false)) stored,
  strolled boolean not null generated always as (kind = 'extra' and coalesce(ran_s, 0) = 0 and (coalesce(walked_s, 0) > 0 or coalesce(minutes, 0) > 0)) stored,
  in_a_row boolean not null default false,
  stops   boolean not null generated always as (limp or signs is not null or in_a_row or kind = 'planned' and coalesce(outcome = 'stopped_for_pain', false)
    or coalesce(6 <= any (pain_score), false) or coalesce(6 <= any (pain_morning), false)) stored,

  primary key (club_id, session_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint session_key_once unique (club_id, athlete_id, key),
  constraint session_once unique (club_id, athlete_id, started_at, kind),
  constraint session_date check (abs(date - (started_at at time zone 'UTC')::date) <= 2),
  constraint session_length check (minutes is not null or block_kinds is not null
    or kind = 'planned' and coalesce(outcome in ('missed', 'called_off'), false)),
  constraint session_stated check (kind <> 'planned' or block_kinds is not null or outcome is not null),
  constraint session_known check (not exposed or phase is not null),
  constraint session_blocks check (case when block_kinds is null
    then num_nonnulls(planned_s, done_s, settle_s, valid_s, heart_s, heart_low_s, heart_high_s, ran_s, walked_s) = 0
    else num_nulls(planned_s, done_s, ran_s, walked_s) = 0
      and array_ndims(planned_s) = 1 and array_lower(planned_s, 1) = 1 and cardinality(planned_s) = char_length(block_kinds)
      and array_ndims(done_s) = 1 and array_lower(done_s, 1) = 1 and cardinality(done_s) = char_length(block_kinds)
      and (settle_s is null or array_ndims(settle_s) = 1 and array_lower(settle_s, 1) = 1 and cardinality(settle_s) = char_length(block_kinds))
      and (valid_s is null or array_ndims(valid_s) = 1 and array_lower(valid_s, 1) = 1 and cardinality(valid_s) = char_length(block_kinds))
      and (heart_s is null or array_ndims(heart_s) = 1 and array_lower(heart_s, 1) = 1 and cardinality(heart_s) = char_length(block_kinds))
      and (heart_low_s is null or array_ndims(heart_low_s) = 1 and array_lower(heart_low_s, 1) = 1 and cardinality(heart_low_s) = char_length(block_kinds))
      and (heart_high_s is null or array_ndims(heart_high_s) = 1 and array_lower(heart_high_s, 1) = 1 and cardinality(heart_high_s) = char_length(block_kinds))
      and sound_blocks(block_kinds, planned_s, done_s, settle_s, valid_s, heart_s, heart_low_s, heart_high_s, ran_s, walked_s) end),
  constraint session_pain check (num_nulls(pain_site, pain_score, pain_morning) = 3
    or num_nulls(pain_site, pain_score, pain_morning) = 0 and pain_asked
      and array_ndims(pain_site) = 1 and array_lower(pain_site, 1) = 1 and cardinality(pain_site) between 1 and 12
      and ('' <> all (pain_site)) is true and char_length(array_to_string(pain_site, '')) <= 80 * cardinality(pain_site)
      and array_ndims(pain_score) = 1 and array_lower(pain_score, 1) = 1 and cardinality(pain_score) = cardinality(pain_site)
      and (0 <= all (pain_score)) is true and (10 >= all (pain_score)) is true
      and array_ndims(pain_morning) = 1 and array_lower(pain_morning, 1) = 1 and cardinality(pain_morning) = cardinality(pain_site)
      and coalesce(0 <= all (pain_morning), true) and coalesce(10 >= all (pain_morning), true)),
  constraint session_signs check (signs is null or array_ndims(signs) = 1 and array_lower(signs, 1) = 1 and cardinality(signs) <= 11
    and array_position(signs, null) is null
    and signs <@ array['chest_pressure', 'faint', 'breathless', 'palpitations', 'heat_confusion', 'one_sided_weakness', 'calf_swelling',
      'night_pain', 'bone_tender', 'hop_pain', 'groin_deep'])
);
comment on column session.date is 'The civil date it belongs to, in the athlete''s zone at entry (rule 1.1).';
comment on column session.key is 'Made on the phone, so that what is sent twice is stored once.';
comment on column session.in_a_row is 'Kept by a trigger: the third planned session in a row with a pain of 3 or more, whatever the site (rule 6.3).';
comment on column session.stops is 'A pause or a referral begins here (rules 6.1, 6.3 to 6.5).';

-- The last sessions of an athlete are read through session_once, which is in the
-- order of their start. The four below find single older ones.
create index session_stops on session (club_id, athlete_id, started_at) where stops;
create index session_loaded on session (club_id, athlete_id, started_at) where loaded;
create index session_ran on session (club_id, athlete_id, started_at) where ran;
create index session_strolled on session (club_id, athlete_id, started_at) where strolled;
create index session_tried on session (club_id, athlete_id, started_at, aching) where kind = 'planned' and (exposed or aching);

-- Rule 6.3 asks for three sessions in a row. Looking for them would mean reading
-- an athlete's whole history each morning; so the third one is marked when it, or
-- a session beside it, is written. A session that comes in between later and ends
-- the row may leave a mark behind: it makes the look-back longer, never shorter.
create function mark_row() returns trigger language plpgsql as $$
declare
  s session%rowtype;
begin
  if tg_op = 'DELETE' then s := old; else s := new; end if;
  perform from athlete a where a.club_id = s.club_id and a.athlete_id = s.athlete_id for no key update;
  update session t set in_a_row = m.third
  from (
    select r.session_id, r.aching and lag(r.aching, 1, false) over w and lag(r.aching, 2, false) over w as third
    from session r
    where r.club_id = s.club_id and r.athlete_id = s.athlete_id and r.kind = 'planned' and (r.exposed or r.aching)
    window w as (order by r.started_at)
  ) m
  where t.club_id = s.club_id and t.session_id = m.session_id and t.in_a_row <> m.third;
  return null;
end $$;

create trigger mark_row_added after insert on session
  for each row when (new.aching and new.kind = 'planned') execute function mark_row();
create trigger mark_row_changed after update on session
  for each row when ((old.aching, old.exposed, old.kind, old.started_at) is distinct from (new.aching, new.exposed, new.kind, new.started_at))
  execute function mark_row();
create trigger mark_row_removed after delete on session
  for each row when (old.exposed or old.aching) execute function mark_row();

create table leave (
  club_id    bigint not null,
  athlete_id bigint not null,
  leave_id   bigint not null generated always as identity,
  key        text not null constraint leave_key check (key ~ '^[A-Za-z0-9_-]{8,64}$'),
  first_day  date not null,
  last_day   date,
  why        text not null default '' constraint leave_why check (char_length(why) <= 80),
  primary key (club_id, leave_id),
  foreign key (club_id, athlete_id) references athlete,
  constraint leave_key_once unique (club_id, athlete_id, key),
  constraint leave_to check (last_day >= first_day)
);
comment on column leave.last_day is 'Null: not over yet.';

create table note (
  club_id    bigint not null,
  athlete_id bigint not null,
  note_id    bigint not null generated always as identity,
  key        text not null constraint note_key check (key ~ '^[A-Za-z0-9_-]{8,64}$'),
  coach_id   bigint not null,
  at         timestamptz not null,
  text       text not null constraint note_text check (char_length(text) between 1 and 2000),
  primary key (club_id, note_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, coach_id) references coach,
  constraint note_key_once unique (club_id, athlete_id, key)
);

alter table session enable row level security;
alter table session force row level security;
create policy own on session using (club_id = (select current_club()));
alter table leave enable row level security;
alter table leave force row level security;
create policy own on leave using (club_id = (select current_club()));
alter table note enable row level security;
alter table note force row level security;
create policy own on note using (club_id = (select current_club()));

grant select, insert, update, delete on session to halfhour_app;
grant select, insert, update (last_day), delete on leave to halfhour_app;
grant select, insert on note to halfhour_app;
