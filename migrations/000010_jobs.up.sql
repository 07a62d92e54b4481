-- Mail and work that is done after the answer: the letters of a club, and River's
-- tables, through which they are worked.
--
-- A letter is a row of its club like everything else; the job that sends it holds
-- the club's and the letter's number and nothing else. Where it is sent to is read
-- when it is sent.
create table letter (
  club_id     bigint not null references club,
  letter_id   bigint not null generated always as identity,
  key         form_key not null,
  kind        text not null constraint letter_kind check (kind in ('way_in', 'invitation', 'coach_invitation', 'deputy_invitation', 'new_device')),
  coach_id    bigint,
  athlete_id  bigint,
  address     text constraint letter_address check (address like '_%@_%' and octet_length(address) <= 254),
  login_id    bigint,
  by_coach    bigint,
  made_at     timestamptz not null,
  sent_at     timestamptz,
  dropped_at  timestamptz,
  dropped_for text constraint letter_dropped_for check (dropped_for in ('refused', 'late', 'nobody')),
  primary key (club_id, letter_id),
  foreign key (club_id, coach_id) references coach,
  foreign key (club_id, athlete_id) references athlete on delete cascade,
  foreign key (club_id, login_id) references login on delete cascade,
  foreign key (club_id, by_coach) references coach (club_id, coach_id),
  constraint letter_key_once unique (club_id, key),
  constraint letter_to check (num_nonnulls(coach_id, athlete_id, address) = 1 and case kind
    when 'way_in' then address is null
    when 'invitation' then athlete_id is not null and by_coach is not null
    when 'new_device' then coach_id is not null and login_id is not null
    else address is not null and by_coach is not null end),
  constraint letter_ended check (num_nonnulls(sent_at, dropped_at) <= 1 and num_nonnulls(dropped_at, dropped_for) in (0, 2))
);
comment on table letter is 'The mail that was sent to somebody, or is to be: of which kind, when, and how it ended. What stood in it is not kept.';
comment on column letter.address is 'Of somebody who is nobody here yet; for all others it is read when the letter is sent.';
comment on column letter.dropped_for is 'Why it was not sent: the address was refused, it was too late, there is nobody to send it to.';
create index letter_athlete on letter (club_id, athlete_id) where athlete_id is not null;
create index letter_login on letter (club_id, login_id) where login_id is not null;

alter table letter enable row level security;
alter table letter force row level security;
create policy own on letter using (club_id = (select current_club()));
grant select, insert, update (sent_at, dropped_at, dropped_for) on letter to halfhour_app;

-- Who has an e-mail address: a coach, or athletes, of whichever club. Whoever asks
-- learns numbers for an address already known, and nothing else.
create index athlete_email on athlete (email) where email <> '' and left_at is null;
create policy door on athlete for select to halfhour_door using (current_user = 'halfhour_door'); -- whoever may become it is not it
grant select (club_id, athlete_id, email, left_at) on athlete to halfhour_door;
grant select (coach_id) on coach to halfhour_door;

create function door_people(address text) returns table (club_id bigint, coach_id bigint, athlete_id bigint)
  language sql stable security definer set search_path = public, pg_temp
  as $$
  select c.club_id, c.coach_id, null::bigint from coach c where c.email = address
  union all
  (select a.club_id, null::bigint, a.athlete_id from athlete a
    where a.email = address and a.email <> '' and a.left_at is null order by a.club_id, a.athlete_id limit 8)
$$;
revoke execute on function door_people(text) from public;
grant execute on function door_people(text) to halfhour_app;
grant create on schema public to halfhour_door;
alter function door_people(text) owner to halfhour_door;
revoke create on schema public from halfhour_door;

-- From here on: the tables of River (github.com/riverqueue/river, MPL-2.0), as its
-- migrations 1 to 8 of line main leave them, in a schema of their own. A test holds
-- them against what the library makes by itself. They know no club, so row security
-- cannot part them; what is in them are names of work and numbers of rows.
create schema river;

