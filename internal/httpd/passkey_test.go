package httpd

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/testing/fake"
)

// fetched is a request as the script of a page makes it: names and values in turn.
func (b *browser) fetched(path string, pairs ...string) *answer {
	b.site.t.Helper()
	return b.fetchedFrom("http://localhost:8080", path, pairs...)
}

func (b *browser) fetchedFrom(origin, path string, pairs ...string) *answer {
	b.site.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	if origin != "" {
		r.Header.Set("Origin", origin)
	}
	r.Host = "localhost:8080"
	return b.do(r)
}

// signed is the answer of a key to the question that came back.
func (a *answer) signed(key string, count uint32) string {
	a.t.Helper()
	require.Equal(a.t, http.StatusOK, a.StatusCode, a.body)
	return string(fake.SignWith([]byte(a.body), key, count))
}

// goesTo checks that the page goes on at the path.
func (a *answer) goesTo(path string) {
	a.t.Helper()
	require.Equal(a.t, http.StatusOK, a.StatusCode, a.body)
	var told goOn
	require.NoError(a.t, json.Unmarshal([]byte(a.body), &told))
	require.Equal(a.t, path, told.Next)
}

// says checks for a refusal in words.
func (a *answer) says(status int, words string) {
	a.t.Helper()
	require.Equal(a.t, status, a.StatusCode, a.body)
	require.Contains(a.t, a.body, words)
}

// keyed is a site whose owner has a passkey.
func keyed(t *testing.T) (*site, *browser) {
	t.Helper()
	s := newSite(t)
	b := s.as(s.owner)
	b.fetched("/club/passkeys", "name", "My phone", "answer", b.fetched("/club/passkeys/ask").signed("phone", 1)).goesTo("/club?said=key-added")
	return s, b
}

func TestSignInByPasskey(t *testing.T) {
	s, _ := keyed(t)
	b := s.nobody()
	q := b.fetched("/sign-in/passkey/ask")
	answer := q.signed("phone", 2)
	require.Contains(t, q.Header.Get("Set-Cookie"), "HttpOnly; SameSite=Strict")
	require.Contains(t, q.Header.Get("Set-Cookie"), "Max-Age=300")
	b.fetched("/sign-in/passkey", "answer", answer, "next", "/pathway").goesTo("/pathway")
	require.Nil(t, b.asking, "forgotten")
	require.Equal(t, http.StatusOK, b.get("/roster").StatusCode)

	s.nobody().fetched("/sign-in/passkey", "answer", answer).says(http.StatusUnprocessableEntity, "once more")
	again := s.nobody()
	again.asking = q.Cookies()[0]
	again.fetched("/sign-in/passkey", "answer", answer).says(http.StatusUnprocessableEntity, "once more")
	require.Nil(t, again.cookie, "sent twice, it opens nothing")

	c := s.nobody()
	c.fetched("/sign-in/passkey", "answer", c.fetched("/sign-in/passkey/ask").signed("phone", 3), "next", "https://elsewhere.example").goesTo("/")
}

func TestAQuestionIsTiedToItsBrowser(t *testing.T) {
	s, _ := keyed(t)
	mine, theirs := s.nobody(), s.nobody()
	answer := mine.fetched("/sign-in/passkey/ask").signed("phone", 2)
	theirs.fetched("/sign-in/passkey/ask")
	theirs.fetched("/sign-in/passkey", "answer", answer).says(http.StatusUnprocessableEntity, "not accepted")
	require.Nil(t, theirs.cookie)
	mine.fetched("/sign-in/passkey", "answer", answer).goesTo("/")
}

func TestWhereAPasskeyIsAskedFrom(t *testing.T) {
	s, _ := keyed(t)
	for origin, words := range map[string]string{
		"":                           "by its name over https", // whoever sends none is no browser
		"http://localhost:9090":      "Open Halfhour itself",
		"https://localhost":          "Open Halfhour itself",
		"http://evil.example":        "Open Halfhour itself",
		"null":                       "Open Halfhour itself",
		"http://localhost.evil:8080": "Open Halfhour itself",
	} {
		a := s.nobody().fetchedFrom(origin, "/sign-in/passkey/ask")
		require.GreaterOrEqual(t, a.StatusCode, 400, origin)
		require.Contains(t, a.body, words, origin)
	}
	b := s.nobody()
	answer := b.fetched("/sign-in/passkey/ask").signed("phone", 2)
	b.fetchedFrom("https://localhost:8080", "/sign-in/passkey", "answer", answer).says(http.StatusUnprocessableEntity, "not accepted")
}

