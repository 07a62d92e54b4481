-- Passkeys (WebAuthn): another way for coaches to sign in, beside the password.

create table passkey (
  club_id         bigint not null,
  passkey_id      bigint not null generated always as identity,
  coach_id        bigint not null,
  credential_id   bytea not null constraint passkey_credential_id check (octet_length(credential_id) between 1 and 1023),
  public_key      bytea not null constraint passkey_public_key check (octet_length(public_key) between 1 and 4096),
  sign_count      bigint not null constraint passkey_sign_count check (sign_count between 0 and 4294967295),
  backup_eligible boolean not null,
  backed_up       boolean not null,
  transports      text[] not null constraint passkey_transports check (transports <@ array['ble', 'hybrid', 'internal', 'nfc', 'smart-card', 'usb'] and cardinality(transports) <= 6),
  site            text not null constraint passkey_site check (char_length(site) between 1 and 253),
  name            short_name not null,
  created_at      timestamptz not null,
  used_at         timestamptz,
  refused_at      timestamptz,
  removed_at      timestamptz,
  primary key (club_id, passkey_id),
  foreign key (club_id, coach_id) references coach,
  constraint passkey_credential_id_once unique (credential_id),
  constraint passkey_backed_up check (backup_eligible or not backed_up)
);
comment on column passkey.credential_id is 'How the authenticator names it; a door finds its club by this.';
comment on column passkey.public_key is 'The COSE key that its signatures are checked with. What is secret never leaves the authenticator.';
comment on column passkey.sign_count is 'How often the authenticator said it had signed; 0: it does not count.';
comment on column passkey.backup_eligible is 'It may be kept by a service and used on several devices; never changes.';
comment on column passkey.transports is 'How browsers reach it.';
comment on column passkey.site is 'The host name it was made for (relying party ID); browsers show it nowhere else.';
comment on column passkey.name is 'In the coach''s words.';
comment on column passkey.used_at is 'Null: never yet.';
comment on column passkey.refused_at is 'Its count went back, so a copy may exist: it signs nobody in any more. Null: never.';
create index passkey_coach on passkey (club_id, coach_id) where removed_at is null;

-- What passes between a browser and its passkey begins with a question that holds
-- for minutes and once. Who it is may not be known yet: on the doorstep.
create table ceremony (
  club_id  bigint not null default 0 constraint ceremony_club_id check (club_id = 0),
  hash     bytea not null constraint ceremony_hash check (octet_length(hash) = 32),
  until_at timestamptz not null,
  primary key (club_id, hash)
);
comment on column ceremony.hash is 'SHA-256 of the secret that the browser holds; the question is made of the secret.';
create index ceremony_until on ceremony (club_id, until_at);

-- A login knows which passkey opened it, so that removing the one ends the other,
-- and when somebody last proved to be the coach who opened it.
alter table login add column passkey_id bigint, add column proved_at timestamptz,
  add foreign key (club_id, passkey_id) references passkey;
comment on column login.passkey_id is 'The passkey that opened it; null: opened another way.';
comment on column login.proved_at is 'When the password or a passkey was asked for again; null: not since it was opened.';

alter table passkey enable row level security;
alter table passkey force row level security;
create policy own on passkey using (club_id = (select current_club()));
alter table ceremony enable row level security;
alter table ceremony force row level security;
create policy own on ceremony using (club_id = (select current_club()));

grant select, insert, update (sign_count, backed_up, used_at, refused_at, removed_at) on passkey to halfhour_app;
grant select, insert, delete on ceremony to halfhour_app;
grant update (proved_at) on login to halfhour_app;

-- The door by which somebody comes in of whom only a passkey is known.
create policy door on passkey for select to halfhour_door using (true);
grant select (club_id, credential_id) on passkey to halfhour_door;
create function door_passkey(credential bytea) returns bigint
  language sql stable security definer set search_path = public, pg_temp
  as $$ select p.club_id from passkey p where p.credential_id = credential $$;
revoke execute on function door_passkey(bytea) from public;
grant execute on function door_passkey(bytea) to halfhour_app;

grant create on schema public to halfhour_door;
alter function door_passkey(bytea) owner to halfhour_door;
revoke create on schema public from halfhour_door;
