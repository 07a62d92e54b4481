-- Privacy: who looked at whom, who asked to be erased, how long those who left are
-- kept, and what may be counted of people who are gone.

create table look (
  club_id    bigint not null,
  athlete_id bigint not null,
  coach_id   bigint not null,
  on_date    date not null,
  what       text not null constraint look_what check (what in ('page', 'sessions', 'heart', 'health', 'kept', 'archive')),
  first_at   timestamptz not null,
  last_at    timestamptz not null,
  times      integer not null constraint look_times check (times > 0),
  primary key (club_id, athlete_id, coach_id, on_date, what),
  foreign key (club_id, athlete_id) references athlete,
  foreign key (club_id, coach_id) references coach,
  constraint look_last_at check (last_at >= first_at)
) with (fillfactor = 70); -- a row is written over many times a day
comment on table look is 'Which coach looked at which athlete, by day and what was looked at. The roster is no look at one person.';
comment on column look.on_date is 'The date where the club is.';

create table erasure (
  club_id    bigint not null,
  athlete_id bigint not null,
  asked_at   timestamptz not null,
  primary key (club_id, athlete_id),
  foreign key (club_id, athlete_id) references athlete
);
comment on table erasure is 'Athletes who asked to be erased and may still take it back.';

create table tally (
  club_id     bigint not null references club,
  year        smallint not null constraint tally_year check (year between 2000 and 2200),
  erased      integer not null,
  sessions    bigint not null,
  run_minutes bigint not null,
  reached     integer not null,
  primary key (club_id, year),
  constraint tally_counts check (erased > 0 and sessions >= 0 and run_minutes >= 0 and reached between 0 and erased)
);
comment on table tally is 'What is counted of people who were erased, by the year in which they were: nothing that leads to anybody.';
comment on column tally.run_minutes is 'Minutes run in the sessions of those people.';
comment on column tally.reached is 'How many of them had run for thirty minutes without a break.';

alter table club
  add column keep_months smallint not null default 24 constraint club_keep_months check (keep_months between 1 and 120),
  add column keep_since  timestamptz not null default now();
comment on column club.keep_months is 'For how many months after they left athletes are kept.';
comment on column club.keep_since is 'When that was last changed: nobody is erased within a month of it, so that it can be announced.';

alter table note add column private boolean not null default false;
comment on column note.private is 'For coaches alone, not for deputies. It is in the athlete''s archive all the same.';

alter table look enable row level security;
alter table look force row level security;
create policy own on look using (club_id = (select current_club()));
alter table erasure enable row level security;
alter table erasure force row level security;
create policy own on erasure using (club_id = (select current_club()));
alter table tally enable row level security;
alter table tally force row level security;
create policy own on tally using (club_id = (select current_club()));

grant select, insert, update (last_at, times) on look to halfhour_app;
grant select, insert, delete on erasure to halfhour_app;
grant select on tally to halfhour_app;
grant update (keep_months, keep_since) on club to halfhour_app;

-- The daily errand goes from club to club, and needs their numbers.
create function door_clubs() returns setof bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select c.club_id from club c order by c.club_id $$;

-- What the program itself may not do, since nobody needs it but once in a while and
-- for one person: read the audit lines about an athlete, and erase an athlete. Both
-- are functions of halfhour_keeper, a role that row security binds as it binds the
-- program: they reach nobody but an athlete of the club that the transaction is for.
--
-- They find the tables by themselves: each that has an athlete_id, the referring ones
-- first. A later step that makes such a table grants halfhour_keeper what the loop
-- below grants; tests say so.
create function keeper_tables() returns table (name text, number text)
  language sql stable set search_path = pg_catalog, pg_temp
  as $$
with recursive theirs as (
  select c.oid, c.relname::text as name from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'athlete_id'
  where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname not in ('athlete', 'audit')
), chain as (
  select t.oid, 0 as depth from theirs t
  union
  select k.conrelid, c.depth + 1 from chain c join pg_constraint k on k.confrelid = c.oid and k.contype = 'f' and k.conrelid <> c.oid
  where c.depth < 9
)
select t.name, (select a.attname::text from pg_attribute a where a.attrelid = t.oid and a.attname = t.name || '_id' and not a.attisdropped)
from theirs t order by (select max(c.depth) from chain c where c.oid = t.oid) desc, t.name
$$;
comment on function keeper_tables() is 'Every table with rows about an athlete, those that refer to others first, and the column that numbers its rows, if any.';

