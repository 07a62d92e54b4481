package jobs

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/pgtest"
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		os.Exit(program())
	}
	os.Exit(pgtest.Main(m, postgres.Migrate))
}

// house is a database with one club, and everything that works on it.
type house struct {
	t       *testing.T
	db      *postgres.DB
	store   *postgres.Store
	admin   *pgx.Conn
	post    *post.Service
	carrier *carrier
	log     *said
	club    roster.ClubID
	owner   roster.Actor
	number  atomic.Int64
}

// carrier takes letters and does with them what the test says.
type carrier struct {
	mu      sync.Mutex
	carried []roster.LetterID
	carry   func(ctx context.Context, m *post.Mail) error
}

func (c *carrier) Carry(ctx context.Context, m *post.Mail) error {
	c.mu.Lock()
	carry := c.carry
	c.mu.Unlock()
	if carry != nil {
		if err := carry(ctx, m); err != nil {
			return err
		}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.carried = append(c.carried, m.ID)
	return nil
}

func (c *carrier) all() []roster.LetterID {
	c.mu.Lock()
	defer c.mu.Unlock()
	return append([]roster.LetterID(nil), c.carried...)
}

// said is a log that tests read.
type said struct {
	mu  sync.Mutex
	all bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.Write(b)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.String()
}

func open(t *testing.T) *house {
	t.Helper()
	url := pgtest.New(t)
	work, err := NewErrands()
	require.NoError(t, err)
	db, err := postgres.Open(t.Context(), url.AppURL, postgres.Options{Now: time.Now, Errands: work})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	admin, err := pgx.Connect(t.Context(), url.SuperuserURL)
	require.NoError(t, err)
	t.Cleanup(func() { _ = admin.Close(context.Background()) })
	h := &house{t: t, db: db, store: db.Store(), admin: admin, carrier: &carrier{}, log: &said{}}
	h.post = &post.Service{
		Store: h.store, Carrier: h.carrier, Now: time.Now, Here: "https://run.example.org",
		Link: func(context.Context, *post.Letter) (post.Link, error) { return post.Link{Path: "/in/x"}, nil },
	}
	h.found()
	return h
}

// found names a club.
func (h *house) found() {
	code := sha256.Sum256([]byte(h.t.Name()))
	require.NoError(h.t, h.store.PutCode(h.t.Context(), roster.Actor{}, access.Code{Hash: code, Purpose: access.SetUp, Expires: time.Now().Add(time.Hour)}))
	id, coach, err := h.store.Found(h.t.Context(), code, time.Now(), roster.Club{Name: "Harbour", Zone: "Europe/Lisbon"},
		roster.Coach{Name: "Mara Lindqvist", Email: "mara@example.org"}, "phc")
	require.NoError(h.t, err)
	h.club, h.owner = id, roster.Actor{Club: id, Coach: coach}
}

// crew is one more program on the database, started.
func (h *house) crew(set ...func(*Crew)) *Crew {
	h.t.Helper()
	c := New(h.db.Pool(), h.post, slog.New(slog.NewTextHandler(h.log, nil)), time.Now)
	c.hasty = true
	for _, s := range set {
		s(c)
	}
	require.NoError(h.t, c.Start(h.t.Context()))
	h.t.Cleanup(func() { require.NoError(h.t, c.Stop(context.Background())) })
	return c
}

// write writes a letter to an address and hands it on.
func (h *house) write(address string) {
	h.t.Helper()
	require.NoError(h.t, h.post.InviteCoach(h.t.Context(), h.owner, false, address, roster.Key(fmt.Sprintf("key-%08d", h.number.Add(1)))))
}

// eventually waits for what must come.
func (h *house) eventually(condition func() bool, why string) {
	h.t.Helper()
	require.Eventually(h.t, condition, 60*time.Second, 20*time.Millisecond, why)
}

// count is the one number of a statement, past row security.
func (h *house) count(sql string, args ...any) (n int) {
	h.t.Helper()
	require.NoError(h.t, h.admin.QueryRow(context.Background(), sql, args...).Scan(&n))
	return n
}
