package postgres

import (
	"errors"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"
)

// beyond is what else the program's role must not be able to do at all. The user
// halfhour owns everything here.
func beyond() []string {
	return []string{
		"set role pg_read_all_data", "select set_config('role', 'halfhour', false)", "alter role halfhour_app superuser", "create role somebody",
		"grant halfhour_door to halfhour_app", "grant halfhour to halfhour_app", "drop role halfhour_door",

		"alter table session owner to halfhour_app", "alter table session drop constraint session_once", "alter table session add column x int",
		"alter policy own on session using (true)", "create trigger spy after insert on session execute function mark_row()",
		"create rule spy as on insert to session do also delete from note", "drop index session_once", "create index on session (note)",
		"comment on table session is 'mine'", "alter domain long_text drop constraint note", "drop trigger weigh_session on session",

		"create view public.mine as select * from session", "create sequence public.mine", "create domain public.mine as text",
		"create or replace function current_club() returns bigint language sql as 'select 2::bigint'", "drop function door_any()",
		"alter function door_any() security invoker", "create event trigger spy on ddl_command_end execute function mark_row()",
		"create publication spy for all tables", "alter system set log_statement = 'all'",
		"alter default privileges for role halfhour grant select on tables to halfhour_app",

		"select * from pg_authid", "select * from pg_statistic", "select pg_ls_dir('.')", "select pg_reload_conf()",
		"copy session to '/dev/null'", "copy session from '/dev/null'", "select * from schema_migrations", "delete from schema_migrations",
		"select nextval('coach_coach_id_seq')", "select setval('club_number', 1)", "select last_value from club_number",
	}
}

func TestTheProgramsRoleCannotClimb(t *testing.T) {
	t.Parallel()
	b, _, _ := two(t)
	app := b.hostile(t)
	for _, sql := range beyond() {
		_, err := app.Exec(t.Context(), sql)
		require.Equal(t, insufficientPrivilege, tell(err), "%s: %v", sql, err)
	}
}

func TestTheRoleStaysWhateverIsReset(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	for _, sql := range []string{"reset role", "set role none", "set session authorization default", "reset session authorization", "reset all", "discard all"} {
		app := connect(t, b.url.AppURL)
		_, err := app.Exec(t.Context(), sql)
		require.NoError(t, err, sql)
		var role string
		require.NoError(t, app.QueryRow(t.Context(), "select current_user || ' ' || session_user").Scan(&role))
		require.Equal(t, "halfhour_app halfhour_app", role, sql)
		n, err := try(t, app, number(ours.ID), "select from session where club_id <> "+number(ours.ID))
		require.NoError(t, err)
		require.Zero(t, n, sql)
	}
}

func TestRowSecurityCannotBeSwitchedOff(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	app := b.hostile(t)
	_, err := app.Exec(t.Context(), "set row_security = off")
	require.NoError(t, err, "it may be said, but then every question is refused")
	_, err = try(t, app, number(ours.ID), "select from session")
	require.Equal(t, insufficientPrivilege, tell(err))
}

// The setting ends with the transaction, so that the next one over the same
// connection begins without a club.
func TestTheClubEndsWithTheTransaction(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	app := b.hostile(t)
	tx, err := app.Begin(t.Context())
	require.NoError(t, err)
	_, err = tx.Exec(t.Context(), enterSQL, number(ours.ID))
	require.NoError(t, err)
	require.NoError(t, tx.Commit(t.Context()))
	n, err := try(t, app, unset, "select from session")
	require.NoError(t, err)
	require.Zero(t, n)
}

