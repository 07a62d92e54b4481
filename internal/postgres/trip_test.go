package postgres

import (
	"context"
	"net"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/roster"
)

// trips counts round trips: how often something is sent after something was read.
type trips struct {
	n       atomic.Int64
	reading atomic.Bool
}

// wire is a connection that is counted.
type wire struct {
	net.Conn
	trips *trips
}

func (w wire) Write(p []byte) (int, error) {
	if w.trips.reading.Swap(false) {
		w.trips.n.Add(1)
	}
	return w.Conn.Write(p)
}

func (w wire) Read(p []byte) (int, error) {
	n, err := w.Conn.Read(p)
	if n > 0 {
		w.trips.reading.Store(true)
	}
	return n, err
}

// of is how many round trips the act takes once its statements are known.
func (c *trips) of(t *testing.T, act func()) int64 {
	t.Helper()
	act()
	before := c.n.Load()
	act()
	return c.n.Load() - before
}

// counted is the same database through one connection that is counted.
func (b *bench) counted(t *testing.T) (*Store, *trips) {
	t.Helper()
	c := &trips{}
	dial := func(ctx context.Context, network, address string) (net.Conn, error) {
		conn, err := new(net.Dialer).DialContext(ctx, network, address)
		return wire{conn, c}, err
	}
	db, err := Open(t.Context(), b.url.AppURL, Options{Connections: 1, Now: b.now, dial: dial})
	require.NoError(t, err)
	t.Cleanup(db.Close)
	return db.Store(), c
}

func TestWhatIsAskedAllDayIsOneRoundTrip(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.fill(t, c)
	token := b.hash()
	_, err := b.Open(t.Context(), token, access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	b.crowd(t, c, 5, 12)
	s, count := b.counted(t)

	ago := 3
	require.EqualValues(t, 1, count.of(t, func() {
		ago++
		_, again, err := s.Log(t.Context(), c.Actor, b.session(a, ago))
		require.NoError(t, err)
		require.False(t, again)
	}), "a session logged")
	require.EqualValues(t, 1, count.of(t, func() {
		files, err := s.Files(t.Context(), c.ID, today)
		require.NoError(t, err)
		require.Len(t, files, 6)
	}), "a roster")
	require.EqualValues(t, 1, count.of(t, func() {
		_, err := s.File(t.Context(), c.ID, a.ID, today)
		require.NoError(t, err)
	}), "one athlete")
	require.EqualValues(t, 1, count.of(t, func() {
		_, err := s.Visitor(t.Context(), token, noon)
		require.NoError(t, err)
	}), "who asks")
	require.EqualValues(t, 1, count.of(t, func() {
		all, err := s.Shelves(t.Context(), c.ID)
		require.NoError(t, err)
		require.Len(t, all, 1)
	}), "the pathways")
}

// What is sent twice is told by a second trip, and no third.
func TestASessionSentAgainIsTwoRoundTrips(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	sent := b.log(t, c, b.session(b.athlete(t, c, "Ana"), 1))
	s, count := b.counted(t)
	require.EqualValues(t, 2, count.of(t, func() {
		id, again, err := s.Log(t.Context(), c.Actor, sent)
		require.NoError(t, err)
		require.True(t, again)
		require.Equal(t, sent.ID, id)
	}))
	require.Equal(t, roster.SessionID(value[int64](t, b, "select session_id from session")), sent.ID)
}