create function keeper_lines(whom bigint)
  returns table (audit_id bigint, at timestamptz, coach_id bigint, athlete_id bigint, change text, row_id bigint)
  language plpgsql stable security definer set search_path = public, pg_temp
  as $$
declare
  theirs text;
begin
  select string_agg(format('select %L as of, x.%I as id from %I x where x.club_id = current_club() and x.athlete_id = $1',
    t.name, t.number, t.name), ' union all ') into theirs from keeper_tables() t where t.number is not null;
  return query execute 'select a.audit_id, a.at, a.coach_id, a.athlete_id, a.change::text, a.row_id
    from audit a left join (select ''athlete'' as of, $1 as id union all ' || theirs || ') r
      on r.of = split_part(a.change, ''.'', 1) and r.id = a.row_id
    where a.club_id = current_club() and (a.athlete_id = $1 or r.id is not null) order by a.audit_id' using whom;
end $$;
comment on function keeper_lines(bigint) is 'The audit lines of what an athlete of the present club did, and of what was done with rows about him or her.';

create function keeper_erase(whom bigint, in_year integer) returns setof bigint
  language plpgsql security definer set search_path = public, pg_temp
  as $$
declare
  t text;
  sessions bigint;
  minutes bigint;
  longest bigint;
begin
  perform from athlete a where a.club_id = current_club() and a.athlete_id = whom for update;
  if not found then
    return;
  end if;
  select count(distinct s.session_id), coalesce(sum(d.done), 0) / 60, coalesce(max(d.done), 0) into sessions, minutes, longest
    from session s left join lateral unnest(s.done_s) with ordinality d (done, place) on substr(s.block_kinds, d.place::int, 1) = 'r'
    where s.club_id = current_club() and s.athlete_id = whom;
  insert into tally as y (club_id, year, erased, sessions, run_minutes, reached)
    values (current_club(), in_year, 1, sessions, minutes, (longest >= 1800)::int)
    on conflict (club_id, year) do update set erased = y.erased + 1, sessions = y.sessions + excluded.sessions,
      run_minutes = y.run_minutes + excluded.run_minutes, reached = y.reached + excluded.reached;
  for t in select k.name from keeper_tables() k loop
    execute format('delete from %I x where x.club_id = current_club() and x.athlete_id = $1', t) using whom;
  end loop;
  delete from athlete a where a.club_id = current_club() and a.athlete_id = whom;
  return next whom;
end $$;
comment on function keeper_erase(bigint, integer) is 'Removes an athlete of the present club with every row about him or her, counts what may be counted, and gives the number; nothing where there is no such athlete.';

do $$
declare
  t record;
begin
  for t in select k.name, k.number from keeper_tables() k loop
    execute format('grant select (club_id, athlete_id), delete on %I to halfhour_keeper', t.name);
    if t.number is not null then
      execute format('grant select (%I) on %I to halfhour_keeper', t.number, t.name);
    end if;
  end loop;
end $$;
grant select (club_id, athlete_id), delete, update (version) on athlete to halfhour_keeper; -- the update is for locking the row
grant select (block_kinds, done_s, kind, started_at, exposed, aching, in_a_row) on session to halfhour_keeper; -- what mark_rows looks at besides
grant select on audit to halfhour_keeper;
grant select, insert, update on tally to halfhour_keeper;

revoke execute on function door_clubs(), keeper_tables(), keeper_lines(bigint), keeper_erase(bigint, integer) from public;
grant execute on function door_clubs(), keeper_tables(), keeper_lines(bigint), keeper_erase(bigint, integer) to halfhour_app;
grant execute on function keeper_tables() to halfhour_keeper;

-- An owner needs the right to create for the moment of taking over.
grant create on schema public to halfhour_door, halfhour_keeper;
alter function door_clubs() owner to halfhour_door;
alter function keeper_lines(bigint) owner to halfhour_keeper;
alter function keeper_erase(bigint, integer) owner to halfhour_keeper;
revoke create on schema public from halfhour_door, halfhour_keeper;
