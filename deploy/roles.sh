#!/bin/sh
# Makes the roles of Halfhour in a new database (deploy/compose.yaml): the one as
# which the program works, which row security binds, gets a password of its own.
set -eu
psql -v ON_ERROR_STOP=1 -v password="$APP_PASSWORD" --no-psqlrc --username "$POSTGRES_USER" --dbname "$POSTGRES_DB" <<'SQL'
create role halfhour_app login nosuperuser nobypassrls nocreatedb nocreaterole password :'password';
create role halfhour_door nologin nosuperuser nobypassrls nocreatedb nocreaterole;
create role halfhour_keeper nologin nosuperuser nobypassrls nocreatedb nocreaterole;
SQL
