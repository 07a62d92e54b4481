package httpd

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web"
)

func TestEveryPageSaysWhatItMayDo(t *testing.T) {
	for _, path := range []string{"/sign-in", "/nowhere", "/healthz"} {
		h := newSite(t).nobody().get(path).Header
		csp := h.Get("Content-Security-Policy")
		require.Contains(t, csp, "default-src 'self'")
		require.Contains(t, csp, "frame-ancestors 'none'")
		require.NotContains(t, csp, "unsafe")
		require.Equal(t, "nosniff", h.Get("X-Content-Type-Options"))
		require.Equal(t, "same-origin", h.Get("Referrer-Policy"))
		require.Equal(t, "no-store", h.Get("Cache-Control"), path)
	}
}

// failing is a route that ends in the error, or panics.
func failing(err error) route {
	return route{get, "/fails", anybody, func(*server, http.ResponseWriter, *http.Request) error {
		if err == nil {
			panic("secret of the inside: pain 7 at the left shin")
		}
		return err
	}}
}

func TestEveryKindOfErrorHasItsStatusAndPage(t *testing.T) {
	for _, c := range []struct {
		err    error
		status int
	}{
		{fault.New(fault.Invalid, ""), 422},
		{fault.New(fault.NotFound, ""), 404},
		{fault.New(fault.Forbidden, "Only an owner may."), 403},
		{fault.New(fault.Conflict, ""), 409},
		{fault.New(fault.Gone, ""), 410},
		{fault.New(fault.TooMany, ""), 429},
		{fault.Wrap(fault.Unavailable, errors.New("secret of the inside")), 503},
		{errors.New("secret of the inside"), 500},
		{nil, 500},
	} {
		s := newSite(t)
		s.handler = s.server(failing(c.err))
		a := s.nobody().get("/fails")
		require.Equal(t, c.status, a.StatusCode)
		require.NotEmpty(t, text(a.one("h1")))
		require.NotContains(t, a.body, "secret", "nothing of the inside is shown")
		require.Equal(t, 1, strings.Count(s.log.String(), "msg=failed"), "one line in the log")
		reference := referenceIn(t, s.log.String())
		require.Contains(t, a.body, reference, "the page shows the reference of the log")
		if message := fault.MessageOf(c.err); message != "" {
			require.Contains(t, a.body, message)
		}
		if c.status >= 500 {
			require.Contains(t, s.log.String(), "secret of the inside", "the log has the cause")
		}
	}
}

func referenceIn(t *testing.T, log string) string {
	t.Helper()
	_, after, found := strings.Cut(log, "reference=")
	require.True(t, found, log)
	return strings.Fields(after)[0]
}

func TestAPanicOnTheWayOutBreaksTheConnection(t *testing.T) {
	s := newSite(t)
	s.handler = s.server(route{get, "/fails", anybody, func(_ *server, w http.ResponseWriter, _ *http.Request) error {
		_, err := w.Write([]byte("half a page"))
		require.NoError(t, err)
		return errors.New("too late")
	}})
	require.PanicsWithValue(t, http.ErrAbortHandler, func() { s.nobody().get("/fails") },
		"half a page must not look like a whole one")
}

// What a person typed, whom it is about and the codes of links stay out of the
// log.
func TestTheLogTellsNoSecrets(t *testing.T) {
	s := newSite(t)
	code := strings.Repeat("k", 43)
	s.nobody().get("/in/" + code + "?name=Ana")
	s.nobody().post("/sign-in", "email", "ana@example.org", "password", "hunter hunter")
	s.nobody().get("/nowhere/ana?pain=7")
	log := s.log.String()
	for _, secret := range []string{code, "Ana", "ana", "hunter", "pain", "192.0.2.1"} {
		require.NotContains(t, log, secret)
	}
	require.Contains(t, log, "route=/in/{code}")
	require.Contains(t, log, "status=404")
}

func TestUnknownAddressAndMethod(t *testing.T) {
	s := newSite(t)
	require.Equal(t, http.StatusNotFound, s.nobody().get("/nowhere").StatusCode)
	a := s.nobody().do(httptest.NewRequest(http.MethodDelete, "/sign-in", nil))
	require.Equal(t, http.StatusMethodNotAllowed, a.StatusCode)
	require.NotEmpty(t, text(a.one("h1")))
}

// counted counts how much of it was read.
type counted struct{ left, read int }

func (c *counted) Read(p []byte) (int, error) {
	n := min(len(p), c.left)
	if n == 0 {
		return 0, errors.New("all was read")
	}
	c.left, c.read = c.left-n, c.read+n
	return n, nil
}

func TestAHugeBodyIsNotRead(t *testing.T) {
	s := newSite(t)
	for _, told := range []int64{50 << 20, -1} { // its length said beforehand, and not
		body := &counted{left: 50 << 20}
		r := httptest.NewRequest(http.MethodPost, "/sign-in", body)
		r.ContentLength = told
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		a := s.nobody().do(r)
		require.Equal(t, http.StatusRequestEntityTooLarge, a.StatusCode)
		require.Contains(t, a.body, "1 MB")
		require.LessOrEqual(t, body.read, mostBody+4096)
		if told > 0 {
			require.Zero(t, body.read)
			require.Equal(t, "close", a.Header.Get("Connection"))
		}
	}
}

