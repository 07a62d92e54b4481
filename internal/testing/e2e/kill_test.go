package e2e

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// stream is a phone that sends one session after the other and notes which were
// acknowledged.
type stream struct {
	phone        *visitor.Visitor
	template     url.Values // a form as it came, filled in
	first        int        // the number of its first session: a minute and a key of its own each
	acknowledged []string   // keys
	last         url.Values // what was sent last
	lost         bool       // the last one was not acknowledged
}

// send goes on until no answer comes any more, which is a fault before the kill.
func (s *stream) send(day func(n int) string, killed <-chan struct{}, acknowledged chan<- struct{}) error {
	for n := s.first; ; n++ {
		key := fmt.Sprintf("stream-%06d", n)
		s.last = url.Values{}
		for name := range s.template {
			s.last[name] = s.template[name]
		}
		s.last.Set("key", key)
		s.last.Set("date", day(1+n%20000/1440))
		s.last.Set("clock", fmt.Sprintf("%02d:%02d", n/60%24, n%60))
		page, err := s.phone.Post("/log", s.last)
		if err != nil || page.Status != http.StatusSeeOther {
			s.lost = true
			select {
			case <-killed:
				return nil
			default:
				return fmt.Errorf("session %s was not taken: %v %w", key, page, err)
			}
		}
		s.acknowledged = append(s.acknowledged, key)
		acknowledged <- struct{}{}
	}
}

// A program that is killed in the middle of a stream of sessions has lost nothing
// of what it acknowledged and stored nothing twice, also when each phone sends its
// last session again, not knowing whether it arrived; and the same where its
// database is killed with it.
func TestKilledInAStreamOfSessions(t *testing.T) {
	t.Parallel()
	const phones = 4
	c := newClub(t, program.Options{})
	hands := make([]*visitor.Visitor, phones)
	for i := range hands {
		_, link := c.add(fmt.Sprintf("Athlete %d", i), "L1")
		hands[i] = c.phone(link).Blunt()
	}
	c.since(20)
	template := hands[0].Get("/log?kind=strength").Form("form.after").Set("minutes", "30", "effort", "5", "pain", "none").Values
	stored := 0
	for round, kill := range []func(){c.Kill, func() { c.killDatabase(); c.Kill() }} {
		streams := make([]*stream, phones)
		for i := range streams {
			streams[i] = &stream{phone: hands[i], template: template, first: 20_000*i + 5_000*round}
		}
		c.flood(streams, kill)
		c.Again()
		stored += c.nothingLost(streams)
		require.Equal(t, stored, c.count("select count(*) from session"), "nothing beside what was sent")
	}
}

// flood lets all send at once, and kills when enough is acknowledged.
func (c *club) flood(streams []*stream, kill func()) {
	c.t.Helper()
	const enough = 120
	acknowledged, killed := make(chan struct{}), make(chan struct{})
	faults := make(chan error, len(streams))
	var all sync.WaitGroup
	for _, s := range streams {
		all.Go(func() { faults <- s.send(func(n int) string { return ago(c.t, n) }, killed, acknowledged) })
	}
	go func() {
		all.Wait()
		close(acknowledged)
	}()
	n := 0
	for range acknowledged {
		if n++; n == enough {
			close(killed)
			kill()
		}
	}
	require.GreaterOrEqual(c.t, n, enough)
	for range streams {
		require.NoError(c.t, <-faults)
	}
}

// nothingLost looks for what was acknowledged, and sends again what was not. It
// gives how many sessions the streams have stored.
func (c *club) nothingLost(streams []*stream) (sent int) {
	c.t.Helper()
	times := map[string]int{}
	for _, key := range c.texts("select key from session") {
		times[key]++
	}
	for _, s := range streams {
		for _, key := range s.acknowledged {
			require.Equal(c.t, 1, times[key], "session %s was acknowledged", key)
		}
		require.True(c.t, s.lost)
		require.LessOrEqual(c.t, times[s.last.Get("key")], 1)
		page, err := s.phone.Post("/log", s.last)
		require.NoError(c.t, err)
		require.Equal(c.t, http.StatusSeeOther, page.Status, page)
		require.Equal(c.t, 1, c.count("select count(*) from session where key = $1", s.last.Get("key")))
		require.Equal(c.t, 200, s.phone.Get("/today").Status, "the phone is still signed in")
		sent += len(s.acknowledged) + 1
	}
	return sent
}

// killDatabase ends the private PostgreSQL at once and without a word.
func (c *club) killDatabase() {
	c.t.Helper()
	noted, err := os.ReadFile(filepath.Join(c.Data(), "pgdata", "postmaster.pid"))
	require.NoError(c.t, err)
	first, _, _ := strings.Cut(string(noted), "\n")
	pid, err := strconv.Atoi(first)
	require.NoError(c.t, err)
	require.NoError(c.t, syscall.Kill(pid, syscall.SIGKILL))
}