func TestSites(t *testing.T) {
	for address, want := range map[string]access.Site{
		"https://run.example.org":      {Name: "run.example.org", Origin: "https://run.example.org"},
		"https://Run.Example.org:8443": {Name: "run.example.org", Origin: "https://run.example.org:8443"},
		"https://run.example.org:443":  {Name: "run.example.org", Origin: "https://run.example.org"},
		"http://localhost:8080":        {Name: "localhost", Origin: "http://localhost:8080"},
		"http://localhost:80":          {Name: "localhost", Origin: "http://localhost"},
		"http://club.localhost":        {Name: "club.localhost", Origin: "http://club.localhost"},
		"https://halfhour":             {Name: "halfhour", Origin: "https://halfhour"},
		"http://run.example.org":       {}, // anybody could listen in
		"http://127.0.0.1:8080":        {}, // a number
		"https://192.168.1.5":          {},
		"https://[::1]:8080":           {},
		"https://127.1":                {}, // a number too, for browsers
		"https://0x7f000001":           {},
		"https://run.example.org.":     {},
		"https://run_example.org":      {},
		"http://localhost.example.org": {},
		"ftp://localhost":              {},
		"localhost:8080":               {},
		"":                             {},
	} {
		u, err := url.Parse(address)
		require.NoError(t, err)
		require.Equal(t, want, siteAt(u), address)
	}
}

// What is configured decides, whatever a request says of itself.
func TestAConfiguredAddressDecides(t *testing.T) {
	for address, offered := range map[string]string{
		"https://run.example.org": "run.example.org", "http://run.example.org": "", "http://localhost:8080": "localhost", "https://10.0.0.7": "",
	} {
		u, err := url.Parse(address)
		require.NoError(t, err)
		s := &server{Deps: Deps{BaseURL: u}}
		r := httptest.NewRequest(http.MethodPost, "/sign-in/passkey/ask", nil)
		r.Host = "evil.example"
		r.Header.Set("Origin", "https://evil.example")
		require.Equal(t, siteAt(u), s.siteOf(r))
		require.Equal(t, offered, s.siteName(r), address)
	}
}

func TestPasskeysAreOfferedByName(t *testing.T) {
	s, _ := keyed(t)
	for host, offered := range map[string]bool{"localhost:8080": true, "run.example.org": true, "127.0.0.1:8080": false, "192.168.1.5": false, "[::1]:8080": false} {
		r := httptest.NewRequest(http.MethodGet, "/sign-in", nil)
		r.Host = host
		a := s.nobody().do(r)
		require.Len(t, a.all("form[data-passkey][hidden]"), map[bool]int{true: 1}[offered], host)
		require.Equal(t, offered, strings.Contains(a.body, "passkey.js"), host)
		r = httptest.NewRequest(http.MethodGet, "/club", nil)
		r.Host = host
		a = s.as(s.owner).do(r)
		require.Len(t, a.all("form[action='/club/passkeys']"), map[bool]int{true: 1}[offered], host)
		require.Equal(t, !offered, strings.Contains(a.body, "At this address none can be made"), host)
		require.Len(t, a.all("form[action$='/remove']"), 1, "what is there can be removed anywhere")
	}
}

func TestWaysInAreChangedAfterAProof(t *testing.T) {
	s, b := keyed(t)
	at := "/club/passkeys/" + idText(s.store.Keyed[0].ID) + "/remove"
	s.now = s.now.Add(access.FreshFor)
	require.Equal(t, http.StatusForbidden, b.post(at).StatusCode)
	b.fetched("/club/passkeys/ask").says(http.StatusForbidden, "show that it is you")
	a := b.get("/club")
	require.Empty(t, a.all("form[action$='/remove'], form[action='/club/passkeys']"))
	a.one("form[action='/club/proof'] input[name=current]")

	a = b.post("/club/proof", "current", "wrong, wrong, wrong")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "Please look: That is not the present password.", text(a.one("#proof-wrong")))
	require.Empty(t, a.all("#current-wrong"), "the fault stands at its own form")
	b.post("/club/proof", "current", rightPassword).leadsTo("/club?said=proved")
	require.Contains(t, text(b.get("/club?said=proved").one(".notice")), "For ten minutes")

	s.now = s.now.Add(access.FreshFor)
	b.fetched("/club/proof/passkey", "answer", b.fetched("/club/proof/ask").signed("phone", 2)).goesTo("/club?said=proved")
	b.post(at).leadsTo("/club?said=key-removed")
	require.Equal(t, http.StatusNotFound, b.post(at).StatusCode)
	c := s.nobody()
	c.fetched("/sign-in/passkey", "answer", c.fetched("/sign-in/passkey/ask").signed("phone", 3)).says(http.StatusUnprocessableEntity, "another way in")
}

func TestProofsAreCounted(t *testing.T) {
	s, b := keyed(t)
	s.now = s.now.Add(access.FreshFor)
	for range 10 {
		b.post("/club/proof", "current", "wrong, wrong, wrong")
	}
	a := b.post("/club/proof", "current", rightPassword)
	require.Equal(t, http.StatusTooManyRequests, a.StatusCode)
	require.Contains(t, text(a.one("#proof-wrong")), "quarter of an hour")
}

func TestACopiedPasskeyIsSaid(t *testing.T) {
	s, b := keyed(t)
	c := s.nobody()
	c.fetched("/sign-in/passkey", "answer", c.fetched("/sign-in/passkey/ask").signed("phone", 1)).says(http.StatusUnprocessableEntity, "a copy of it")
	require.Contains(t, text(b.get("/club").one("section[aria-labelledby=passkeys]")), "a copy of it seems to have been used")
	s.now = s.now.Add(time.Hour)
	a := b.get("/club")
	require.Empty(t, a.all("form[action='/club/proof/passkey']"), "it proves nothing")
}
