package httpd

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/roster"
)

func TestSigningIn(t *testing.T) {
	s := newSite(t)
	b := s.nobody()
	b.get("/").leadsTo("/sign-in")
	b.get("/club").leadsTo("/sign-in?next=%2Fclub")
	form := b.get("/sign-in?next=%2Fclub")
	require.Equal(t, "/club", attr(form.one("form[action='/sign-in'] input[name=next]"), "value"))
	require.Equal(t, "current-password", attr(form.one("input[name=password]"), "autocomplete"))

	wrong := b.post("/sign-in", "email", "Mara@example.org", "password", "wrong, wrong, wrong", "next", "/club")
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	require.Equal(t, "Mara@example.org", attr(wrong.one("input[name=email]"), "value"), "what was typed is kept")
	require.Empty(t, attr(wrong.one("input[name=password]"), "value"), "but no password")
	require.Equal(t, "/club", attr(wrong.one("form[action='/sign-in'] input[name=next]"), "value"))
	require.Contains(t, wrong.body, "do not belong together")
	require.Nil(t, b.cookie)

	b.post("/sign-in", "email", "Mara@example.org", "password", rightPassword, "next", "/club").leadsTo("/club")
	require.NotNil(t, b.cookie)
	require.Equal(t, http.StatusOK, b.get("/club").StatusCode)
	b.get("/").leadsTo("/roster")
	b.get("/sign-in").leadsTo("/")
	token := b.cookie

	b.post("/sign-out").leadsTo("/sign-in")
	require.Nil(t, b.cookie)
	b.cookie = token
	b.get("/").leadsTo("/sign-in")
}

// A letter links to athletes; whoever opens such a link and is not signed in comes to
// the athlete afterwards.
func TestSigningInLeadsBackToTheAthlete(t *testing.T) {
	s := newSite(t)
	b := s.nobody()
	b.get("/athletes/7").leadsTo("/sign-in?next=%2Fathletes%2F7")
	form := b.get("/sign-in?next=%2Fathletes%2F7")
	next := attr(form.one("form[action='/sign-in'] input[name=next]"), "value")
	b.post("/sign-in", "email", "mara@example.org", "password", rightPassword, "next", next).leadsTo("/athletes/7")
}

// An unknown address is answered word for word like a wrong password, and the
// slow comparison is made for both.
func TestWhetherAnAddressIsKnownIsNotTold(t *testing.T) {
	s := newSite(t)
	known := s.nobody().post("/sign-in", "email", "mara@example.org", "password", "wrong, wrong, wrong")
	require.Equal(t, int32(1), s.hasher.Matches.Load())
	unknown := s.nobody().post("/sign-in", "email", "none@example.org", "password", "wrong, wrong, wrong")
	require.Equal(t, int32(2), s.hasher.Matches.Load())
	require.Equal(t, known.StatusCode, unknown.StatusCode)
	require.Equal(t, known.body, strings.ReplaceAll(unknown.body, "none@", "mara@"))
}

func TestSigningInLeadsNowhereElse(t *testing.T) {
	for _, next := range []string{"https://evil.example", "//evil.example", "/\\evil.example", "javascript:alert(1)", "/\t/evil.example"} {
		s := newSite(t)
		form := s.nobody().get("/sign-in?next=" + url.QueryEscape(next))
		require.Equal(t, "/", attr(form.one("form[action='/sign-in'] input[name=next]"), "value"))
		s.nobody().post("/sign-in", "email", "mara@example.org", "password", rightPassword, "next", next).leadsTo("/")
	}
}

func TestAttemptsEnd(t *testing.T) {
	s := newSite(t)
	b := s.nobody()
	for range 10 {
		require.Equal(t, http.StatusUnprocessableEntity, b.post("/sign-in", "email", "mara@example.org", "password", "wrong, wrong, wrong").StatusCode)
	}
	a := b.post("/sign-in", "email", "mara@example.org", "password", rightPassword)
	require.Equal(t, http.StatusTooManyRequests, a.StatusCode)
	require.Contains(t, a.body, "quarter of an hour")
	require.Equal(t, "mara@example.org", attr(a.one("input[name=email]"), "value"))
	s.now = s.now.Add(16 * time.Minute)
	b.post("/sign-in", "email", "mara@example.org", "password", rightPassword).leadsTo("/")
}

