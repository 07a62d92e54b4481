package e2e

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/line"
	"halfhour.app/halfhour/internal/testing/program"
)

// release stands before a program and makes other versions of it, as far as a phone
// can tell: the hash of the files in every address changes with the version.
type release struct {
	mu      sync.Mutex
	version int    // 0: the program's own
	broken  string // what ends like this is not to be had
}

func (v *release) now() (version int, broken string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.version, v.broken
}

func (v *release) publish(version int, broken string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.version, v.broken = version, broken
}

// hashed is the hash of a version: a letter and its number in front of the own one.
func hashed(own string, version int) string {
	if version == 0 {
		return own
	}
	return "f" + strconv.Itoa(version) + own[2:]
}

// released is the address of a server that hands out whatever is published.
func released(t *testing.T, server string) (*release, string) {
	t.Helper()
	at, err := url.Parse(server)
	require.NoError(t, err)
	own := hashOf(t, server)
	v := &release{}
	carry := &httputil.ReverseProxy{
		Rewrite: func(r *httputil.ProxyRequest) {
			r.Out.URL.Scheme, r.Out.URL.Host, r.Out.Host = at.Scheme, at.Host, r.In.Host
			r.Out.Header.Del("Accept-Encoding")
			r.Out.Header.Del("If-None-Match")
		},
		ModifyResponse: func(answer *http.Response) error {
			version, _ := v.now()
			body, err := io.ReadAll(answer.Body)
			if err != nil {
				return err
			}
			body = bytes.ReplaceAll(body, []byte(own), []byte(hashed(own, version)))
			answer.Body = io.NopCloser(bytes.NewReader(body))
			answer.Header.Del("ETag")
			return nil
		},
		Transport: &http.Transport{DisableCompression: true},
	}
	near := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, broken := v.now(); broken != "" && strings.HasSuffix(r.URL.Path, broken) {
			http.Error(w, "not now", http.StatusBadGateway)
			return
		}
		carry.ServeHTTP(w, r)
	}))
	t.Cleanup(near.Close)
	return v, near.URL
}

// hashOf is the hash of the program's files.
func hashOf(t *testing.T, server string) string {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, strings.TrimRight(server, "/")+"/sw.js", nil)
	require.NoError(t, err)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	script, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(script), `"version":"`)
	require.True(t, found)
	hash, _, _ := strings.Cut(rest, `"`)
	return hash
}

// kept is a club with two athletes, and the phone that one of them holds.
type kept struct {
	t        *testing.T
	wire     *line.Line
	versions *release
	phone    *browser.Tab
	other    string // link of the other athlete
	hash     string
}

func newKept(t *testing.T) *kept {
	t.Helper()
	p := program.Start(t, program.Options{})
	coach := beginClub(t, p, browser.Desk)
	k := &kept{t: t, hash: hashOf(t, p.Address)}
	var near string
	k.versions, near = released(t, strings.TrimRight(p.Address, "/"))
	k.wire = line.To(t, near)
	through := func(link string) string {
		return strings.Replace(link, strings.TrimRight(p.Address, "/"), k.wire.Address, 1)
	}
	first := through(takeIn(t, coach, p, "Ines Okafor", "L2"))
	k.other = through(takeIn(t, coach, p, "Bram Visser", "L3"))
	k.phone = browser.New(t, browser.Phone)
	signInByLink(t, k.phone, first)
	k.settled(0)
	k.open("/today")
	k.copied()
	k.phone.Until(everything + "('kept').then(all => all.length)") // the week is on the phone
	return k
}

// open opens a page and gives what is read on it.
func (k *kept) open(path string) string {
	k.t.Helper()
	require.EqualValues(k.t, 200, k.phone.Open(k.wire.Address+path))
	return k.phone.Text("main")
}

// settled waits until the worker of a version is in charge.
func (k *kept) settled(version int) {
	k.t.Helper()
	name := "shell-" + hashed(k.hash, version)
	k.phone.Until(`caches.keys().then(names => names.includes('` + name + `'))`)
	k.phone.Until(`navigator.serviceWorker.controller && navigator.serviceWorker.ready.then(r => r.active?.state === 'activated' && !r.installing && !r.waiting)`)
}

// copied waits until a copy of Today is kept.
func (k *kept) copied() {
	k.t.Helper()
	k.phone.Until(`caches.match('/today')`)
}

// names are the copies that the phone holds.
func (k *kept) names(prefix string) (all []string) {
	k.t.Helper()
	for _, name := range browser.Eval[[]string](k.phone, `caches.keys()`) {
		if strings.HasPrefix(name, prefix) {
			all = append(all, name)
		}
	}
	return all
}

// shown says that the page has its looks and its scripts.
func (k *kept) shown() {
	k.t.Helper()
	require.Equal(k.t, "rgb(247, 244, 236)", browser.Eval[string](k.phone, `getComputedStyle(document.body).backgroundColor`))
	require.Positive(k.t, browser.Eval[int](k.phone, `[...document.fonts].filter(f => f.status === 'loaded').length`))
}

