package postgres

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/pgtest"
)

func TestMain(m *testing.M) {
	if url := os.Getenv(migrateOnly); url != "" { // a process that migrates and nothing else
		if err := Migrate(context.Background(), url); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(pgtest.Main(m, Migrate))
}

// migrateOnly is the variable that makes such a process of the tests' binary.
const migrateOnly = "HALFHOUR_TEST_MIGRATE"

// today is the day of all tests: 14 April 2026, a Tuesday.
var (
	today = day.On(2026, time.April, 14)
	noon  = time.Date(2026, time.April, 14, 12, 0, 0, 0, time.UTC)
)

// bench is a database of one's own with the store over it.
type bench struct {
	*Store
	db     *DB
	url    *pgtest.DB
	admin  *pgx.Conn // whom row security does not bind
	number atomic.Int64
	work   *handedOn
}

// handedOn is whoever runs errands in these tests: it writes down what it was handed,
// also in a transaction that is rolled back.
type handedOn struct {
	mu      sync.Mutex
	fails   error
	letters []roster.LetterID
	from    []time.Time // of each letter
	people  [][]post.Person
}

func (h *handedOn) Letter(_ context.Context, _ pgx.Tx, _ roster.ClubID, id roster.LetterID, from time.Time) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.letters, h.from = append(h.letters, id), append(h.from, from)
	return h.fails
}

func (h *handedOn) WaysIn(_ context.Context, _ pgx.Tx, people []post.Person) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.people = append(h.people, people)
	return h.fails
}

// club is a club with its owner.
type club struct {
	roster.Club
	Coach   roster.CoachID
	Actor   roster.Actor
	Pathway roster.PathwayID
}

func open(t testing.TB) *bench {
	t.Helper()
	url := pgtest.New(t)
	work := &handedOn{}
	db, err := Open(t.Context(), url.AppURL, Options{Now: func() time.Time { return noon }, Errands: work})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	admin, err := pgx.Connect(t.Context(), url.SuperuserURL)
	require.NoError(t, err)
	t.Cleanup(func() { _ = admin.Close(context.Background()) })
	return &bench{Store: db.Store(), db: db, url: url, admin: admin, work: work}
}

// key is a key nobody had before.
func (b *bench) key() roster.Key { return roster.Key(fmt.Sprintf("key-%08d", b.number.Add(1))) }

// hash is the hash of a secret nobody had before.
func (b *bench) hash() access.Hash { return sha256.Sum256([]byte(b.key())) }

// club founds a club with its owner.
func (b *bench) club(t testing.TB, name string) club {
	t.Helper()
	code := b.hash()
	require.NoError(t, b.PutCode(t.Context(), roster.Actor{}, access.Code{Hash: code, Purpose: access.SetUp, Expires: noon.Add(time.Hour)}))
	id, coach, err := b.Found(t.Context(), code, noon, roster.Club{Name: name, Zone: "Europe/Lisbon"},
		roster.Coach{Name: "Owner of " + name, Email: string(b.key()) + "@example.org"}, "phc")
	require.NoError(t, err)
	shelf, err := b.NewestShelf(t.Context(), id)
	require.NoError(t, err)
	return club{
		Club: roster.Club{ID: id, Name: name, Zone: "Europe/Lisbon"}, Coach: coach,
		Actor: roster.Actor{Club: id, Coach: coach}, Pathway: shelf.ID,
	}
}

// athlete adds one, on L3 since the sixth.
func (b *bench) athlete(t testing.TB, c club, name string) roster.Athlete {
	t.Helper()
	a := roster.Athlete{
		Club: c.ID, Name: name, Zone: "Europe/Lisbon", SessionsAWeek: 3, HeartUsable: true, JoinedOn: today - 60, Arrival: roster.Here,
		Standing: roster.Standing{Pathway: c.Pathway, Phase: "L3", PhaseSince: today - 8, LastPassed: "L2"},
	}
	id, err := b.Add(t.Context(), c.Actor, a, roster.HealthCheck{}, b.key())
	require.NoError(t, err)
	a, err = b.Athlete(t.Context(), c.ID, id)
	require.NoError(t, err)
	return a
}

// session is one in full so many days before today.
func (b *bench) session(a roster.Athlete, ago int) roster.Session {
	date := today - day.Date(ago)
	s := roster.Session{Athlete: a.ID, Key: b.key(), LoggedAt: noon}
	s.Session = readiness.Session{
		StartedAt: date.UTC().Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: "L3", Outcome: readiness.InFull,
		Minutes: readiness.Some(30), Effort: readiness.Some(4), Talk: readiness.Sentence, PainAsked: true,
	}
	for range 6 {
		s.Blocks = append(s.Blocks,
			readiness.Block{Kind: pathway.Run, Planned: 120, Done: 120},
			readiness.Block{Kind: pathway.Walk, Planned: 180, Done: 180, Settle: readiness.Some(55)})
	}
	return s
}

// log stores it and gives it as it is kept.
func (b *bench) log(t testing.TB, c club, s roster.Session) roster.Session {
	t.Helper()
	id, again, err := b.Log(t.Context(), c.Actor, s, 0)
	require.NoError(t, err)
	require.False(t, again)
	s.ID, s.Version = id, 1
	return s
}

// value is the one value of a statement, past row security.
func value[T any](t testing.TB, b *bench, sql string, args ...any) T {
	t.Helper()
	rows, err := b.admin.Query(t.Context(), sql, args...)
	require.NoError(t, err)
	v, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[T])
	require.NoError(t, err)
	return v
}
