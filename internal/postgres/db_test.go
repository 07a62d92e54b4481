package postgres

import (
	"context"
	"fmt"
	"net"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

func clock() time.Time { return noon }

// counted is a connection that counts how often an answer was waited for: a
// reading after a writing.
type counted struct {
	net.Conn
	trips *atomic.Int64
	wrote atomic.Bool
}

func (c *counted) Write(p []byte) (int, error) {
	c.wrote.Store(true)
	return c.Conn.Write(p)
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.Conn.Read(p)
	if n > 0 && c.wrote.Swap(false) {
		c.trips.Add(1)
	}
	return n, err
}

// counting is the store over one connection whose round trips are counted.
func (b *bench) counting(t *testing.T) (*Store, *atomic.Int64) {
	t.Helper()
	trips := &atomic.Int64{}
	db, err := Open(t.Context(), b.url.AppURL, Options{Now: clock, Connections: 1,
		dial: func(ctx context.Context, network, address string) (net.Conn, error) {
			conn, err := (&net.Dialer{}).DialContext(ctx, network, address)
			return &counted{Conn: conn, trips: trips}, err
		}})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	return db.Store(), trips
}

func TestRoundTrips(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.crowd(t, c, 20, 12)
	a := b.fill(t, c)
	token := b.hash()
	_, err := b.Open(t.Context(), token, access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	s, trips := b.counting(t)
	for name, k := range map[string]struct {
		want int64
		act  func() error
	}{
		"Log": {1, func() error {
			_, _, err := s.Log(t.Context(), c.Actor, b.session(a, int(b.number.Load()%50)+10), 0)
			return err
		}},
		"Files":   {1, func() error { _, err := s.Files(t.Context(), c.ID, today); return err }},
		"File":    {1, func() error { _, err := s.File(t.Context(), c.ID, a.ID, today); return err }},
		"Visitor": {1, func() error { _, err := s.Visitor(t.Context(), token, noon); return err }},
		"Shelves": {1, func() error { _, err := s.Shelves(t.Context(), c.ID); return err }},
		"Tried":   {1, func() error { _, err := s.Tried(t.Context(), token, noon, noon); return err }},
	} {
		require.NoError(t, k.act(), "%s: the first time, statements are prepared", name)
		trips.Store(0)
		require.NoError(t, k.act(), name)
		require.Equal(t, k.want, trips.Load(), name)
	}
	trips.Store(0)
	again := b.session(a, 5)
	_, _, err = s.Log(t.Context(), c.Actor, again, 0)
	require.NoError(t, err)
	_, _, err = s.Log(t.Context(), c.Actor, again, 0)
	require.NoError(t, err)
	require.LessOrEqual(t, trips.Load(), int64(1+2+1), "what was there already is looked up (and once prepared)")
}

func TestWhoeverConnectsTheProgramWorksAsTheRoleThatIsBound(t *testing.T) {
	t.Parallel()
	b := open(t)
	ours, theirs := b.club(t, "Harbour"), b.club(t, "Hill")
	for _, url := range []string{b.url.AppURL, b.url.SuperuserURL} {
		db, err := Open(t.Context(), url, Options{Now: clock})
		require.NoError(t, err)
		t.Cleanup(db.Close)
		var role string
		var passes, owns bool
		require.NoError(t, db.pool.QueryRow(t.Context(), "select current_user").Scan(&role))
		require.NoError(t, db.pool.QueryRow(t.Context(), boundSQL).Scan(&passes, &owns))
		require.Equal(t, []any{"halfhour_app", false, false}, []any{role, passes, owns})
		clubs, err := ask(t.Context(), db.Store(), ours.ID, readID[roster.ClubID], "select club_id from club")
		require.NoError(t, err)
		require.Equal(t, []roster.ClubID{ours.ID}, clubs, "and not %d", theirs.ID)
	}
	var passes, owns bool
	require.NoError(t, b.admin.QueryRow(t.Context(), boundSQL).Scan(&passes, &owns))
	require.Equal(t, []bool{true, true}, []bool{passes, owns}, "it is seen when a role could pass")
}

func TestARoleThatOwnsTablesIsRefused(t *testing.T) {
	t.Parallel()
	b := open(t)
	_, err := b.admin.Exec(t.Context(), "alter table note owner to halfhour_app")
	require.NoError(t, err)
	_, err = Open(t.Context(), b.url.AppURL, Options{Now: clock})
	kind(t, fault.Unavailable, err)
	require.ErrorContains(t, err, "own no table")
}

func TestOpenSaysWhatIsMissing(t *testing.T) {
	t.Parallel()
	b := open(t)
	_, err := Open(t.Context(), b.url.AppURL, Options{})
	require.EqualError(t, err, "postgres.Open needs a clock")
	_, err = Open(t.Context(), "postgres://%zz", Options{Now: clock})
	require.ErrorContains(t, err, "cannot be read")
	_, err = Open(t.Context(), "postgres:///x?host="+t.TempDir()+"&user=x", Options{Now: clock})
	kind(t, fault.Unavailable, err, "nobody listens")
	_, err = Open(t.Context(), strings.Replace(b.url.AppURL, b.url.Name, "nosuch", 1), Options{Now: clock})
	require.Error(t, err)
	stranger := "stranger_of_" + b.url.Name[:20] // roles belong to the whole server
	_, err = b.admin.Exec(t.Context(), "create role "+stranger+" login")
	require.NoError(t, err)
	_, err = Open(t.Context(), strings.Replace(b.url.AppURL, "halfhour_app", stranger, 1), Options{Now: clock})
	kind(t, fault.Unavailable, err)
	require.ErrorContains(t, err, "GRANT halfhour_app")
}

func TestPing(t *testing.T) {
	t.Parallel()
	b := open(t)
	require.NoError(t, b.db.Ping(t.Context()))
	_, err := b.admin.Exec(t.Context(), "select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()")
	require.NoError(t, err)
	require.Eventually(t, func() bool { return b.db.Ping(t.Context()) == nil }, 10*time.Second, time.Millisecond, "it connects anew by itself")
}

func TestALockThatLastsIsUnavailable(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	db, err := Open(t.Context(), b.url.AppURL, Options{Now: clock, StatementTimeout: 50 * time.Millisecond})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	tx, err := b.admin.Begin(t.Context())
	require.NoError(t, err)
	defer func() { _ = tx.Rollback(context.Background()) }()
	_, err = tx.Exec(t.Context(), "select from athlete for update")
	require.NoError(t, err)
	_, err = db.Store().Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
	kind(t, fault.Unavailable, err)
	_, _, err = db.Store().Log(t.Context(), c.Actor, b.session(a, 1), 0)
	kind(t, fault.Unavailable, err)
	require.Zero(t, value[int](t, b, "select count(*)::int from audit where change in ('session.log', 'decision.keep')"))
}

// While connections are killed all the time, a phone sends each session until it
// is acknowledged. In the end each is there once.
func TestWhatIsAcknowledgedIsThereOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	const phones, sessions = 4, 40
	var athletes []roster.Athlete
	for i := range phones {
		athletes = append(athletes, b.athlete(t, c, fmt.Sprintf("Phone %d", i)))
	}
	killer := connect(t, b.url.SuperuserURL)
	stop, killed := make(chan struct{}), 0
	var wait sync.WaitGroup
	wait.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
				tag, err := killer.Exec(context.Background(), `select pg_terminate_backend(pid) from pg_stat_activity
					where datname = current_database() and usename = 'halfhour_app' and state <> 'idle'`)
				if err == nil {
					killed += int(tag.RowsAffected())
				}
			}
		}
	})
	var phone sync.WaitGroup
	for _, a := range athletes {
		phone.Go(func() {
			for n := range sessions {
				s := b.session(a, n)
				for {
					_, _, err := b.Log(context.Background(), c.Actor, s, 0)
					if err == nil {
						break
					}
					if fault.KindOf(err) != fault.Unavailable {
						t.Errorf("%v is %s", err, fault.KindOf(err))
						return
					}
				}
			}
		})
	}
	phone.Wait()
	close(stop)
	wait.Wait()
	require.Positive(t, killed)
	require.Equal(t, phones*sessions, value[int](t, b, "select count(*)::int from session"))
	require.Equal(t, phones*sessions, value[int](t, b, "select count(*)::int from audit where change = 'session.log'"))
}

