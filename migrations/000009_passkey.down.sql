drop function door_passkey(bytea);
alter table login drop column proved_at, drop column passkey_id;
drop table ceremony;
drop table passkey;
