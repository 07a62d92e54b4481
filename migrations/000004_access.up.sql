-- Signing in: logins, one-time codes, attempts; and the doors, through which a
-- secret finds its club.

create table login (
  club_id    bigint not null references club,
  login_id   bigint not null generated always as identity,
  token      bytea not null constraint login_token check (octet_length(token) = 32),
  coach_id   bigint,
  athlete_id bigint,
  device     text not null constraint login_device check (char_length(device) <= 200),
  since      timestamptz not null,
  seen_at    timestamptz not null,
  expires_at timestamptz not null,
  ended_at   timestamptz,
  primary key (club_id, login_id),
  foreign key (club_id, coach_id) references coach,
  foreign key (club_id, athlete_id) references athlete,
  constraint login_token_once unique (token),
  constraint login_person check (num_nonnulls(coach_id, athlete_id) = 1),
  constraint login_expires_at check (expires_at > since)
);
comment on column login.token is 'SHA-256 of the secret that the browser holds.';
create index login_coach on login (club_id, coach_id) where ended_at is null;
create index login_athlete on login (club_id, athlete_id) where ended_at is null;

create table code (
  club_id    bigint not null,
  hash       bytea not null constraint code_hash check (octet_length(hash) = 32),
  purpose    text not null constraint code_purpose check (purpose in ('set_up', 'athlete', 'coach', 'coach_invite')),
  coach_id   bigint,
  athlete_id bigint,
  expires_at timestamptz not null,
  used_at    timestamptz,
  of_club    bigint generated always as (nullif(club_id, 0)) stored references club,
  primary key (club_id, hash),
  foreign key (club_id, coach_id) references coach,
  foreign key (club_id, athlete_id) references athlete,
  constraint code_hash_once unique (hash),
  constraint code_person check (case purpose
    when 'set_up' then club_id = 0 and num_nonnulls(coach_id, athlete_id) = 0
    when 'athlete' then club_id > 0 and coach_id is null and athlete_id is not null
    when 'coach' then club_id > 0 and coach_id is not null and athlete_id is null
    else club_id > 0 and num_nonnulls(coach_id, athlete_id) = 0 end)
);
comment on column code.hash is 'SHA-256 of the code in the link.';
create index code_open on code (club_id, purpose, athlete_id, coach_id) where used_at is null;

-- Attempts are counted before anybody knows whose they are: on the doorstep.
create table attempt (
  club_id    bigint not null default 0 constraint attempt_club_id check (club_id = 0),
  key        bytea not null constraint attempt_key check (octet_length(key) = 32),
  attempt_id bigint not null generated always as identity,
  at         timestamptz not null,
  primary key (club_id, key, attempt_id)
);
create index attempt_at on attempt (club_id, at);

alter table login enable row level security;
alter table login force row level security;
create policy own on login using (club_id = (select current_club()));
alter table code enable row level security;
alter table code force row level security;
create policy own on code using (club_id = (select current_club()));
alter table attempt enable row level security;
alter table attempt force row level security;
create policy own on attempt using (club_id = (select current_club()));

grant select, insert, update (seen_at, expires_at, ended_at) on login to halfhour_app;
grant select, insert, update (used_at, expires_at) on code to halfhour_app;
grant select, insert, delete on attempt to halfhour_app;

-- The doors tell which club a secret belongs to, or that there is a club at all.
-- They belong to halfhour_door, a role that may read just these columns, so that
-- whoever calls one learns a number for a secret already known, and nothing else.
create policy door on club for select to halfhour_door using (true);
create policy door on coach for select to halfhour_door using (true);
create policy door on login for select to halfhour_door using (true);
create policy door on code for select to halfhour_door using (true);
grant select (club_id) on club to halfhour_door;
grant select (club_id, email) on coach to halfhour_door;
grant select (club_id, token) on login to halfhour_door;
grant select (club_id, hash) on code to halfhour_door;

create function door_any() returns boolean
  language sql stable security definer set search_path = public, pg_temp
  as $$ select exists (select from club) $$;
create function door_email(address text) returns bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select c.club_id from coach c where c.email = address $$;
create function door_token(hash bytea) returns bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select l.club_id from login l where l.token = hash $$;
create function door_code(secret bytea) returns bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select c.club_id from code c where c.hash = secret $$;

revoke execute on function door_any(), door_email(text), door_token(bytea), door_code(bytea) from public;
grant execute on function door_any(), door_email(text), door_token(bytea), door_code(bytea) to halfhour_app;

-- An owner needs the right to create for the moment of taking over.
grant create on schema public to halfhour_door;
alter function door_any() owner to halfhour_door;
alter function door_email(text) owner to halfhour_door;
alter function door_token(bytea) owner to halfhour_door;
alter function door_code(bytea) owner to halfhour_door;
revoke create on schema public from halfhour_door;
