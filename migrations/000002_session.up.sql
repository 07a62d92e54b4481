-- Sessions, times away and notes.
--
-- A session's blocks live in its own row, as arrays side by side: the i-th letter
-- of block_kinds goes with the i-th element of each array. A null column means
-- that nothing of the sort was given: no blocks, no tap, no recording, no pain, no
-- sign.

create domain session_kind    as text constraint kind check (value in ('planned', 'extra', 'strength', 'other'));
create domain session_outcome as text constraint outcome check (value in ('in_full', 'shortened', 'stopped_for_pain', 'missed', 'called_off'));
create domain session_minutes as smallint constraint minutes check (value between 0 and 600);
create domain session_effort  as smallint constraint effort check (value between 0 and 10);
create domain talk_answer     as text constraint talk check (value in ('chat', 'sentence', 'words'));
create domain breath_answer   as text constraint breath check (value in ('early', 'half', 'late'));
create domain done_blocks     as smallint[] constraint done_s check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and (0 <= all (value)) is not false and (14400 >= all (value)) is not false
  and array_position(value, null) is null);
create domain some_blocks     as smallint[] constraint settle_s check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and (0 <= all (value)) is not false and (14400 >= all (value)) is not false);
create domain pain_sites      as text[] constraint pain_site check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and cardinality(value) <= 12 and ('' <> all (value)) is not false
  and array_position(value, null) is null and char_length(array_to_string(value, '')) <= 80 * cardinality(value));
create domain pain_scores     as smallint[] constraint pain_score check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and (0 <= all (value)) is not false and (10 >= all (value)) is not false);
create domain warning_signs   as text[] constraint signs check (
  cardinality(value) >= 1 and array_ndims(value) = 1 and array_lower(value, 1) = 1 and cardinality(value) <= 11 and array_position(value, null) is null
  and value <@ array['chest_pressure', 'faint', 'breathless', 'palpitations', 'heat_confusion', 'one_sided_weakness', 'calf_swelling',
    'night_pain', 'bone_tender', 'hop_pain', 'groin_deep']);
comment on domain some_blocks is 'Seconds of each block; null for those where nothing was measured.';

create table session (
  club_id         bigint not null,
  athlete_id      bigint not null,
  session_id      bigint not null generated always as identity,
  key             form_key not null,
  started_at      timestamptz not null,
  date            date not null,
  kind            session_kind not null,
  phase           phase_name,
  outcome         session_outcome,
  minutes         session_minutes,
  planned_minutes session_minutes,
  effort          session_effort,
  talk            talk_answer,
  breath          breath_answer,
  hot             boolean not null,
  limp            boolean not null,
  block_kinds     block_kinds,
  planned_s       planned_blocks,
  done_s          done_blocks,
  settle_s        some_blocks,
  valid_s         some_blocks,
  heart_s         some_blocks,
  heart_low_s     some_blocks,
  heart_high_s    some_blocks,
  pain_asked      boolean not null,
  pain_site       pain_sites,
  pain_score      pain_scores,
  pain_morning    pain_scores,
  signs           warning_signs,
  note            long_text not null default '',
  logged_at       timestamptz not null,
  changed_at      timestamptz,
  by_coach        bigint,
  version         integer not null default 1,

  -- What the look-back searches for, kept by the triggers below whatever is given.
  -- Each says a little more rather than less: the rules themselves are asked of the
  -- session, these only find it.
  aching   boolean not null default false,
  exposed  boolean not null default false,
  loaded   boolean not null default false,
  ran      boolean not null default false,
  strolled boolean not null default false,
  in_a_row boolean not null default false,
  stops    boolean not null default false,

  primary key (club_id, session_id),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint session_key_once unique (club_id, athlete_id, key),
  constraint session_once unique (club_id, athlete_id, started_at, kind)
);
comment on column session.aching is 'A pain of 3 or more, during or the next morning (rule 6.1).';
comment on column session.exposed is 'A planned session of which something was done (rules 2.1, 2.2).';
comment on column session.loaded is 'It has load (rule 8.1).';
comment on column session.ran is 'Something was run, or walked of a session of the walking base (rule 9.4).';
comment on column session.strolled is 'A walk outside the plan.';
comment on column session.date is 'The civil date it belongs to, in the athlete''s zone at entry (rule 1.1).';
comment on column session.in_a_row is 'The third planned session in a row with a pain of 3 or more, whatever the site (rule 6.3).';
comment on column session.stops is 'A pause or a referral begins here (rules 6.1, 6.3 to 6.5).';

