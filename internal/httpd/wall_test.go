package httpd

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What holds for every answer of every route, whoever asks, is asked here of the
// whole table.

// secured is the app as people reach it over https.
func secured(d *Deps) { d.BaseURL = &url.URL{Scheme: "https", Host: "run.example.org"} }

// walled checks what the headers of any answer say, those of faults included.
func walled(t *testing.T, why string, h http.Header) {
	t.Helper()
	for name, want := range map[string]string{
		"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin",
		"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
	} {
		require.Equal(t, want, h.Get(name), "%s: %s", why, name)
	}
	csp := h.Get("Content-Security-Policy")
	for _, part := range []string{"default-src 'self'", "base-uri 'none'", "form-action 'self'", "frame-ancestors 'none'", "object-src 'none'"} {
		require.Contains(t, csp, part, why)
	}
	for _, lax := range []string{"unsafe", "data:", "blob:", "http:", "https:", "*"} {
		require.NotContains(t, csp, lax, why)
	}
	for _, part := range []string{"camera=()", "microphone=()", "geolocation=()"} {
		require.Contains(t, h.Get("Permissions-Policy"), part, why)
	}
	require.Empty(t, h.Get("Access-Control-Allow-Origin"), "%s: nothing is for other sites", why)
	require.Empty(t, h.Get("Server")+h.Get("X-Powered-By"), "%s: what it is made of is nobody's business", why)
}

// framed are the addresses of what stands inside pages of ours: letters.
var framed = map[string]bool{"/letter/preview": true, "/letter/{sent}/whole": true}

// fenced checks the headers of what stands in a frame: it may look as its own styles
// say, load, run and send nothing, and be in no page but ours.
func fenced(t *testing.T, why string, h http.Header) {
	t.Helper()
	require.Equal(t, "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox allow-top-navigation-by-user-activation",
		h.Get("Content-Security-Policy"), why)
	require.Equal(t, "SAMEORIGIN", h.Get("X-Frame-Options"), why)
	h = h.Clone()
	h.Set("X-Frame-Options", "DENY")
	h.Set("Content-Security-Policy", "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'")
	walled(t, why, h) // in all else as every answer
}

