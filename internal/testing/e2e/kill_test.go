package e2e

import (
	"fmt"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// stream is a phone that sends one session after the other and notes which were
// acknowledged.
type stream struct {
	athlete      int
	phone        *visitor.Visitor
	acknowledged []string // keys
	last         url.Values
}

// send goes on until no answer comes. Each session is a strength session with a
// key of its own, at a minute of its own.
func (s *stream) send(template url.Values, day func(n int) string, killed <-chan struct{}, acknowledged chan<- struct{}) error {
	for n := 0; ; n++ {
		values := url.Values{}
		for name := range template {
			values[name] = template[name]
		}
		key := fmt.Sprintf("stream-%d-%06d", s.athlete, n)
		values.Set("key", key)
		values.Set("date", day(1+n/1440))
		values.Set("clock", fmt.Sprintf("%02d:%02d", n/60%24, n%60))
		s.last = values
		page, err := s.phone.Post("/log", values)
		select {
		case <-killed: // an answer that was under way may still come, or half of one
			if err != nil || page.Status != 200 {
				return nil
			}
		default:
			if err != nil {
				return err
			}
			if page.Status != 200 {
				return fmt.Errorf("not taken: %s", page)
			}
		}
		s.acknowledged = append(s.acknowledged, key)
		acknowledged <- struct{}{}
	}
}

// A program that is killed in the middle of a stream of sessions has lost nothing
// of what it acknowledged and stored nothing twice, also when each phone sends
// its last session again, not knowing whether it arrived.
func TestKilledInAStreamOfSessions(t *testing.T) {
	const phones, enough = 4, 120
	c := newClub(t, program.Options{})
	streams := make([]*stream, phones)
	var template url.Values
	for i := range streams {
		_, link := c.add(fmt.Sprintf("Athlete %d", i), "L1")
		streams[i] = &stream{athlete: i, phone: c.phone(link)}
		template = streams[i].phone.Get("/log?kind=strength").Form("form.after").Set("minutes", "30", "effort", "5", "pain", "none").Values
	}
	c.since(20)

	acknowledged, killed := make(chan struct{}), make(chan struct{})
	var all sync.WaitGroup
	faults := make(chan error, phones)
	for _, s := range streams {
		all.Go(func() {
			faults <- s.send(template, func(n int) string { return ago(t, n) }, killed, acknowledged)
		})
	}
	ended := make(chan struct{})
	go func() {
		all.Wait()
		close(ended)
	}()
	for n, going := 0, true; going; {
		select {
		case <-acknowledged:
			if n++; n == enough {
				close(killed)
				c.Kill()
			}
		case <-ended:
			going = false
		}
	}
	for range streams {
		require.NoError(t, <-faults)
	}

	c.Again()
	for _, s := range streams {
		page, err := s.phone.Post("/log", s.last)
		require.NoError(t, err)
		require.Equal(t, 200, page.Status, page)
		for _, key := range s.acknowledged {
			require.Equal(t, 1, c.count("select count(*) from session where key = $1", key), "session %s was acknowledged", key)
		}
		require.Equal(t, 1, c.count("select count(*) from session where key = $1", s.last.Get("key")))
		of := c.count("select count(*) from session where key like $1", fmt.Sprintf("stream-%d-%%", s.athlete))
		require.GreaterOrEqual(t, of, len(s.acknowledged))
		require.LessOrEqual(t, of, len(s.acknowledged)+1, "only the last one can be there without an answer")
		require.True(t, strings.HasPrefix(s.phone.Get("/today").Path, "/today"), "the phone is still signed in")
	}
}