func TestNothingHalfStored(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	_, err := b.admin.Exec(t.Context(), "alter table audit add constraint full_disk check (change not in ('session.log', 'decision.keep', 'athlete.add', 'code.use')) not valid")
	require.NoError(t, err)
	_, _, err = b.Log(t.Context(), c.Actor, b.session(a, 1), 0)
	require.Error(t, err)
	_, err = b.Keep(t.Context(), c.Actor, b.decision(c, a, roster.MoveUp, "L4"), a.Version)
	require.Error(t, err)
	_, err = b.Add(t.Context(), c.Actor, a, roster.HealthCheck{}, b.key())
	require.Error(t, err)
	require.Zero(t, value[int](t, b, "select (select count(*) from session)::int + (select count(*) from decision)::int"))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from athlete"))
	after, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, a, after, "without its audit line nothing is done")
}

func TestKindsOfErrors(t *testing.T) {
	t.Parallel()
	for code, want := range map[string]fault.Kind{
		"23505": fault.Conflict, "23514": fault.Invalid, "23502": fault.Invalid, "23503": fault.NotFound, "22003": fault.Invalid, "22021": fault.Invalid,
		"53100": fault.Unavailable, "53200": fault.Unavailable, "53300": fault.Unavailable, "57P01": fault.Unavailable, "57P02": fault.Unavailable,
		"57P03": fault.Unavailable, "57014": fault.Unavailable, "55P03": fault.Unavailable, "40001": fault.Unavailable, "40P01": fault.Unavailable,
		"58030": fault.Unavailable, "08006": fault.Unavailable, "25006": fault.Unavailable, "28P01": fault.Unavailable,
		"42501": fault.Unknown, "42P01": fault.Unknown, "XX000": fault.Unknown,
	} {
		err := translate(fmt.Errorf("while storing: %w", &pgconn.PgError{Code: code}))
		require.Equal(t, want, fault.KindOf(err), code)
		require.ErrorAs(t, err, new(*pgconn.PgError), "the cause is kept")
	}
	require.NoError(t, translate(nil))
	require.Equal(t, fault.NotFound, fault.KindOf(translate(pgx.ErrNoRows)))
	require.Equal(t, fault.Unavailable, fault.KindOf(translate(context.DeadlineExceeded)))
	require.Equal(t, fault.Unknown, fault.KindOf(translate(context.Canceled)), "whoever asked has gone")
	require.Equal(t, fault.Gone, fault.KindOf(translate(gone())), "what has a kind keeps it")
	require.Equal(t, []fault.Field{{Place: "effort", Message: "cannot be taken as it is"}},
		fault.FieldsOf(translate(&pgconn.PgError{Code: "23514", ConstraintName: "effort", DataTypeName: "session_effort"})))
	require.Equal(t, "birth_year", fault.FieldsOf(translate(&pgconn.PgError{Code: "23514", TableName: "athlete", ConstraintName: "athlete_birth_year"}))[0].Place)
}

// An error may end up in a log, where nothing about anybody's health belongs.
func TestErrorsTellNothingOfWhatWasStored(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	s := b.session(b.athlete(t, c, "Ana"), 1)
	s.Note, s.Effort = "my secret shin", known(11)
	_, _, err := b.Log(t.Context(), c.Actor, s, 0)
	require.Error(t, err)
	require.NotContains(t, err.Error(), "shin")
	s.Effort, s.Minutes, s.Blocks = known(4), known(0), nil
	s.Phase = ""
	_, _, err = b.Log(t.Context(), c.Actor, s, 0)
	require.Error(t, err)
	require.NotContains(t, err.Error(), "shin")
}
