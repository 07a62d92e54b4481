package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"halfhour.app/halfhour/internal/fault"
)

// The roles belong to the whole server, not to one database: several databases
// share them.
const (
	appRole    = "halfhour_app"    // as which the program works
	doorRole   = "halfhour_door"   // which owns the functions that find a club for a secret
	keeperRole = "halfhour_keeper" // which owns those that erase somebody and read audit lines
)

// oldestServer is the oldest PostgreSQL that the migrations run on.
const oldestServer = 150000

// rolesSQL makes the roles where they are missing. Another database of the same
// server may be doing so at this moment.
const rolesSQL = `
do $$ begin
  if not exists (select from pg_roles where rolname = 'halfhour_app') then
    create role halfhour_app login nosuperuser nobypassrls nocreatedb nocreaterole;
  end if;
  if not exists (select from pg_roles where rolname = 'halfhour_door') then
    create role halfhour_door nologin nosuperuser nobypassrls nocreatedb nocreaterole;
  end if;
  if not exists (select from pg_roles where rolname = 'halfhour_keeper') then
    create role halfhour_keeper nologin nosuperuser nobypassrls nocreatedb nocreaterole;
  end if;
exception when duplicate_object or unique_violation then null;
end $$`

// mightySQL finds out whether a role that was there already may do too much.
const mightySQL = `
select exists (select from pg_roles where rolname in ('halfhour_app', 'halfhour_door', 'halfhour_keeper') and (rolsuper or rolbypassrls))`

// membersSQL lets whoever takes the migrations become the roles: to hand the
// functions over, and to work as halfhour_app. From PostgreSQL 16 on, making a
// role is not enough for that.
const membersSQL = `
do $$
declare
  kind text := case when current_setting('server_version_num')::int >= 160000 then 'SET' else 'MEMBER' end;
begin
  if not pg_has_role(current_user, 'halfhour_app', kind) then
    execute format('grant halfhour_app to %I', current_user);
  end if;
  if not pg_has_role(current_user, 'halfhour_door', kind) then
    execute format('grant halfhour_door to %I', current_user);
  end if;
  if not pg_has_role(current_user, 'halfhour_keeper', kind) then
    execute format('grant halfhour_keeper to %I', current_user);
  end if;
end $$`

// ownersSQL gives the functions that may more than the program back to their
// owners, where a restored backup left them with whoever restored it.
const ownersSQL = `
do $$
declare
  f record;
begin
  for f in select p.oid::regprocedure as what, r.rolname from pg_proc p
    join pg_roles r on r.rolname = 'halfhour_' || split_part(p.proname, '_', 1) and r.rolname in ('halfhour_door', 'halfhour_keeper')
    where p.pronamespace = 'public'::regnamespace and p.prosecdef and p.proowner <> r.oid
  loop
    execute format('grant create on schema public to %I', f.rolname);
    execute format('alter function %s owner to %I', f.what, f.rolname);
    execute format('revoke create on schema public from %I', f.rolname);
  end loop;
end $$`

// prepareRoles makes sure that the roles are there and that the user may become
// them.
func prepareRoles(ctx context.Context, conn *pgx.Conn) error {
	var version int
	if err := conn.QueryRow(ctx, "select current_setting('server_version_num')::int").Scan(&version); err != nil {
		return translate(err)
	}
	if version < oldestServer {
		return fmt.Errorf("this PostgreSQL is of version %d; Halfhour needs %d or newer", version/10000, oldestServer/10000)
	}
	if err := patiently(ctx, conn, rolesSQL); err != nil {
		return explainRole(err)
	}
	var mighty bool
	if err := conn.QueryRow(ctx, mightySQL).Scan(&mighty); err != nil {
		return translate(err)
	}
	if mighty {
		return fmt.Errorf("the role %s, %s or %s may pass row security; take that away: ALTER ROLE … NOSUPERUSER NOBYPASSRLS", appRole, doorRole, keeperRole)
	}
	return explainRole(patiently(ctx, conn, membersSQL))
}

// patiently repeats a statement about roles when another database of the server
// changed the same roles at that moment.
func patiently(ctx context.Context, conn *pgx.Conn, sql string) error {
	var err error
	for range 5 {
		var refused *pgconn.PgError
		_, err = conn.Exec(ctx, sql)
		if !errors.As(err, &refused) || refused.Code != "XX000" && refused.Code != "23505" { // tuple concurrently updated
			return err
		}
		select {
		case <-time.After(50 * time.Millisecond):
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return err
}

// explainRole says which right is missing, and what an administrator can do.
func explainRole(err error) error {
	var refused *pgconn.PgError
	if !errors.As(err, &refused) {
		return translate(err)
	}
	say := func(s string) error { return &fault.Error{Kind: fault.Unavailable, Message: s, Cause: err} }
	switch refused.Code {
	case "42501": // insufficient_privilege
		return say("The database's user lacks a right. An administrator of the database can give it: CREATE ROLE " + appRole +
			" LOGIN; CREATE ROLE " + doorRole + "; CREATE ROLE " + keeperRole + "; GRANT " + appRole + ", " + doorRole + ", " + keeperRole + " TO the user.")
	case "22023", "42704": // invalid_parameter_value, undefined_object: no such role
		return say("The database has not been prepared: the role " + appRole + " is missing. Run: halfhour migrate up")
	}
	return translate(err)
}