func TestThePhoneOpensWithoutASignal(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	fresh := k.phone.Text("main")
	require.NotContains(t, fresh, "no signal")
	k.wire.Cut(true)
	k.phone.Forget()
	old := k.open("/today")
	require.Regexp(t, `^As of \d{1,2}[:.]\d\d( [AP]M)?; no signal\. `, old)
	_, rest, _ := strings.Cut(old, "no signal. ")
	require.Equal(t, fresh, rest, "nothing else of it is changed")
	k.shown()
	require.Equal(t, old, k.open("/"), "the front door leads to Today")
	k.open("/go")
	k.phone.Until(`document.querySelector('main').innerText.match(/Run 1\s+min\s+30/) !== null`)
	k.shown()
	require.Contains(t, k.open("/sessions"), "This page needs one")
	k.shown()
	require.Contains(t, k.open("/today?said=logged"), "As of ")
	for _, r := range k.phone.Requests() {
		if strings.HasSuffix(r.URL, ".css") || strings.HasSuffix(r.URL, ".js") || strings.HasSuffix(r.URL, "/go") || strings.Contains(r.URL, "/today") {
			require.EqualValues(t, 200, r.Status, r.URL)
		}
	}
	k.wire.Cut(false)
	require.Equal(t, fresh, k.open("/today"))
	require.NotContains(t, k.open("/sessions"), "signal")
}

// A server that is down is as good as no signal.
func TestThePhoneOpensWhileTheServerIsDown(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	k.versions.publish(0, "/today")
	require.Contains(t, k.open("/today"), "no signal")
	k.versions.publish(0, "")
	require.NotContains(t, k.open("/today"), "no signal")
}

// Signing out leaves nothing of anybody on the phone, and needs a signal: without one
// nothing is taken away.
func TestSigningOutWipesThePhone(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	require.Len(t, k.names("mine-"), 1)
	k.wire.Cut(true)
	k.phone.Touch("footer form button")
	k.phone.Until(`document.getElementById('leaving')`)
	require.Contains(t, k.phone.Text("#leaving"), "You are still signed in, and nothing was removed")
	require.Len(t, k.names("mine-"), 1)
	k.wire.Cut(false)
	require.EqualValues(t, 200, k.phone.Press("footer form button"))
	require.Equal(t, "/sign-in", k.phone.Path())
	require.Empty(t, k.names(""))
	require.Equal(t, 0, browser.Eval[int](k.phone, `indexedDB.databases().then(all => all.length)`))
	require.Equal(t, 0, browser.Eval[int](k.phone, `navigator.serviceWorker.getRegistrations().then(all => all.length)`))
	require.EqualValues(t, 200, k.phone.Open(k.wire.Address+"/today"))
	require.Equal(t, "/sign-in?next=%2Ftoday", k.phone.Path())
}

// Who comes in on a phone that somebody else left without signing out sees nothing of
// theirs, with a signal and without.
func TestAnotherPersonSeesNothingOfTheFirst(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	first := k.names("mine-")
	require.EqualValues(t, 200, k.phone.Open(k.other))
	require.EqualValues(t, 200, k.phone.Press("main form button"))
	k.settled(0)
	k.wire.Cut(true)
	require.NotContains(t, k.open("/today"), "Run 1 min 30", "Ines is on L2")
	k.wire.Cut(false)
	require.Contains(t, k.open("/today"), "Run 2 minutes")
	k.copied()
	k.wire.Cut(true)
	require.Contains(t, k.open("/today"), "Run 2 minutes", "Bram is on L3")
	require.Len(t, k.names("mine-"), 1)
	require.NotEqual(t, first, k.names("mine-"))
}

// A login that was ended elsewhere takes the copy along at the next visit.
func TestAnEndedLoginLeavesNoCopy(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	require.Len(t, k.names("mine-"), 1)
	browser.Eval[any](k.phone, `fetch('/sign-out', {method: 'POST', redirect: 'manual'}).then(() => 0)`)
	k.open("/today")
	require.Equal(t, "/sign-in?next=%2Ftoday", k.phone.Path())
	require.Empty(t, k.names("mine-"))
}

// A new version takes over by itself, whole or not at all; the one before stays for
// pages that are still open, and older ones go.
func TestANewVersionTakesOver(t *testing.T) {
	t.Parallel()
	k := newKept(t)
	goAt := func() string { k.open("/go"); return k.phone.Attribute("link[rel=stylesheet]", "href") }
	k.versions.publish(1, "/session.js")
	require.NotContains(t, k.open("/today"), "no signal")
	browser.Eval[any](k.phone, `navigator.serviceWorker.getRegistration().then(r => r.update().catch(() => 0)).then(() => 0)`)
	k.phone.Until(`navigator.serviceWorker.ready.then(r => !r.installing)`)
	k.wire.Cut(true)
	require.Contains(t, goAt(), hashed(k.hash, 0), "a new version that cannot be had whole is not taken")
	k.shown()
	k.wire.Cut(false)

	for version := 1; version <= 3; version++ {
		k.versions.publish(version, "")
		k.open("/today")
		k.settled(version)
		k.wire.Cut(true)
		require.Contains(t, goAt(), hashed(k.hash, version), "the new version without a signal")
		k.shown()
		k.wire.Cut(false)
	}
	k.phone.Until(`caches.keys().then(names => names.filter(n => n.startsWith('shell-')).length === 2)`)
	require.ElementsMatch(t, []string{"shell-" + hashed(k.hash, 2), "shell-" + hashed(k.hash, 3)}, k.names("shell-"))
}