-- sound_blocks holds the arrays of one session against the ranges of the rule book,
-- block by block.
create function sound_blocks(s session) returns boolean language plpgsql immutable parallel safe as $$
declare
  n integer := char_length(s.block_kinds);
  walk boolean;
begin
  if n is null then
    return num_nonnulls(s.planned_s, s.done_s, s.settle_s, s.valid_s, s.heart_s, s.heart_low_s, s.heart_high_s) = 0;
  end if;
  if (cardinality(s.planned_s) = n and cardinality(s.done_s) = n) is not true or cardinality(s.settle_s) <> n then
    return false;
  end if;
  if s.settle_s is not null then
    for i in 1 .. n loop
      if s.settle_s[i] > s.done_s[i] or s.settle_s[i] is not null and substr(s.block_kinds, i, 1) = 'r' then
        return false;
      end if;
    end loop;
  end if;
  if num_nonnulls(s.valid_s, s.heart_s, s.heart_low_s, s.heart_high_s) = 0 then
    return true;
  end if;
  if cardinality(s.valid_s) <> n or cardinality(s.heart_s) <> n or cardinality(s.heart_low_s) <> n or cardinality(s.heart_high_s) <> n then
    return false;
  end if;
  for i in 1 .. n loop
    walk := substr(s.block_kinds, i, 1) = 'w';
    if (s.valid_s[i] is null) <> (s.heart_s[i] is null)
      or s.valid_s[i] is null and num_nonnulls(s.heart_low_s[i], s.heart_high_s[i]) > 0
      or s.valid_s[i] > s.done_s[i] or s.heart_s[i] > s.valid_s[i] or s.heart_low_s[i] > s.valid_s[i] or s.heart_high_s[i] > s.valid_s[i]
      or walk and (s.heart_low_s[i] > s.heart_s[i] or s.heart_s[i] > s.heart_high_s[i])
      or not walk and (s.heart_high_s[i] > s.heart_s[i] or s.heart_s[i] > s.heart_low_s[i]) then
      return false;
    end if;
  end loop;
  return true;
end $$;

-- weigh_session checks what reaches over several columns, and fills in what the
-- look-back searches for.
create function weigh_session() returns trigger language plpgsql as $$
declare
  running integer := 0;
  walking integer := 0;
  wrong   text;
begin
  if not sound_blocks(new) then
    wrong := 'session_blocks';
  elsif new.pain_site is null and num_nonnulls(new.pain_score, new.pain_morning) > 0
    or new.pain_site is not null and (new.pain_asked and cardinality(new.pain_score) = cardinality(new.pain_site)
      and cardinality(new.pain_morning) = cardinality(new.pain_site) and array_position(new.pain_score, null) is null) is not true then
    wrong := 'session_pain';
  elsif abs(new.date - (new.started_at at time zone 'UTC')::date) > 2 then
    wrong := 'session_date'; -- at most a day off the local date (rule 1.1), which is a day off UTC at most
  elsif new.minutes is null and new.block_kinds is null
    and (new.kind = 'planned' and new.outcome in ('missed', 'called_off')) is not true then
    wrong := 'session_minutes';
  elsif new.kind = 'planned' and new.block_kinds is null and new.outcome is null then
    wrong := 'session_outcome'; -- rule 2.2
  end if;
  if wrong is null then
    for i in 1 .. coalesce(char_length(new.block_kinds), 0) loop
      if substr(new.block_kinds, i, 1) = 'r' then
        running := running + new.done_s[i];
      else
        walking := walking + new.done_s[i];
      end if;
    end loop;
    new.aching := coalesce(3 <= any (new.pain_score), false) or coalesce(3 <= any (new.pain_morning), false);
    new.exposed := new.kind = 'planned' and case
      when new.outcome = 'stopped_for_pain' then true
      when new.block_kinds is null then new.outcome in ('in_full', 'shortened')
      else running + walking > 0 and new.outcome is distinct from 'called_off' end;
    new.loaded := coalesce(new.effort, 1) > 0 and coalesce(new.minutes > 0, running + walking >= 30);
    new.ran := case new.kind
      when 'planned' then case
        when new.block_kinds is null then new.outcome = 'in_full' or new.outcome <> 'missed' and coalesce(new.minutes, 0) > 0
        when new.block_kinds like '%r%' then running > 0
        else walking > 0 end
      else new.kind = 'extra' and running > 0 end;
    new.strolled := new.kind = 'extra' and running = 0 and (walking > 0 or coalesce(new.minutes, 0) > 0);
    new.stops := new.limp or new.signs is not null or new.in_a_row
      or new.kind = 'planned' and coalesce(new.outcome = 'stopped_for_pain', false)
      or coalesce(6 <= any (new.pain_score), false) or coalesce(6 <= any (new.pain_morning), false);
    if new.exposed and new.phase is null then
      wrong := 'session_phase'; -- rule 2.2
    end if;
  end if;
  if wrong is not null then
    raise check_violation using message = 'a session that cannot be', table = 'session', constraint = wrong;
  end if;
  return new;