// ask sends what the table of who may call what sends.
func (p *people) ask(kind who, line route) *answer {
	r := httptest.NewRequest(line.method, p.path(line.pattern), strings.NewReader(p.path(fields()[line.method+" "+line.pattern])))
	if line.method == post {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	return p.visitors[kind].do(r)
}

// kindsSent are the kinds of content that are sent; where it is text, the characters are
// said as well.
var kindsSent = regexp.MustCompile(`^(text/(html|plain|css|javascript|csv|calendar); charset=utf-8|image/svg\+xml; charset=utf-8|image/(png|x-icon)|font/woff2|application/(json|manifest\+json|zip))$`)

func TestEveryAnswerIsWalled(t *testing.T) {
	for _, line := range routes() {
		for _, kind := range []who{nobody, herself, clubOwner} {
			p := newPeople(t)
			a := p.ask(kind, line)
			why := line.method + " " + line.pattern + " by " + kind.String()
			if framed[line.pattern] && a.StatusCode == http.StatusOK {
				fenced(t, why, a.Header)
			} else {
				walled(t, why, a.Header)
			}
			if a.body != "" && a.StatusCode != http.StatusSeeOther {
				require.Regexp(t, kindsSent, a.Header.Get("Content-Type"), why)
			}
			if line.may == unasked {
				require.NotEmpty(t, a.Header.Get("Cache-Control"), why)
				continue // files and pages in which nothing of anybody stands
			}
			keeps := "no-store"
			if strings.HasPrefix(line.pattern, calendarAt+"/") {
				keeps = "private, no-cache" // the program that subscribed keeps it, and asks each time whether it still may
			}
			require.Equal(t, keeps, a.Header.Get("Cache-Control"), "%s: nobody keeps what is about somebody", why)
		}
	}
}

// Faults before and after the routes are walled like pages.
func TestFaultsAreWalledToo(t *testing.T) {
	s := newSite(t)
	elsewhere := httptest.NewRequest(http.MethodPost, "/sign-in", nil)
	elsewhere.Header.Set("Sec-Fetch-Site", "cross-site")
	huge := httptest.NewRequest(http.MethodPost, "/sign-in", strings.NewReader(strings.Repeat("a", mostBody+1)))
	for why, r := range map[string]*http.Request{
		"nowhere": httptest.NewRequest(http.MethodGet, "/nowhere", nil), "no such method": httptest.NewRequest(http.MethodDelete, "/sign-in", nil),
		"no such file": httptest.NewRequest(http.MethodGet, "/static/0123456789ab/none.css", nil), "from elsewhere": elsewhere, "too large": huge,
		"traced": httptest.NewRequest(http.MethodTrace, "/sign-in", nil), "alive": httptest.NewRequest(http.MethodGet, "/healthz", nil),
	} {
		a := s.nobody().do(r)
		walled(t, why, a.Header)
		require.Equal(t, "no-store", a.Header.Get("Cache-Control"), why)
	}
	s.handler = s.server(failing(nil))
	a := s.nobody().get("/fails")
	require.Equal(t, 500, a.StatusCode)
	walled(t, "a panic", a.Header)
	s.store.Down = http.ErrServerClosed
	a = newSite(t).nobody().get("/sign-in")
	walled(t, "the database away", a.Header)
}

func TestOverHTTPSEveryAnswerSaysSo(t *testing.T) {
	s := newSite(t, secured)
	for _, path := range []string{"/sign-in", "/nowhere", "/healthz", "/no-signal", "/static/0123456789ab/site.css"} {
		require.Contains(t, s.nobody().get(path).Header.Get("Strict-Transport-Security"), "max-age=31536000", path)
	}
}

// What another website's page makes a browser send changes nothing, at any address
// to which a form goes, whoever is signed in.
func TestNoFormIsTakenFromElsewhere(t *testing.T) {
	p := newPeople(t)
	before := len(p.store.Audit)
	for _, line := range routes() {
		if line.method != post {
			continue
		}
		path, body := p.path(strings.ReplaceAll(line.pattern, "{code}", strings.Repeat("A", 43))), p.path(fields()["POST "+line.pattern])
		for _, header := range [][2]string{
			{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Sec-Fetch-Site", "none of these"},
			{"Origin", "https://elsewhere.example"}, {"Origin", "null"}, {"Origin", "http://example.com.elsewhere.example"}, {"Origin", "http://example.com:81"},
		} {
			for _, kind := range []who{herself, clubOwner} {
				r := httptest.NewRequest(post, path, strings.NewReader(body))
				r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				r.Header.Set(header[0], header[1])
				a := p.visitors[kind].do(r)
				require.Equal(t, http.StatusForbidden, a.StatusCode, "%s with %s: %s by %s", line.pattern, header[0], header[1], kind)
				require.Contains(t, a.body, "another website")
				require.Empty(t, a.Cookies())
			}
		}
	}
	require.Len(t, p.store.Audit, before, "nothing was changed")
}

// Looking changes nothing: links, previews and pictures on other sites can make a
// browser look.
func TestLookingChangesNothing(t *testing.T) {
	for _, line := range routes() {
		if line.method != get {
			require.Equal(t, post, line.method, "%s: what changes something is posted, and what else there is is looked at here", line.pattern)
			continue
		}
		for _, kind := range []who{nobody, herself, clubCoach, clubOwner} {
			p := newPeople(t)
			path := p.path(line.pattern)
			before := len(p.store.Audit)
			for _, query := range []string{"", "?key=key-of-the-form&choice=pause&reason=none&text=hello&name=Mine&version=1&do=next&from=2026-04-14"} {
				p.visitors[kind].get(path + query)
				p.visitors[kind].do(httptest.NewRequest(http.MethodHead, path+query, nil))
			}
			require.Len(t, p.store.Audit, before, "%s by %s", line.pattern, kind)
		}
	}
}

// No form is read further than forms go, told or untold how long it is, at any
// address and before anybody is asked who they are.
func TestEveryFormIsBounded(t *testing.T) {
	p := newPeople(t)
	for _, line := range routes() {
		if line.method != post {
			continue
		}
		most := mostBody
		if line.uploads() {
			most = mostThrough
		}
		for _, told := range []int64{int64(most) + 1, -1} {
			body := &counted{left: most + (1 << 20)}
			r := httptest.NewRequest(post, p.path(strings.ReplaceAll(line.pattern, "{code}", strings.Repeat("A", 43))), body)
			r.ContentLength = told
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			a := p.visitors[nobody].do(r)
			if told > 0 && !line.uploads() {
				require.Equal(t, http.StatusRequestEntityTooLarge, a.StatusCode, line.pattern)
			}
			require.LessOrEqual(t, body.read, most+4096, line.pattern)
		}
	}
}

// A form's fields come from its body alone: what the address says is no field.
func TestFieldsInTheAddressAreNoneOfTheForm(t *testing.T) {
	s := newSite(t)
	a := s.nobody().post("/sign-in?email=mara%40example.org&password="+url.QueryEscape(rightPassword), "next", "/club")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Empty(t, a.Cookies())
}

// Methods that no route has get no further, with whatever body.
func TestOtherMethodsAreRefused(t *testing.T) {
	p := newPeople(t)
	before := len(p.store.Audit)
	for _, line := range routes() {
		for _, method := range []string{http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodTrace, http.MethodOptions, "QUERY", "PROPFIND"} {
			r := httptest.NewRequest(method, p.path(strings.ReplaceAll(line.pattern, "{code}", strings.Repeat("A", 43))), nil)
			r.Header.Set("X-HTTP-Method-Override", post)
			r.Header.Set("X-Secret", "echoed")
			a := p.visitors[clubOwner].do(r)
			require.Equal(t, http.StatusMethodNotAllowed, a.StatusCode, "%s %s", method, line.pattern)
			require.NotContains(t, a.body, "echoed")
		}
	}
	require.Len(t, p.store.Audit, before)
}

// mends is what browsers do to an address before they follow it: they leave out
// tabs and line ends, and take a backslash for a slash (WHATWG URL, from memory).
func mends(to string) string {
	to = strings.Trim(to, "\x00\x01\x02\x03\x04\x05\x06\x07\x08\x0b\x0c\x0e\x0f \t\r\n")
	return strings.NewReplacer("\t", "", "\r", "", "\n", "", "\\", "/").Replace(to)
}

// Wherever somebody wants to be led after signing in, it is within this app.
func TestNoSpellingLeadsElsewhere(t *testing.T) {
	here, err := url.Parse("https://run.example.org/sign-in")
	require.NoError(t, err)
	parts := rapid.SampledFrom([]string{
		"/", "//", "\\", "/\\", ":", "@", ".", "..", "?", "#", "%2f", "%5c", "%09", "\t", "\n", "\x00", " ", "elsewhere.example", "https:", "http:",
		"javascript:", "data:", "run.example.org", "roster", ";", "%00", "＼", "／", "。", "[::1]", "&", "=",
	})
	rapid.Check(t, func(t *rapid.T) {
		to := strings.Join(rapid.SliceOfN(parts, 0, 8).Draw(t, "to"), "")
		led := localPath(to)
		at, err := here.Parse(mends(led))
		require.NoError(t, err, "%q", led)
		require.Equal(t, "https://run.example.org", at.Scheme+"://"+at.Host, "%q", to)
		require.True(t, strings.HasPrefix(led, "/") && !strings.HasPrefix(led, "//") && !strings.ContainsAny(led, "\r\n\t\\"), "%q", led)
	})
}

// A line of a letter becomes a link only to this app, whatever somebody is called.
func TestNoLineOfALetterLeadsElsewhere(t *testing.T) {
	const here = "http://127.0.0.1:8080"
	lines := letterLines(strings.Join([]string{
		here + "/in/abc", here + "//elsewhere.example", here + "/\\elsewhere.example", here + ".elsewhere.example/", here + "@elsewhere.example/", "https://elsewhere.example", here + "/a b",
	}, "\n"), here)
	var hrefs []string
	for _, line := range lines {
		hrefs = append(hrefs, line.Href)
	}
	require.Equal(t, []string{"/in/abc", "/", "/", "", "", "", ""}, hrefs)
}

// Whoever asks under a name that is not ours gets no link to it: not in a redirect,
// and where the name was set not in a link that is made for others.
func TestAForgedHostLeadsNowhere(t *testing.T) {
	for _, line := range routes() {
		for _, kind := range []who{nobody, herself, clubOwner} {
			p := newPeople(t)
			r := httptest.NewRequest(line.method, p.path(line.pattern), nil)
			r.Host = "elsewhere.example"
			r.Header.Set("X-Forwarded-Host", "elsewhere.example")
			r.Header.Set("Forwarded", "host=elsewhere.example;proto=https")
			require.NotContains(t, p.visitors[kind].do(r).Header.Get("Location"), "elsewhere", line.pattern)
		}
	}
	s := newSite(t, secured)
	b := s.as(s.owner)
	b.cookie.Name = "__Host-halfhour"
	r := httptest.NewRequest(post, "/club/invitations", nil)
	r.Host = "elsewhere.example"
	r.Header.Set("X-Forwarded-Host", "elsewhere.example")
	a := b.do(r)
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Contains(t, a.body, "https://run.example.org/join/")
	require.NotContains(t, a.body, "elsewhere.example")
}

// A browser that comes in anew, by whatever way, gets a token of its own, and the
// one it came with opens nothing any more.
func TestANewLoginEndsTheOneBefore(t *testing.T) {
	ways := map[string]func(p *people, b *browser) *answer{
		"by password": func(p *people, b *browser) *answer {
			return b.post("/sign-in", "email", p.owner.Email, "password", rightPassword)
		},
		"by a link": func(p *people, b *browser) *answer {
			return b.post("/in/"+p.code("/in/"), "key", "key-of-another-form")
		},
		"by being asked": func(p *people, b *browser) *answer {
			return b.post("/join/"+p.code("/join/"), "name", "Lin", "email", "lin@example.org", "password", "long enough for it")
		},
	}
	for way, comeIn := range ways {
		p := newPeople(t)
		b := p.visitors[clubOwner]
		before := *b.cookie
		require.Equal(t, http.StatusSeeOther, comeIn(p, b).StatusCode, way)
		require.NotEqual(t, before.Value, b.cookie.Value, way)
		b.get("/").leadsTo(map[bool]string{true: "/today", false: "/roster"}[way == "by a link"])
		(&browser{site: p.site, cookie: &before}).get("/").leadsTo("/sign-in")
	}
}

// The token that a browser brings is never taken for a new one: it is always ours.
func TestATokenIsNotChosenByWhoeverComes(t *testing.T) {
	s := newSite(t)
	b := &browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: strings.Repeat("A", 43)}}
	b.get("/").leadsTo("/sign-in")
	b.post("/sign-in", "email", "mara@example.org", "password", rightPassword).leadsTo("/")
	require.NotEqual(t, strings.Repeat("A", 43), b.cookie.Value)
	(&browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: strings.Repeat("A", 43)}}).get("/").leadsTo("/sign-in")
}