create table river.river_migration (
  line       text not null,
  version    bigint not null,
  created_at timestamptz not null default now(),
  constraint line_length check (char_length(line) > 0 and char_length(line) < 128),
  constraint version_gte_1 check (version >= 1),
  primary key (line, version)
);
insert into river.river_migration (line, version) select 'main', generate_series(1, 8);

create type river.river_job_state as enum (
  'available', 'cancelled', 'completed', 'discarded', 'pending', 'retryable', 'running', 'scheduled');

create function river.river_job_state_in_bitmask(bitmask bit(8), state river.river_job_state)
returns boolean
language sql
immutable
as $$
    SELECT CASE state
        WHEN 'available' THEN get_bit(bitmask, 7)
        WHEN 'cancelled' THEN get_bit(bitmask, 6)
        WHEN 'completed' THEN get_bit(bitmask, 5)
        WHEN 'discarded' THEN get_bit(bitmask, 4)
        WHEN 'pending'   THEN get_bit(bitmask, 3)
        WHEN 'retryable' THEN get_bit(bitmask, 2)
        WHEN 'running'   THEN get_bit(bitmask, 1)
        WHEN 'scheduled' THEN get_bit(bitmask, 0)
        ELSE 0
    END = 1;
$$;

create table river.river_job (
  id            bigserial primary key,
  state         river.river_job_state not null default 'available',
  attempt       smallint not null default 0,
  max_attempts  smallint not null default 25,
  attempted_at  timestamptz,
  created_at    timestamptz not null default now(),
  finalized_at  timestamptz,
  scheduled_at  timestamptz not null default now(),
  priority      smallint not null default 1,
  args          jsonb not null,
  attempted_by  text[],
  errors        jsonb[],
  kind          text not null,
  metadata      jsonb not null default '{}',
  queue         text not null default 'default',
  tags          varchar(255)[] not null default '{}',
  unique_key    bytea,
  unique_states bit(8),
  constraint finalized_or_finalized_at_null check (
    (finalized_at is null and state not in ('cancelled', 'completed', 'discarded')) or
    (finalized_at is not null and state in ('cancelled', 'completed', 'discarded'))
  ),
  constraint max_attempts_is_positive check (max_attempts > 0),
  constraint priority_in_range check (priority >= 1 and priority <= 4),
  constraint queue_length check (char_length(queue) > 0 and char_length(queue) < 128),
  constraint kind_length check (char_length(kind) > 0 and char_length(kind) < 128)
);
create index river_job_kind on river.river_job using btree (kind);
create index river_job_state_and_finalized_at_index on river.river_job using btree (state, finalized_at) where finalized_at is not null;
create index river_job_prioritized_fetching_index on river.river_job using btree (state, queue, priority, scheduled_at, id);
create index river_job_args_index on river.river_job using gin (args);
create index river_job_metadata_index on river.river_job using gin (metadata);
create unique index river_job_unique_idx on river.river_job (unique_key)
  where unique_key is not null and unique_states is not null and river.river_job_state_in_bitmask(unique_states, state);

create unlogged table river.river_leader (
  elected_at timestamptz not null,
  expires_at timestamptz not null,
  leader_id  text not null,
  name       text primary key default 'default',
  constraint name_length check (name = 'default'),
  constraint leader_id_length check (char_length(leader_id) > 0 and char_length(leader_id) < 128)
);

create table river.river_queue (
  name       text primary key not null,
  created_at timestamptz not null default now(),
  metadata   jsonb not null default '{}'::jsonb,
  paused_at  timestamptz,
  updated_at timestamptz not null default current_timestamp
);

create table river.river_notification (
  id         bigserial primary key,
  created_at timestamptz not null default now(),
  payload    text not null,
  topic      text not null,
  constraint topic_length check (length(topic) > 0 and length(topic) < 128)
);
create index river_notification_created_at_idx on river.river_notification (created_at);
create index river_notification_topic_id_idx on river.river_notification (topic, id);

revoke all on schema river from public;
grant usage on schema river to halfhour_app;
grant select, insert, update, delete on river.river_job, river.river_leader, river.river_queue, river.river_notification to halfhour_app;
grant select on river.river_migration to halfhour_app;
grant usage on all sequences in schema river to halfhour_app;
