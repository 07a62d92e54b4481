package pgtest

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/localpg"
)

func TestMain(m *testing.M) { os.Exit(Main(m, migrate)) }

// migrate stands for the migrations: a role, and a table with row security.
func migrate(ctx context.Context, url string) error {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, `create role halfhour_app login;
		create table note (club int, body text);
		alter table note enable row level security;
		create policy own on note using (club = 1);
		grant select, insert on note to halfhour_app`)
	return err
}

func connect(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, conn.Close(context.Background())) })
	return conn
}

func value[T any](t *testing.T, conn *pgx.Conn, sql string, args ...any) T {
	t.Helper()
	rows, err := conn.Query(t.Context(), sql, args...)
	require.NoError(t, err)
	v, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[T])
	require.NoError(t, err)
	return v
}

func TestEachTestHasItsOwn(t *testing.T) {
	for _, name := range []string{"one", "two", "three"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			conn := connect(t, New(t).SuperuserURL)
			require.Zero(t, value[int](t, conn, "select count(*)::int from note"), "nothing of another test")
			_, err := conn.Exec(t.Context(), "insert into note values (1, $1)", name)
			require.NoError(t, err)
			require.Equal(t, name, value[string](t, conn, "select body from note"))
		})
	}
}

func TestRoles(t *testing.T) {
	db := New(t)
	super := connect(t, db.SuperuserURL)
	require.Equal(t, localpg.Owner, value[string](t, super, "select current_user::text"))
	_, err := super.Exec(t.Context(), "insert into note values (1, 'ours'), (2, 'theirs')")
	require.NoError(t, err)

	app := connect(t, db.AppURL)
	require.Equal(t, AppRole, value[string](t, app, "select session_user::text"))
	require.Equal(t, db.Name, value[string](t, app, "select current_database()::text"))
	require.Equal(t, "ours", value[string](t, app, "select body from note"), "row security binds it")
}

func TestNothingListensOnTheNetwork(t *testing.T) {
	conn := connect(t, New(t).SuperuserURL)
	require.Empty(t, value[string](t, conn, "select current_setting('listen_addresses')"))
}

func TestADatabaseIsMadeFast(t *testing.T) {
	New(t) // the server
	began := time.Now()
	for range 10 {
		New(t)
	}
	t.Logf("a database: %s", (time.Since(began) / 10).Round(100*time.Microsecond))
}

// outcome is a test of which we say how it ended.
type outcome struct {
	testing.TB
	failed  bool
	log     bytes.Buffer
	cleanup []func()
}

func (o *outcome) Failed() bool     { return o.failed }
func (o *outcome) Cleanup(f func()) { o.cleanup = append(o.cleanup, f) }
func (o *outcome) Logf(format string, args ...any) {
	o.log.WriteString(strings.TrimSpace(format))
	for _, arg := range args {
		if s, ok := arg.(string); ok {
			o.log.WriteString(" " + s)
		}
	}
}

func (o *outcome) end() {
	for _, f := range o.cleanup {
		f()
	}
}

func TestAPassedTestLeavesNothing(t *testing.T) {
	admin := connect(t, New(t).SuperuserURL)
	passed := &outcome{TB: t}
	db := New(passed)
	open := connect(t, db.SuperuserURL) // a connection somebody forgot does not hold it
	passed.end()
	require.Eventually(t, func() bool {
		return value[int](t, admin, "select count(*)::int from pg_database where datname = $1", db.Name) == 0
	}, 10*time.Second, 5*time.Millisecond)
	require.Error(t, open.Ping(t.Context()))
}

// own is a cluster beside that of the package, whose end we look at.
func own(t *testing.T, migrate Migrate) *cluster {
	t.Helper()
	t.Chdir(t.TempDir()) // so that it passes for another package
	return newCluster(migrate)
}

func TestAFailedTestKeepsItsDatabase(t *testing.T) {
	c := own(t, migrate)
	failed, passed := &outcome{TB: t, failed: true}, &outcome{TB: t}
	db, other := c.database(failed), c.database(passed)
	require.NoError(t, run(t, db.SuperuserURL, "insert into note values (1, 'the evidence')"))
	failed.end()
	passed.end()
	require.Contains(t, failed.log.String(), db.Name)

	var out bytes.Buffer
	require.NoError(t, c.close(&out))
	require.Contains(t, out.String(), db.Name)
	require.Contains(t, out.String(), "postgres -D "+filepath.Join(c.dir, "data", "pgdata"))

	again, err := localpg.Start(t.Context(), localpg.Config{Dir: filepath.Join(c.dir, "data"), Test: true})
	require.NoError(t, err)
	conn, err := pgx.Connect(t.Context(), again.URL(db.Name))
	require.NoError(t, err)
	require.Equal(t, "the evidence", value[string](t, conn, "select body from note"))
	require.Zero(t, value[int](t, conn, "select count(*)::int from pg_database where datname = $1", other.Name))
	require.NoError(t, conn.Close(t.Context()))

	next, err := freshFolder()
	require.NoError(t, err)
	require.DirExists(t, c.dir, "a folder in use stays")
	require.NoError(t, os.RemoveAll(next))
	require.NoError(t, again.Stop(t.Context()))
	next, err = freshFolder()
	require.NoError(t, err)
	require.NoDirExists(t, c.dir, "the next run of the package clears up")
	require.NoError(t, os.RemoveAll(next))
}

func run(t *testing.T, url, sql string) error {
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		return err
	}
	_, err = conn.Exec(t.Context(), sql)
	return errors.Join(err, conn.Close(t.Context()))
}

func TestWithoutDatabasesNothingStarts(t *testing.T) {
	c := own(t, migrate)
	var out bytes.Buffer
	require.NoError(t, c.close(&out))
	require.Empty(t, c.dir)
	require.Empty(t, out.String())
}

func TestMigrationsThatFail(t *testing.T) {
	c := own(t, func(context.Context, string) error { return errors.New("no such column") })
	require.EqualError(t, c.start(), "migrations: no such column")
	require.EqualError(t, c.start(), "migrations: no such column", "not tried again")
	require.NoError(t, c.close(new(bytes.Buffer)))
	require.NoDirExists(t, c.dir)
}

func TestTheTemplateCannotBeEntered(t *testing.T) {
	db := New(t)
	err := run(t, strings.Replace(db.SuperuserURL, db.Name, template, 1), "select 1")
	require.ErrorContains(t, err, "not currently accepting connections")
}