// Only a trusted proxy's word about where somebody comes from is believed.
func TestAttemptsAreCountedByTheRightAddress(t *testing.T) {
	wrong := func(s *site, forwarded string) int {
		r := httptest.NewRequest(http.MethodPost, "/sign-in", strings.NewReader("email=mara%40example.org&password=wrong"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("X-Forwarded-For", forwarded)
		return s.nobody().do(r).StatusCode
	}
	stranger := newSite(t)
	behind := newSite(t, func(d *Deps) { d.Proxies = []netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")} })
	for i := range 10 {
		other := "198.51.100." + string(rune('0'+i))
		wrong(stranger, other)
		wrong(behind, other)
	}
	require.Equal(t, http.StatusTooManyRequests, wrong(stranger, "198.51.100.99"), "made-up addresses change nothing")
	require.Equal(t, http.StatusUnprocessableEntity, wrong(behind, "198.51.100.99"), "behind the proxy each is somebody else")
}

func TestTheCookie(t *testing.T) {
	for _, c := range []struct {
		base, name string
		secure     bool
	}{{"https://run.example.org", "__Host-halfhour", true}, {"http://192.168.1.20:8080", "halfhour", false}, {"", "halfhour", false}} {
		s := newSite(t, func(d *Deps) {
			if c.base != "" {
				var err error
				d.BaseURL, err = url.Parse(c.base)
				require.NoError(t, err)
			}
		})
		a := s.nobody().post("/sign-in", "email", "mara@example.org", "password", rightPassword)
		require.Len(t, a.Cookies(), 1)
		cookie := a.Cookies()[0]
		require.Equal(t, c.name, cookie.Name)
		require.Equal(t, c.secure, cookie.Secure)
		require.True(t, cookie.HttpOnly)
		require.Equal(t, http.SameSiteLaxMode, cookie.SameSite)
		require.Equal(t, "/", cookie.Path)
		require.Empty(t, cookie.Domain)
		require.Equal(t, 30*24*3600, cookie.MaxAge)
		require.Equal(t, c.secure, a.Header.Get("Strict-Transport-Security") != "")
	}
}

func TestACookieInUseGoesOn(t *testing.T) {
	s := newSite(t)
	b := s.as(s.owner)
	require.Empty(t, b.get("/club").Cookies(), "not at every page")
	s.now = s.now.Add(29 * 24 * time.Hour)
	a := b.get("/club")
	require.Len(t, a.Cookies(), 1)
	require.Equal(t, 30*24*3600, a.Cookies()[0].MaxAge)
	s.now = s.now.Add(29 * 24 * time.Hour)
	require.Equal(t, http.StatusOK, b.get("/club").StatusCode, "58 days after signing in")
	s.now = s.now.Add(31 * 24 * time.Hour)
	b.get("/club").leadsTo("/sign-in?next=%2Fclub")
}

func TestAFormSentAfterTheLoginEnded(t *testing.T) {
	s := newSite(t)
	a := s.nobody().post("/athletes", "name", "Ines")
	require.Equal(t, http.StatusUnauthorized, a.StatusCode)
	require.NotEmpty(t, a.all(`a[href="/sign-in"]`))
	require.Contains(t, a.body, "signed out")
}

func TestAnAthletesLink(t *testing.T) {
	p := newPeople(t)
	code := p.code("/in/")
	phone := p.nobody()
	for range 3 {
		require.Equal(t, http.StatusOK, phone.get("/in/"+code).StatusCode, "looking uses nothing up")
	}
	landing := phone.get("/in/" + code)
	require.Contains(t, text(landing.one("main")), "Ana")
	require.Empty(t, landing.all("input[name=password]"), "athletes have none")
	key := attr(landing.one("input[name=key]"), "value")

	require.Equal(t, http.StatusUnprocessableEntity, phone.post("/in/"+code).StatusCode, "a form without its key")
	phone.post("/in/"+code, "key", key).leadsTo("/")
	first := phone.cookie.Value
	second := p.nobody()
	second.post("/in/"+code, "key", key).leadsTo("/")
	require.Equal(t, first, second.cookie.Value, "a double tap is one login")

	phone.get("/in/" + code).leadsTo("/")
	late := p.nobody().get("/in/" + code)
	require.Equal(t, http.StatusGone, late.StatusCode)
	require.NotContains(t, late.body, "Ana", "an old link tells no names")
	require.Equal(t, http.StatusGone, p.nobody().post("/in/"+code, "key", "key-of-somebody-else").StatusCode)
	require.Equal(t, http.StatusGone, p.nobody().get("/in/"+strings.Repeat("A", 43)).StatusCode, "as is one of which nothing is kept any more")
	require.Equal(t, http.StatusNotFound, p.nobody().get("/in/"+strings.Repeat("A", 42)).StatusCode, "and what was never a link is nothing")
}

func TestACoachWhoTriesAnAthletesLinkIsWarned(t *testing.T) {
	p := newPeople(t)
	a := p.visitors[clubOwner].get("/in/" + p.code("/in/"))
	require.Contains(t, a.body, "signed in here as a coach")
}

func TestACoachsOneTimeLink(t *testing.T) {
	s := newSite(t)
	link, err := s.access.CoachLink(context.Background(), "mara@example.org")
	require.NoError(t, err)
	b, path := s.nobody(), "/in/"+string(link.Code)
	landing := b.get(path)
	require.Equal(t, "new-password", attr(landing.one("input[name=password]"), "autocomplete"))
	key := attr(landing.one("input[name=key]"), "value")
	poor := b.post(path, "key", key, "password", "short")
	require.Equal(t, http.StatusUnprocessableEntity, poor.StatusCode)
	require.Equal(t, key, attr(poor.one("input[name=key]"), "value"))
	require.Contains(t, poor.body, "at least 10 characters")
	b.post(path, "key", key, "password", "quite another one").leadsTo("/")
	require.Equal(t, http.StatusOK, b.get("/club").StatusCode)
	s.nobody().post("/sign-in", "email", "mara@example.org", "password", "quite another one").leadsTo("/")
}

func TestSettingUp(t *testing.T) {
	s := newSite(t)
	clear(s.store.Clubs)
	clear(s.store.People)
	require.Contains(t, s.nobody().get("/sign-in").body, "console", "says where the way in is")
	link, err := s.access.SetUpLink(context.Background())
	require.NoError(t, err)
	b, path := s.nobody(), "/set-up/"+string(link.Code)
	require.Equal(t, http.StatusOK, b.get(path).StatusCode)
	a := b.post(path, "club", "Harbour <b>", "zone", "Nowhere", "name", "", "email", "mara", "password", "short")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "Harbour <b>", attr(a.one("input[name=club]"), "value"))
	for _, place := range []string{"zone", "name", "email", "password"} {
		require.Equal(t, "true", attr(a.one("input[name="+place+"]"), "aria-invalid"), place)
	}
	b.post(path, "club", "Harbour <b>", "zone", "Europe/Lisbon", "name", "Mara", "email", "mara@example.org", "password", rightPassword).leadsTo("/roster")
	require.Contains(t, text(b.get("/club").one("body")), "Harbour <b>")
	require.Equal(t, http.StatusGone, b.get(path).StatusCode)
	require.Equal(t, http.StatusNotFound, s.nobody().get("/set-up/"+strings.Repeat("A", 43)).StatusCode)
}

func TestInviting(t *testing.T) {
	p := newPeople(t)
	require.Empty(t, p.visitors[clubCoach].get("/club").all(`form[action="/club/invitations"]`))
	owner := p.visitors[clubOwner]
	require.NotEmpty(t, owner.get("/club").all(`form[action="/club/invitations"]`))
	_, after, found := strings.Cut(owner.post("/club/invitations").body, "http://example.com/join/")
	require.True(t, found)
	b, path := p.nobody(), "/join/"+after[:43]
	require.Contains(t, text(b.get(path).one("main")), "Harbour")
	a := b.post(path, "name", "Lin", "email", "mara@example.org", "password", "long enough for it")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "true", attr(a.one("input[name=email]"), "aria-invalid"))
	b.post(path, "name", "Lin", "email", "lin@example.org", "password", "long enough for it").leadsTo("/roster")
	club := b.get("/club")
	require.Contains(t, text(club.one("main")), "lin@example.org")
	require.Empty(t, club.all(`form[action="/club/invitations"]`), "a new coach is no owner")
	require.Equal(t, http.StatusGone, p.nobody().get(path).StatusCode)
}

func TestOwnPasswordAndLogins(t *testing.T) {
	s := newSite(t)
	phone, desk := s.as(s.owner), s.as(s.owner)
	require.Len(t, desk.get("/club").all(`form[action^="/logins/"]`), 2)
	a := desk.post("/club/password", "current", "wrong, wrong, wrong", "password", "quite another one")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "true", attr(a.one("input[name=current]"), "aria-invalid"))
	desk.post("/club/password", "current", rightPassword, "password", "quite another one").leadsTo("/club?said=password")
	phone.get("/").leadsTo("/sign-in")
	page := desk.get("/club?said=password")
	require.Contains(t, page.body, "You have a new password.")
	own := page.one(`form[action^="/logins/"]`)
	desk.post(attr(own, "action")).leadsTo("/sign-in")
	require.Nil(t, desk.cookie, "ending the login in use signs out")
}

func TestEndingAnAthletesLogin(t *testing.T) {
	p := newPeople(t)
	path := athletePath(p.ana.ID) + "/logins/" + p.login(0, p.ana.ID) + "/end"
	p.visitors[clubCoach].post(path).leadsTo(athletePath(p.ana.ID) + "?said=ended")
	p.visitors[herself].get("/").leadsTo("/sign-in")
	logins, err := p.access.AthleteLogins(context.Background(), roster.Actor{Club: p.club.ID}, p.ana.ID)
	require.NoError(t, err)
	require.Empty(t, logins)
	require.NotZero(t, access.AthleteLogin)
}

// A notice is named by the address, so nobody can put words into it.
func TestNoticesAreOurOwnWords(t *testing.T) {
	s := newSite(t)
	a := s.as(s.owner).get("/club?said=" + url.QueryEscape("<script>alert(1)</script> You have won"))
	require.NotContains(t, a.body, "You have won")
}
