package httpd

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/fake"
)

// press sends what a mail program sends when its button is pressed: no cookie, no word
// about where it comes from.
func (s *site) press(at, kind, body string, headers ...string) *answer {
	r := httptest.NewRequest(http.MethodPost, at, strings.NewReader(body))
	r.Header.Set("Content-Type", kind)
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return s.nobody().do(r)
}

const (
	plainForm = "application/x-www-form-urlencoded"
	onePress  = "List-Unsubscribe=One-Click"
	inParts   = "multipart/form-data; boundary=parts"
)

// ofParts is a form in parts, as RFC 8058 shows it.
func ofParts(name, value string) string {
	return "--parts\r\nContent-Disposition: form-data; name=\"" + name + "\"\r\n\r\n" + value + "\r\n--parts--\r\n"
}

func TestOnePressStopsLetters(t *testing.T) {
	for _, k := range []struct {
		kind, body string
		headers    []string
		status     int
		stops      bool
		why        string
	}{
		{plainForm, onePress, nil, 200, true, "as mail programs send it"},
		{inParts, ofParts("List-Unsubscribe", "One-Click"), nil, 200, true, "or so"},
		{plainForm, onePress, []string{"User-Agent", "Mail/1.0", "Accept", "*/*"}, 200, true, "whatever it is"},
		{plainForm + "; charset=UTF-8", onePress, nil, 200, true, "with its characters"},
		{plainForm, onePress, []string{"Origin", "https://elsewhere.example"}, 403, false, "another site's page is no mail program"},
		{plainForm, onePress, []string{"Origin", "null"}, 403, false, "nor is one that hides"},
		{plainForm, onePress, []string{"Sec-Fetch-Site", "cross-site"}, 403, false, "nor is a browser led here by one"},
		{plainForm, "", nil, 422, false, "nothing was pressed"},
		{plainForm, "List-Unsubscribe=Two-Clicks", nil, 422, false, "something else was"},
		{"text/plain", onePress, nil, 422, false, "no form"},
		{inParts, "--parts\r\nContent-Disp", nil, 422, false, "cut off"},
		{inParts, ofParts("List-Unsubscribe", strings.Repeat("One-Click", 200)), nil, 413, false, "far too long"},
		{"multipart/form-data", onePress, nil, 422, false, "parts without an end"},
	} {
		s := newSite(t)
		at := "/letters/stop/" + fake.StopSecret(s.owner.ID, 0) + "?of=weekly"
		for range 2 {
			a := s.press(at, k.kind, k.body, k.headers...)
			require.Equal(t, k.status, a.StatusCode, k.why)
			require.Empty(t, a.Header.Get("Location"), k.why)
			require.Empty(t, a.Cookies(), k.why)
		}
		w, told := s.store.Wishes[s.owner.ID]
		require.Equal(t, k.stops, told && !w.On, k.why)
		if k.stops {
			require.Len(t, s.store.Audit, 1, "%s: twice is once", k.why)
			require.True(t, w.AtOnce, "nothing else is stopped")
		}
		require.NotContains(t, s.log.String(), fake.StopSecret(s.owner.ID, 0), "the secret is in no log")
	}
}

func TestThePageThatStopsLetters(t *testing.T) {
	p := newPeople(t)
	for _, k := range []struct {
		secret, of string
		title      string
		gone       string
	}{
		{fake.StopSecret(p.owner.ID, 0), "weekly", "Stop the weekly letter?", "no weekly letter from Harbour"},
		{fake.StopSecret(p.owner.ID, 0), "at-once", "Stop letters about warning signs?", "no letters about warning signs from Harbour"},
		{fake.StopSecret(0, p.ana.ID), "decision", "Stop mail about decisions?", "no mail about decisions from Harbour"},
		{fake.StopSecret(0, p.ana.ID), "gentle", "Stop words after a quiet while?", "no words after a quiet while from Harbour"},
	} {
		at := "/letters/stop/" + k.secret + "?of=" + k.of
		b := p.nobody()
		before := len(p.store.Audit)
		a := b.get(at)
		require.Equal(t, http.StatusOK, a.StatusCode)
		require.Equal(t, k.title, text(a.one("h1")))
		require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
		require.Equal(t, "same-origin", a.Header.Get("Referrer-Policy"))
		for _, name := range []string{"Ana", "Mara", "mara@", "Owner of", "Ivo"} {
			require.NotContains(t, a.body, name, "%s: who it is for is not told", k.of)
		}
		require.Len(t, p.store.Audit, before, "looking changes nothing")
		require.Equal(t, at, attr(a.one("main form"), "action"))
		for range 2 {
			b.post(at, "do", "stop").leadsTo(at)
		}
		a = b.get(at)
		require.Contains(t, text(a.one("main")), k.gone)
		require.Equal(t, "back", attr(a.one("main form button"), "value"))
		b.post(at, "do", "back").leadsTo(at)
		require.Equal(t, k.title, text(b.get(at).one("h1")), "as before")
		require.Len(t, p.store.Audit, before+2)
	}
	note := p.nobody().get("/letters/stop/" + fake.StopSecret(0, p.ana.ID) + "?of=monday")
	require.Contains(t, text(note.one("main")), "You get no Monday note from Harbour any more", "which nobody wished for yet")
}

// Addresses that nobody was sent are not found, and whoever tries many is told to wait;
// from elsewhere a true one still works.
func TestAddressesThatStopNothing(t *testing.T) {
	p := newPeople(t)
	coach, athlete := fake.StopSecret(p.owner.ID, 0), fake.StopSecret(0, p.ana.ID)
	for _, at := range []string{
		strings.Repeat("f", 32) + "?of=weekly", coach + "?of=monday", athlete + "?of=weekly", coach, coach + "?of=way-in", "x?of=weekly", "%00?of=weekly", strings.Repeat("f", 9000) + "?of=weekly",
	} {
		require.Equal(t, http.StatusNotFound, p.nobody().get("/letters/stop/"+at).StatusCode, at)
		require.Equal(t, http.StatusNotFound, p.press("/letters/stop/"+at, plainForm, onePress).StatusCode, at)
	}
	true1 := "/letters/stop/" + coach + "?of=weekly"
	require.Equal(t, http.StatusOK, p.nobody().get(true1).StatusCode)
	for range 50 {
		p.press("/letters/stop/"+strings.Repeat("f", 32)+"?of=weekly", plainForm, onePress)
	}
	require.Equal(t, http.StatusTooManyRequests, p.press(true1, plainForm, onePress).StatusCode)
	elsewhere := httptest.NewRequest(http.MethodPost, true1, strings.NewReader(onePress))
	elsewhere.Header.Set("Content-Type", plainForm)
	elsewhere.RemoteAddr = "203.0.113.7:4711"
	require.Equal(t, http.StatusOK, p.nobody().do(elsewhere).StatusCode)
	p.now = p.now.Add(16 * time.Minute)
	require.Equal(t, http.StatusOK, p.press(true1, plainForm, onePress).StatusCode)

	ana := p.store.Athletes[p.ana.ID]
	ana.LeftAt = p.now
	p.store.Athletes[ana.ID] = ana
	require.Equal(t, http.StatusNotFound, p.nobody().get("/letters/stop/"+athlete+"?of=decision").StatusCode, "whoever left is nobody's reader")
}
