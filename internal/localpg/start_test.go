package localpg

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

func TestFirstAndSecondStart(t *testing.T) {
	dir := filepath.Join(place(t), "new", "data")
	began := time.Now()
	srv, err := Start(t.Context(), Config{Dir: dir})
	require.NoError(t, err)
	t.Logf("first start, with the making of the cluster: %s", time.Since(began).Round(time.Millisecond))

	url := srv.URL(Database)
	require.Equal(t, Owner, query[string](t, url, "select current_user::text"))
	require.True(t, query[bool](t, url, "select rolsuper from pg_roles where rolname = current_user"))
	require.Equal(t, "UTF8", query[string](t, url, "select current_setting('server_encoding')"))
	require.Equal(t, "ä", query[string](t, url, "select lower('Ä')"), "letters beyond ASCII")
	require.Equal(t, "on", query[string](t, url, "select current_setting('data_checksums')"))
	require.Equal(t, "on", query[string](t, url, "select current_setting('fsync')"))
	require.Equal(t, "UTC", query[string](t, url, "select current_setting('timezone')"))
	require.GreaterOrEqual(t, query[int](t, url, "select current_setting('server_version_num')::int / 10000"), OldestMajor)
	run(t, url, "create table kept (n int)", "insert into kept values (7)")

	began = time.Now()
	require.NoError(t, srv.Stop(t.Context()))
	t.Logf("stop: %s", time.Since(began).Round(time.Millisecond))
	require.NoError(t, srv.Err(), "an end that was asked for is no fault")
	require.NoError(t, srv.Stop(t.Context()), "stopping twice")
	require.NoFileExists(t, folder{data: dir}.pidFile())

	began = time.Now()
	again, err := Start(t.Context(), Config{Dir: dir})
	require.NoError(t, err)
	t.Logf("second start: %s", time.Since(began).Round(time.Millisecond))
	require.Equal(t, 7, query[int](t, again.URL(Database), "select n from kept"))
	require.NoError(t, again.Stop(t.Context()))
}

func TestFoldersAreClosed(t *testing.T) {
	base := place(t)
	dir := filepath.Join(base, "a", "data")
	srv := start(t, dir)
	for path, mode := range map[string]os.FileMode{
		filepath.Join(base, "a"): 0o755, dir: 0o700, filepath.Join(dir, "pgdata"): 0o700, srv.Folder(): 0o700,
		filepath.Join(dir, "lock"): 0o600, filepath.Join(srv.Folder(), socketName()): 0o700,
	} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		require.Equal(t, mode, info.Mode().Perm(), path)
	}
}

func TestNothingListensOnTheNetwork(t *testing.T) {
	dir := made(t)
	srv := start(t, dir)
	require.Empty(t, query[string](t, srv.URL(Database), "select current_setting('listen_addresses')"))
	pids, known := living(folder{data: dir}.pgdata())
	if !known {
		t.Skip("sockets cannot be listed without /proc")
	}
	require.NotEmpty(t, pids)
	network := networkSockets(t)
	var sockets []string
	for _, pid := range pids {
		sockets = append(sockets, socketsOf(t, pid)...)
	}
	require.NotEmpty(t, sockets, "the one in the folder")
	for _, socket := range sockets {
		require.NotContains(t, network, socket)
	}
}

func TestTheEnvironmentDoesNotLeakIn(t *testing.T) {
	for _, name := range []string{
		"PGHOST", "PGPORT", "PGDATABASE", "PGUSER", "PGPASSWORD", "PGPASSFILE", "PGAPPNAME", "PGCONNECT_TIMEOUT",
		"PGSSLMODE", "PGSSLKEY", "PGSSLCERT", "PGSSLCERTMODE", "PGSSLSNI", "PGSSLROOTCERT", "PGSSLPASSWORD",
		"PGSSLNEGOTIATION", "PGTARGETSESSIONATTRS", "PGTZ", "PGOPTIONS", "PGMINPROTOCOLVERSION",
		"PGMAXPROTOCOLVERSION", "PGCHANNELBINDING", "PGREQUIREAUTH", "PGDATA", "LC_ALL", "LANG", "LANGUAGE", "NOTIFY_SOCKET",
	} {
		t.Setenv(name, "nonsense")
	}
	srv := start(t, made(t))
	require.Equal(t, "halfhour UTC", query[string](t, srv.URL(Database),
		"select current_database() || ' ' || current_setting('timezone')"))
}

func TestAServiceOfTheEnvironmentIsNamed(t *testing.T) {
	dir := made(t)
	t.Setenv("PGSERVICE", "nowhere")
	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "PGSERVICE")
	gone(t, dir)
}

func TestChildrenGetACleanEnvironment(t *testing.T) {
	got := cleanEnv([]string{"PATH=/bin", "PGDATA=/x", "LC_ALL=de", "LANG=de", "LANGUAGE=de", "NOTIFY_SOCKET=/n",
		"HALFHOUR_SMTP_PASSWORD=x", "DATABASE_URL=x", "LD_LIBRARY_PATH=/lib", "HOME=/h"})
	require.Equal(t, []string{"PATH=/bin", "LD_LIBRARY_PATH=/lib", "HOME=/h"}, got)
}

