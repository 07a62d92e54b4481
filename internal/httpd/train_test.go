package httpd

import (
	"context"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// tuesday is the date of the site's clock: 14 April 2026, seven in the morning in
// Lisbon.
func tuesday() day.Date { return day.On(2026, 4, 14) }

// track is a site with one athlete on L3 since ten days, her phone and her coach.
type track struct {
	*site
	ines  roster.AthleteID
	phone *browser
	desk  *browser
}

func newTrack(t *testing.T) *track {
	t.Helper()
	s := newSite(t)
	s.now = time.Date(2026, 4, 14, 18, 0, 0, 0, time.UTC)
	k := &track{site: s, ines: s.runner("Ines Okafor", "L3")}
	k.phone, k.desk = s.asAthlete(s.store.Athletes[k.ines]), s.as(s.owner)
	return k
}

// runner adds an athlete who stands on the phase since ten days.
func (s *site) runner(name, phase string) roster.AthleteID {
	a := s.store.Runner(s.club.ID, name)
	a.JoinedOn, a.BirthYear = tuesday()-36, 1985
	a.Phase, a.PhaseSince, a.LastPassed = phase, tuesday()-10, "L2"
	s.store.Athletes[a.ID] = a
	return a.ID
}

// logs stores a whole easy session at seven in the morning some days ago, as its
// phone would.
func (s *site) logs(id roster.AthleteID, ago int, change ...func(*entry.Entry)) roster.SessionID {
	s.t.Helper()
	e := entry.Entry{
		Key: roster.Key("key-" + idText(id) + "-days-ago-" + idText(roster.SessionID(ago))), Date: tuesday() - day.Date(ago),
		Clock: readiness.Some(7 * 60), Whole: true, Effort: readiness.Some(4), Talk: readiness.Sentence, Breath: readiness.Early, PainAsked: true,
	}
	for _, f := range change {
		f(&e)
	}
	r, err := s.deps.Entry.Log(context.Background(), roster.Actor{Club: s.club.ID, Athlete: id}, id, e)
	require.NoError(s.t, err)
	return r.ID
}

// ready logs three good sessions: the gate is open.
func (s *site) ready(id roster.AthleteID) {
	for _, ago := range []int{6, 4, 1} {
		s.logs(id, ago)
	}
}

// standing is where an athlete is now.
func (s *site) standing(id roster.AthleteID) roster.Standing { return s.store.Athletes[id].Standing }

// has says whether the element has the attribute.
func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}

// with is a GET with one header.
func with(path, name, value string) *http.Request {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set(name, value)
	return r
}

// bytes is how long the answer is as it is sent.
func (s *site) bytes(r *http.Request) int {
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	return w.Body.Len()
}