// A condition that talks about what it sees must not be asked of rows that row
// security then leaves out.
func TestATalkativeConditionSeesOneClub(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	for _, sql := range []string{"note set text", "session set note", "leave set why", "athlete set name"} {
		_, err := b.admin.Exec(t.Context(), "update "+sql+" = 'told by ' || club_id")
		require.NoError(t, err)
	}
	_, err := b.admin.Exec(t.Context(), "update coach set email = 'told by ' || club_id || '@example.org'")
	require.NoError(t, err)
	config := b.hostile(t).Config().Copy()
	var heard []string
	config.OnNotice = func(_ *pgconn.PgConn, n *pgconn.Notice) { heard = append(heard, n.Message) }
	app, err := pgx.ConnectConfig(t.Context(), config)
	require.NoError(t, err)
	defer app.Close(t.Context())
	_, err = app.Exec(t.Context(), `create function pg_temp.tell(text) returns boolean language plpgsql cost 0.0000001
		as $$ begin raise notice '%', $1; return true; end $$`)
	require.NoError(t, err)
	for _, sql := range []string{
		"select from note where pg_temp.tell(text)", "select from note where pg_temp.tell(text) and club_id = " + number(theirs.ID),
		"select from athlete a join note n on pg_temp.tell(n.text)", "delete from session where pg_temp.tell(note)",
		"update leave set last_day = last_day where pg_temp.tell(why)", "select from coach order by pg_temp.tell(email)",
	} {
		_, err := try(t, app, number(ours.ID), sql)
		require.NoError(t, err, sql)
	}
	mine, yours := "told by "+number(ours.ID), "told by "+number(theirs.ID)
	require.Contains(t, heard, mine, "it does talk")
	require.NotContains(t, heard, yours)
	for _, said := range heard {
		require.True(t, said == mine || strings.HasPrefix(said, mine), said)
	}
}

func TestStatisticsTellNothing(t *testing.T) {
	t.Parallel()
	b, ours, _ := two(t)
	app := b.hostile(t)
	_, err := b.admin.Exec(t.Context(), "analyze")
	require.NoError(t, err)
	n, err := try(t, app, number(ours.ID), "select from pg_stats where schemaname = 'public' and tablename <> 'schema_migrations'")
	require.NoError(t, err)
	require.Zero(t, n)
}

// A row of another club may stand in the way of ours only where something is once
// in the world: then nothing of it is told, and nothing of it is changed.
func TestAConflictTellsNothing(t *testing.T) {
	t.Parallel()
	b, ours, theirs := two(t)
	app := b.hostile(t)
	email := value[string](t, b, "select email from coach where club_id = $1", theirs.ID)
	insert := "insert into coach (club_id, name, email) values (" + number(ours.ID) + ", 'x', '" + email + "') "
	_, err := try(t, app, number(ours.ID), insert)
	require.Equal(t, "23505", tell(err))
	_, err = try(t, app, number(ours.ID), insert+"on conflict (email) do update set password = 'mine'")
	require.Equal(t, insufficientPrivilege, tell(err))
	n, err := try(t, app, number(ours.ID), insert+"on conflict do nothing")
	require.NoError(t, err)
	require.Zero(t, n)
}

func TestNobodyElseKnocks(t *testing.T) {
	t.Parallel()
	b, _, _ := two(t)
	tx, err := b.admin.Begin(t.Context())
	require.NoError(t, err)
	defer func() { require.NoError(t, tx.Rollback(t.Context())) }()
	_, err = tx.Exec(t.Context(), "create role stranger; set local role stranger")
	require.NoError(t, err)
	for _, sql := range []string{"select door_any()", "select door_email('x')", "select door_token('x')", "select door_code('x')", "select from club", "select from session"} {
		inner, err := tx.Begin(t.Context())
		require.NoError(t, err)
		_, err = inner.Exec(t.Context(), sql)
		require.Equal(t, insufficientPrivilege, tell(err), sql)
		require.NoError(t, inner.Rollback(t.Context()))
	}
}

// Roles belong to the whole server, so this stays in a transaction that never ends
// well.
func TestARoleThatMayPassIsSeen(t *testing.T) {
	t.Parallel()
	b, _, _ := two(t)
	for _, right := range []string{"bypassrls", "superuser"} {
		err := pgx.BeginFunc(t.Context(), b.admin, func(tx pgx.Tx) error {
			var mighty, passes, owns bool
			_, err := tx.Exec(t.Context(), "alter role halfhour_app "+right)
			require.NoError(t, err)
			require.NoError(t, tx.QueryRow(t.Context(), mightySQL).Scan(&mighty))
			_, err = tx.Exec(t.Context(), "set local role halfhour_app")
			require.NoError(t, err)
			require.NoError(t, tx.QueryRow(t.Context(), boundSQL).Scan(&passes, &owns))
			require.True(t, mighty, right)
			require.True(t, passes, right)
			return errors.New("never")
		})
		require.EqualError(t, err, "never")
	}
}