end $$;

create trigger weigh_session before insert or update on session for each row execute function weigh_session();

-- The sessions of an athlete are read through session_once, which is in the order
-- of their start. What is rare among them is found through an index of its own.
create index session_stops on session (club_id, athlete_id, started_at) where stops;
create index session_strolled on session (club_id, athlete_id, started_at) where strolled;

-- Rule 6.3 asks for three sessions in a row. Looking for them would mean reading
-- an athlete's whole history each morning; so the third one is marked when it, or
-- a session beside it, is written. A session that comes in between later and ends
-- the row may leave a mark behind: it makes the look-back longer, never shorter.
--
-- mark_rows_near looks at the session of that start and the two after it, each with the
-- two before.
create function mark_rows_near(s session) returns void language plpgsql as $$
declare
  r      record;
  before boolean := false; -- whether the one before ached
  twice  boolean := false; -- and the one before that too
begin
  for r in
    (select t.session_id, t.started_at, t.aching, t.in_a_row from session t
      where t.club_id = s.club_id and t.athlete_id = s.athlete_id and t.kind = 'planned' and (t.exposed or t.aching) and t.started_at < s.started_at
      order by t.started_at desc limit 2)
    union all
    (select t.session_id, t.started_at, t.aching, t.in_a_row from session t
      where t.club_id = s.club_id and t.athlete_id = s.athlete_id and t.kind = 'planned' and (t.exposed or t.aching) and t.started_at >= s.started_at
      order by t.started_at limit 3)
    order by started_at
  loop
    if r.started_at >= s.started_at and r.in_a_row <> (r.aching and twice) then
      update session t set in_a_row = not r.in_a_row where t.club_id = s.club_id and t.session_id = r.session_id;
    end if;
    twice := r.aching and before;
    before := r.aching;
  end loop;
end $$;

create function mark_rows() returns trigger language plpgsql as $$
begin
  -- One after the other, or two told at once would not see each other.
  perform from athlete a where a.club_id = coalesce(new.club_id, old.club_id) and a.athlete_id = coalesce(new.athlete_id, old.athlete_id)
    for no key update;
  if tg_op <> 'INSERT' then
    perform mark_rows_near(old);
  end if;
  if tg_op <> 'DELETE' then
    perform mark_rows_near(new);
  end if;
  return null;
end $$;

create trigger mark_rows_added after insert on session
  for each row when (new.aching and new.kind = 'planned') execute function mark_rows();
create trigger mark_rows_changed after update on session
  for each row when ((old.aching, old.exposed, old.kind, old.started_at) is distinct from (new.aching, new.exposed, new.kind, new.started_at))
  execute function mark_rows();
create trigger mark_rows_removed after delete on session
  for each row when (old.exposed or old.aching) execute function mark_rows();

create table leave (
  club_id    bigint not null,
  athlete_id bigint not null,
  leave_id   bigint not null generated always as identity,
  key        form_key not null,
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
  key        form_key not null,
  coach_id   bigint not null,
  at         timestamptz not null,
  text       long_text not null constraint note_text check (text <> ''),
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