// Whatever stands in a request, the log has as many lines as it would have had, each
// readable, as text and as JSON.
func TestNobodyWritesLinesIntoTheLog(t *testing.T) {
	forged := "\n" + `time=2026-04-14T06:00:00Z level=ERROR msg=forged` + "\r\n" + `{"msg":"forged"}` + "\u2028\x1b[31m"
	for _, handler := range []func(w io.Writer) slog.Handler{
		func(w io.Writer) slog.Handler { return slog.NewTextHandler(w, nil) },
		func(w io.Writer) slog.Handler { return slog.NewJSONHandler(w, nil) },
	} {
		var log bytes.Buffer
		s := newSite(t, func(d *Deps) { d.Log = slog.New(handler(&log)) })
		b := s.as(s.owner)
		b.post("/sign-in", "email", forged, "password", forged, "next", forged)
		b.post("/club/password", "current", forged, "password", forged)
		b.get("/athletes/" + url.PathEscape(forged))
		b.get("/in/" + url.PathEscape(forged) + "?said=" + url.QueryEscape(forged))
		r := httptest.NewRequest(http.MethodGet, "/roster", nil)
		for _, name := range []string{"User-Agent", "Referer", "X-Forwarded-For", "Accept", "X-Request-Id"} {
			r.Header.Set(name, forged)
		}
		b.do(r)
		s.handler = s.server(failing(errors.New(forged)))
		b.get("/fails")
		require.NotContains(t, log.String(), "\nlevel=ERROR")
		for line := range strings.SplitSeq(strings.TrimSuffix(log.String(), "\n"), "\n") {
			require.Regexp(t, `^(time=\S+ level=(INFO|WARN|ERROR) msg=(request|failed) reference=|\{"time":"[^"]+","level":"(INFO|WARN|ERROR)","msg":"(request|failed)","reference":)`, line)
			require.NotContains(t, line, "\x1b")
			require.Equal(t, strings.Contains(line, "forged"), strings.Contains(line, "error"), "only a fault of the program is quoted: %s", line)
		}
	}
}