func TestRowsStayOutOfTheLog(t *testing.T) {
	var log safeBuffer
	srv, err := Start(t.Context(), Config{Dir: made(t), Test: true,
		Logger: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	require.NoError(t, err)
	run(t, srv.URL(Database), "create table person (name text primary key)", "insert into person values ('Wren Alder')")
	conn, err := pgx.Connect(t.Context(), srv.URL(Database))
	require.NoError(t, err)
	_, err = conn.Exec(t.Context(), "insert into person values ('Wren Alder')")
	require.ErrorContains(t, err, "person_pkey")
	_, err = conn.Exec(t.Context(), "select 'Wren Alder'::int")
	require.ErrorContains(t, err, "Wren Alder")
	require.NoError(t, conn.Close(t.Context()))
	require.NoError(t, srv.Stop(t.Context()))
	require.Contains(t, log.String(), "ready to accept connections")
	require.Contains(t, log.String(), "database system is shut down", "the last lines arrive")
	require.NotContains(t, log.String(), "Wren")
}

func TestALongPathGetsAShortSocket(t *testing.T) {
	dir := filepath.Join(place(t), strings.Repeat("long", 30), "data")
	srv := start(t, dir)
	require.True(t, strings.HasPrefix(srv.Folder(), "/tmp/halfhour-"), srv.Folder())
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
	require.NoError(t, srv.Stop(t.Context()))
	require.NoDirExists(t, srv.Folder())
}

func TestAPathWithSeparatorsGetsAPlainSocket(t *testing.T) {
	srv := start(t, filepath.Join(place(t), `a, "b" +%20`))
	require.True(t, strings.HasPrefix(srv.Folder(), "/tmp/halfhour-"), srv.Folder())
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))

	plain := start(t, filepath.Join(place(t), "with space +%20 ünd ?&=#"))
	require.Equal(t, 1, query[int](t, plain.URL(Database), "select 1"))
}

func TestAPlantedSocketFolderIsRefused(t *testing.T) {
	base := place(t)
	dir := filepath.Join(base, strings.Repeat("long", 30), "data")
	hold, err := Lock(dir)
	require.NoError(t, err)
	defer hold.Release()
	acc, err := chooseAccount(folder{data: hold.Dir()})
	require.NoError(t, err)
	planted := folder{data: hold.Dir()}.socketFolder(acc.uid)
	require.NoError(t, os.Symlink(base, planted))
	t.Cleanup(func() { require.NoError(t, os.Remove(planted)) })

	_, err = Start(t.Context(), Config{Dir: dir, Hold: hold, Test: true})
	require.ErrorContains(t, err, planted)
	require.ErrorContains(t, err, "Move it away")
}

func TestALockThatTheCallerHolds(t *testing.T) {
	dir := made(t)
	hold, err := Lock(dir)
	require.NoError(t, err)
	srv, err := Start(t.Context(), Config{Dir: dir, Hold: hold, Test: true})
	require.NoError(t, err)
	require.NoError(t, srv.Stop(t.Context()))
	_, err = Lock(dir)
	require.ErrorIs(t, err, ErrInUse, "the caller's lock outlives the database")
	hold.Release()
	again, err := Lock(dir)
	require.NoError(t, err)
	again.Release()
}

func TestAnEndedContextEndsTheStart(t *testing.T) {
	dir := filepath.Join(place(t), "data")
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() {
		_, err := Start(ctx, Config{Dir: dir, Test: true})
		done <- err
	}()
	require.Eventually(t, func() bool { // in the midst of making the cluster
		_, err := os.Stat(filepath.Join(folder{data: dir}.halfway(), "base"))
		return err == nil
	}, 10*time.Second, time.Millisecond)
	cancel()
	require.ErrorIs(t, <-done, context.Canceled)
	require.NoDirExists(t, folder{data: dir}.pgdata())
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestStopWithoutPatience(t *testing.T) {
	dir := made(t)
	srv := start(t, dir)
	run(t, srv.URL(Database), "create table kept (n int)", "insert into kept values (7)", "checkpoint")
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	require.NoError(t, srv.Stop(ended))
	gone(t, dir)
	again := start(t, dir)
	require.Equal(t, 7, query[int](t, again.URL(Database), "select n from kept"))
}

func TestAttach(t *testing.T) {
	_, err := Attach(t.Context(), filepath.Join(place(t), "nothing"))
	require.ErrorIs(t, err, ErrNotRunning)
	_, err = Attach(t.Context(), place(t))
	require.ErrorIs(t, err, ErrNotRunning)
	dir := made(t)
	srv := start(t, dir)
	addr, err := Attach(t.Context(), dir)
	require.NoError(t, err)
	require.Equal(t, srv.URL(Database), addr.URL(Database))
	require.Equal(t, 1, query[int](t, addr.URL(Database), "select 1"))
	require.NoError(t, srv.Stop(t.Context()))
	_, err = Attach(t.Context(), dir)
	require.ErrorIs(t, err, ErrNotRunning)
}

func TestToolsOfTheSameVersion(t *testing.T) {
	path, err := Tool(t.Context(), Config{Dir: made(t)}, "initdb")
	require.NoError(t, err)
	require.FileExists(t, path)
	_, err = Tool(t.Context(), Config{Dir: place(t)}, "pg_nothing")
	require.ErrorContains(t, err, "pg_nothing")
}

// safeBuffer takes lines from the reader of the log while a test looks.
type safeBuffer struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (b *safeBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.Write(p)
}

func (b *safeBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.String()
}
