package httpd

import (
	"context"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	letters "halfhour.app/halfhour/internal/post"
)

func TestACoachChangesTheAddress(t *testing.T) {
	p := newPeople(t)
	ivo := p.visitors[clubCoach]
	form := ivo.get("/club").one(`form[action="/club/address"]`)
	require.Contains(t, text(form), "Now it is ivo@example.org.")
	for typed, fault := range map[string]string{"ivo": "Please give an e-mail address", "IVO@example.org": "sign in with already", "a;b@example.org": "Please give an e-mail address"} {
		bad := ivo.post("/club/address", "key", "key-of-the-form", "email", typed)
		require.Equal(t, http.StatusUnprocessableEntity, bad.StatusCode, typed)
		require.Contains(t, text(bad.one("#new-email-wrong")), fault)
		require.Equal(t, typed, attr(bad.one("#new-email"), "value"), "what was typed is kept")
	}
	for range 2 {
		ivo.post("/club/address", "key", "key-of-the-form", "email", " Ivo@Elsewhere.example").leadsTo("/club?said=address-asked")
	}
	require.Len(t, p.store.Letters, 1, "sent twice, stored once")
	letter := p.store.Letters[0]
	require.Equal(t, []any{letters.NewAddress, p.coach.ID, "ivo@elsewhere.example"}, []any{letter.Kind, letter.Coach, letter.Address})
	link, err := p.access.AddressLink(context.Background(), p.club.ID, p.coach.ID, letter.Address)
	require.NoError(t, err)
	at := "/club/address/" + string(link.Code)

	p.nobody().get(at).leadsTo("/sign-in?next=" + "%2Fclub%2Faddress%2F" + string(link.Code))
	for _, kind := range []who{herself, clubOwner, foreignCoach, deputy} {
		require.Equal(t, http.StatusNotFound, p.visitors[kind].get(at).StatusCode, "whoever got the letter by mistake")
		require.Equal(t, http.StatusNotFound, p.visitors[kind].post(at).StatusCode)
	}
	page := ivo.get(at)
	require.Contains(t, text(page.one("main")), "You sign in with ivo@example.org . From now on it is to be ivo@elsewhere.example .")
	require.Equal(t, "ivo@example.org", p.store.People[p.coach.ID].Email, "looking changes nothing")
	phone := p.as(p.coach)
	p.now = p.now.Add(time.Minute)
	for range 2 {
		ivo.post(at).leadsTo("/club?said=address-changed")
	}
	require.Equal(t, "ivo@elsewhere.example", p.store.People[p.coach.ID].Email)
	require.Equal(t, http.StatusGone, ivo.get(at).StatusCode)

	require.Empty(t, ivo.get("/roster").all(`aside[aria-label="Your e-mail address"]`))
	require.Contains(t, text(phone.get("/roster").one(`aside[aria-label="Your e-mail address"]`)), "changed to ivo@elsewhere.example, today")
	phone.post("/club/address/seen").leadsTo("/roster")
	require.Empty(t, phone.get("/roster").all(`aside[aria-label="Your e-mail address"]`))
}

// A coach takes along what is kept of the coach.
func TestACoachTakesAlongWhatIsKept(t *testing.T) {
	p := newPeople(t)
	ivo := p.visitors[clubCoach]
	ivo.get("/club").one(`a[href="/club/about-me.json"][download]`)
	a := ivo.get("/club/about-me.json")
	require.Equal(t, `attachment; filename="halfhour-about-me.json"`, a.Header.Get("Content-Disposition"))
	require.JSONEq(t, `{"coach": {"name": "Ivo", "email": "ivo@example.org"}}`, a.body)
	require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
}

// A login that was left open changes no way in, and whoever has no passkey shows with
// the password who it is, at whatever address Halfhour is opened.
func TestALoginOfAWhileAgoChangesNoAddress(t *testing.T) {
	p := newPeople(t)
	ivo := p.visitors[clubCoach]
	p.now = p.now.Add(time.Hour)
	require.Empty(t, ivo.get("/club").all(`form[action="/club/address"]`))
	require.Equal(t, http.StatusForbidden, ivo.post("/club/address", "key", "key-of-the-form", "email", "ivo@elsewhere.example").StatusCode)
	require.Empty(t, p.store.Letters)
	r := httptest.NewRequest(http.MethodGet, "/club", nil)
	r.Host = "192.168.1.20:8080"
	page := ivo.do(r)
	page.one(`a[href="/club#passkeys"]`)
	page.one(`form[action='/club/proof'] input[name=current]`)
	ivo.post("/club/proof", "current", rightPassword).leadsTo("/club?said=proved")
	ivo.get("/club").one(`form[action="/club/address"]`)
}