// Spaces, case and characters of any script belong to a password.
func TestPasswordsAreTakenAsTyped(t *testing.T) {
	for _, password := range []string{" two spaces around ", "MiXeD CaSe WoRdS", "日本語のながいことばです", strings.Repeat("a1b2c", 20), `'";<b>\%00 or 1=1 --`} {
		s := newSite(t)
		b := s.as(s.owner)
		b.post("/club/password", "current", rightPassword, "password", password).leadsTo("/club?said=password")
		for _, other := range []string{strings.TrimSpace(password), strings.ToLower(password), password + " ", password[:len(password)-1]} {
			if other != password {
				require.Equal(t, http.StatusUnprocessableEntity, s.nobody().post("/sign-in", "email", s.owner.Email, "password", other).StatusCode, "%q for %q", other, password)
			}
		}
		s.nobody().post("/sign-in", "email", s.owner.Email, "password", password).leadsTo("/")
	}
}

// Who sends its headers drop by drop, or far too many of them, holds no connection.
func TestWhoeverIsSlowIsLetGo(t *testing.T) {
	s := newSite(t)
	server := Listener(s.handler, s.deps.Log)
	for what, limit := range map[string]time.Duration{
		"headers": server.ReadHeaderTimeout, "a request": server.ReadTimeout, "an answer": server.WriteTimeout, "nothing": server.IdleTimeout,
	} {
		require.Positive(t, limit, what)
		require.LessOrEqual(t, limit, 2*time.Minute, what)
	}
	server.ReadHeaderTimeout = 50 * time.Millisecond
	socket, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	go func() { _ = server.Serve(socket) }()
	defer server.Close()
	for what, sent := range map[string]string{
		"slow": "GET /sign-in HTTP/1.1\r\nHost: example.com\r\nX-Drop: ",
		"many": "GET /sign-in HTTP/1.1\r\nHost: example.com\r\nX-Many: " + strings.Repeat("a", 64<<10) + "\r\n\r\n",
	} {
		line, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", socket.Addr().String())
		require.NoError(t, err)
		require.NoError(t, line.SetDeadline(time.Now().Add(20*time.Second)))
		_, err = io.WriteString(line, sent)
		require.NoError(t, err, what)
		answer, _ := io.ReadAll(line) // until the other side ends it
		require.NotContains(t, string(answer), "200 OK", what)
		if what == "many" {
			require.Contains(t, string(answer), "431 ")
		}
		require.NoError(t, line.Close())
	}
}