func TestAnotherSitesFormIsRefused(t *testing.T) {
	s := newSite(t)
	for _, c := range []struct {
		why     string
		headers map[string]string
		refused bool
	}{
		{"the browser says it comes from elsewhere", map[string]string{"Sec-Fetch-Site": "cross-site"}, true},
		{"a neighbour of the same domain", map[string]string{"Sec-Fetch-Site": "same-site"}, true},
		{"over plain http only the origin is said", map[string]string{"Origin": "http://evil.example"}, true},
		{"an origin that hides itself", map[string]string{"Origin": "null"}, true},
		{"the app's own page", map[string]string{"Sec-Fetch-Site": "same-origin"}, false},
		{"the app's own page over plain http", map[string]string{"Origin": "http://example.com"}, false},
		{"no browser at all", nil, false},
	} {
		r := httptest.NewRequest(http.MethodPost, "/sign-out", nil)
		for name, value := range c.headers {
			r.Header.Set(name, value)
		}
		a := s.nobody().do(r)
		require.Equal(t, c.refused, a.StatusCode == http.StatusForbidden, c.why)
		if c.refused {
			require.Contains(t, a.body, "another website")
		}
	}
}

func TestHealthAndReadiness(t *testing.T) {
	s := newSite(t)
	require.Equal(t, 200, s.nobody().get("/healthz").StatusCode)
	require.Equal(t, 200, s.nobody().get("/readyz").StatusCode)
	s.store.Down = errors.New("gone")
	require.Equal(t, 200, s.nobody().get("/healthz").StatusCode, "the process still answers")
	require.Equal(t, 503, s.nobody().get("/readyz").StatusCode)
}

// With the database away every page still answers, with a page of its own that
// has its styles.
func TestWithoutTheDatabase(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	s.store.Down = errors.New("connection refused to 10.1.2.3")
	for _, path := range []string{"/", "/club"} {
		a := b.get(path)
		require.Equal(t, http.StatusServiceUnavailable, a.StatusCode)
		require.NotContains(t, a.body, "10.1.2.3")
		require.NotEmpty(t, text(a.one("h1")))
		require.Equal(t, 200, b.get(attr(a.all("link[rel=stylesheet]")[0], "href")).StatusCode)
	}
	require.NotNil(t, b.cookie, "nobody is signed out by it")
}

func TestPagesAreSentCompressed(t *testing.T) {
	s := newSite(t)
	for path, compressed := range map[string]bool{"/sign-in": true, web.Asset("site.css"): true, web.Asset("fonts/atkinson.woff2"): false} {
		r := httptest.NewRequest(http.MethodGet, path, nil)
		r.Header.Set("Accept-Encoding", "gzip, deflate, br")
		w := httptest.NewRecorder()
		s.handler.ServeHTTP(w, r)
		require.Equal(t, http.StatusOK, w.Code)
		require.Equal(t, compressed, w.Header().Get("Content-Encoding") == "gzip", path)
	}
}

func TestAssetsMayBeKeptForEver(t *testing.T) {
	b := newSite(t).nobody()
	a := b.get(web.Asset("site.css"))
	require.Equal(t, 200, a.StatusCode)
	require.Equal(t, "public, max-age=31536000, immutable", a.Header.Get("Cache-Control"))
	require.Equal(t, "text/css; charset=utf-8", a.Header.Get("Content-Type"))
	require.Equal(t, "no-cache", b.get("/static/000000000000/site.css").Header.Get("Cache-Control"), "of an older page")
	for _, path := range []string{"/", "/fonts", "/fonts/", "/../embed.go", "/%2e%2e/embed.go", "/nothing.css"} {
		require.Equal(t, 404, b.get(web.Asset("")[:len(web.Asset(""))-1]+path).StatusCode, path)
	}
}

// Every file has a type that its suffix tells, not the one for anything unknown.
func TestEveryAssetHasItsType(t *testing.T) {
	files, err := readAssets(web.Static())
	require.NoError(t, err)
	for name := range files.files {
		if strings.HasSuffix(name, ".txt") || strings.HasSuffix(name, "/LICENSE") {
			continue
		}
		require.NotContains(t, contentType(name), "text/plain", name)
	}
}

func TestRedirectsStayHere(t *testing.T) {
	for to, stays := range map[string]string{
		"/roster":                   "/roster",
		"/athletes/7?from=mail":     "/athletes/7?from=mail",
		"https://evil.example/":     "/",
		"//evil.example/":           "/",
		"/\\evil.example":           "/",
		"\\\\evil.example":          "/",
		"/\t/evil.example":          "/",
		"javascript:alert(1)":       "/",
		"":                          "/",
		"roster":                    "/",
		"/roster\r\nSet-Cookie: a=": "/",
		"http:evil.example":         "/",
		"/%0d%0aSet-Cookie:a":       "/%0d%0aSet-Cookie:a", // stays encoded in the header
		"///evil.example":           "/",
		"/.//evil.example":          "/",
		"/%2f/evil.example":         "/",
		"/sign-in?next=//evil":      "/sign-in?next=//evil",
	} {
		require.Equal(t, stays, localPath(to), "%q", to)
	}
}
