package httpd

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/cascadia"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/outdoors"
	letters "halfhour.app/halfhour/internal/post" // post is a method here
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/web"
)

// rightPassword is that of every coach in these tests.
const rightPassword = "a quiet lane at six"

// site is the web app over a store in memory, at a time the test sets.
type site struct {
	t       *testing.T
	store   *fake.Store
	hasher  *fake.Hasher
	access  *access.Service
	deps    Deps
	handler http.Handler
	log     bytes.Buffer
	now     time.Time
	club    roster.Club
	owner   roster.Coach
}

// newSite makes one with a club and its owner; change may alter what it stands on.
func newSite(t *testing.T, change ...func(*Deps)) *site {
	t.Helper()
	s := &site{t: t, store: fake.New(), hasher: &fake.Hasher{}, now: time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC)}
	clock := func() time.Time { return s.now }
	random := &fake.Random{}
	s.access = &access.Service{Store: s.store, Hasher: s.hasher, Keys: fake.Keys{}, Random: random, Now: clock}
	s.deps = Deps{
		Access: s.access, Enrol: &enrol.Service{Store: s.store, Now: clock},
		Entry: &entry.Service{Store: s.store, Now: clock}, Days: &days.Service{Store: s.store, Now: clock}, Morning: &morning.Service{Store: s.store, Now: clock},
		Calendar: &calendar.Service{Store: s.store, Random: random, Now: clock},
		Decide:   &decide.Service{Store: s.store, Now: clock},
		Heart:    &heart.Service{Store: s.store, Now: clock, Read: readLines},
		Join:     &join.Service{Store: s.store, Now: clock},
		Privacy:  &privacy.Service{Store: s.store, Now: clock},
		Post:     &letters.Service{Store: s.store, Now: clock, Here: "http://halfhour.example", Composer: composer{}, Previewer: composer{}},
		Outdoors: &outdoors.Service{Store: s.store, Now: clock}, Routine: &routine.Service{Store: s.store, Now: clock}, Lift: &lift.Service{Store: s.store, Now: clock},
		Mail:   &filed{},
		Ready:  func(context.Context) error { return s.store.Down },
		Log:    slog.New(slog.NewTextHandler(&s.log, nil)),
		Random: random, Now: clock,
	}
	for _, c := range change {
		c(&s.deps)
	}
	handler, err := New(s.deps)
	require.NoError(t, err)
	s.handler = handler
	s.club, s.owner = s.store.Begin("Harbour", "mara@example.org", fake.HashOf(rightPassword))
	return s
}

// server gives the inside, for tests with routes of their own.
func (s *site) server(table ...route) http.Handler {
	inside := &server{Deps: s.deps}
	var err error
	inside.assets, err = readAssets(web.Static())
	require.NoError(s.t, err)
	handler, err := inside.router(table)
	require.NoError(s.t, err)
	return handler
}

// browser sends requests with the cookie of one visitor.
type browser struct {
	site   *site
	cookie *http.Cookie
	asking *http.Cookie // ties a question to a passkey to this browser
}

// nobody is a browser that is not signed in.
func (s *site) nobody() *browser { return &browser{site: s} }

// as is a browser signed in as the coach.
func (s *site) as(c roster.Coach) *browser {
	s.t.Helper()
	o, err := s.access.SignIn(context.Background(), access.Attempt{Email: c.Email, Password: rightPassword})
	require.NoError(s.t, err)
	return &browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: string(o.Token)}}
}

// asAthlete is a browser signed in as the athlete.
func (s *site) asAthlete(a roster.Athlete) *browser {
	s.t.Helper()
	link, err := s.access.AthleteLink(context.Background(), roster.Actor{Club: a.Club, Coach: s.owner.ID}, a.ID)
	require.NoError(s.t, err)
	o, err := s.access.Enter(context.Background(), link.Code, "key-of-the-form", "")
	require.NoError(s.t, err)
	return &browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: string(o.Token)}}
}

// answer is what came back.
type answer struct {
	*http.Response
	t    *testing.T
	body string
	doc  *html.Node
}

// do sends the request and keeps a cookie that comes back.
func (b *browser) do(r *http.Request) *answer {
	b.site.t.Helper()
	for _, c := range []*http.Cookie{b.cookie, b.asking} {
		if c != nil {
			r.AddCookie(c)
		}
	}
	w := httptest.NewRecorder()
	b.site.handler.ServeHTTP(w, r)
	a := &answer{Response: w.Result(), t: b.site.t}
	raw, err := io.ReadAll(a.Response.Body)
	require.NoError(a.t, err)
	a.body = string(raw)
	a.doc, err = html.Parse(strings.NewReader(a.body))
	require.NoError(a.t, err)
	for _, c := range a.Cookies() {
		place := &b.cookie
		if strings.HasSuffix(c.Name, "-asking") {
			place = &b.asking
		}
		*place = c
		if c.MaxAge < 0 {
			*place = nil
		}
	}
	return a
}

func (b *browser) get(path string) *answer {
	b.site.t.Helper()
	return b.do(httptest.NewRequest(http.MethodGet, path, nil))
}

// post sends a form: names and values in turn.
func (b *browser) post(path string, pairs ...string) *answer {
	b.site.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return b.do(r)
}

// leadsTo checks for a redirect that makes the browser get the path.
func (a *answer) leadsTo(path string) {
	a.t.Helper()
	require.Equal(a.t, http.StatusSeeOther, a.StatusCode, a.body)
	require.Equal(a.t, path, a.Header.Get("Location"))
}

// all finds the elements of a selector.
func (a *answer) all(selector string) []*html.Node {
	a.t.Helper()
	return cascadia.QueryAll(a.doc, cascadia.MustCompile(selector))
}

// one finds the only element of a selector.
func (a *answer) one(selector string) *html.Node {
	a.t.Helper()
	found := a.all(selector)
	require.Len(a.t, found, 1, "%s in %s", selector, a.body)
	return found[0]
}

// text is all text inside the element, with single spaces.
func text(n *html.Node) string {
	var b strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(n)
	return strings.Join(strings.Fields(b.String()), " ")
}

// attr is an attribute of the element; empty where there is none.
func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}
