package httpd

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

func TestAnOwnerSeesToACoach(t *testing.T) {
	p := newPeople(t)
	mara, ivo := p.visitors[clubOwner], p.visitors[clubCoach]
	at := memberPath(p.coach.ID)
	require.Len(t, mara.get("/club").all(`a[href="`+at+`"]`), 1)
	require.Empty(t, ivo.get("/club").all(`a[href^="/club/coaches/"]`))
	require.Len(t, mara.get(at).all(`input[name=role]`), 3)
	require.Equal(t, http.StatusNotFound, mara.get(memberPath(999)).StatusCode)

	ana := p.store.Athletes[p.ana.ID]
	ana.Coach = p.coach.ID
	p.store.Athletes[ana.ID] = ana
	wrong := mara.post(at+"/role", "role", "king")
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	require.Contains(t, text(wrong.one("#role")), "owner, coach or deputy")
	mara.post(at+"/role", "role", "deputy").leadsTo("/club?said=role&freed=1")
	require.Contains(t, text(mara.get("/club?said=role&freed=1").one(".notice")), "One athlete is everybody's now")
	require.Equal(t, http.StatusForbidden, ivo.get("/athletes/new").StatusCode, "at once, with the login of before")

	mara.post(at + "/end").leadsTo("/club?said=member-ended&freed=0")
	ivo.get("/roster").leadsTo("/sign-in?next=%2Froster")
	require.NotContains(t, mara.get("/club").body, "ivo@example.org")

	own := memberPath(p.owner.ID)
	require.Contains(t, text(mara.get(own).one("main")), "only owner")
	require.Equal(t, http.StatusConflict, mara.post(own+"/role", "role", "coach").StatusCode)
	require.Equal(t, http.StatusConflict, mara.post(own+"/end").StatusCode)
	next := p.store.Coach(p.club.ID, "Una", "una@example.org", fake.HashOf(rightPassword))
	mara.post(memberPath(next.ID)+"/role", "role", "owner").leadsTo("/club?said=role&freed=0")
	mara.post(own + "/end").leadsTo("/sign-in")
	require.Nil(t, mara.cookie, "whoever leaves is signed out")
}

func TestAnOwnerProvesWhoItIsFirst(t *testing.T) {
	p := newPeople(t)
	mara := p.visitors[clubOwner]
	p.now = p.now.Add(time.Hour)
	require.Empty(t, mara.get("/club").all(`form[action="/club/invitations"]`))
	require.Len(t, mara.get("/club").all(`a[href="/club#passkeys"]`), 2, "to invite, and to change the own address")
	require.Empty(t, mara.get(memberPath(p.coach.ID)).all("input[name=role]"))
	require.Equal(t, http.StatusForbidden, mara.post(memberPath(p.coach.ID)+"/role", "role", "owner").StatusCode)
	mara.post("/club/proof", "current", rightPassword).leadsTo("/club?said=proved")
	require.Len(t, mara.get("/club").all(`form[action="/club/invitations"]`), 1)
	mara.post(memberPath(p.coach.ID)+"/role", "role", "owner").leadsTo("/club?said=role&freed=0")
}

func TestInvitingADeputy(t *testing.T) {
	p := newPeople(t)
	a := p.visitors[clubOwner].post("/club/invitations", "role", "deputy")
	require.Contains(t, text(a.one(".link")), "a new deputy")
	_, code, _ := strings.Cut(attr(a.one("#address"), "value"), "/join/")
	kim := p.nobody()
	require.Contains(t, text(kim.get("/join/"+code).one("main")), "as a deputy, at Harbour")
	kim.post("/join/"+code, "name", "Kai", "email", "kai@example.org", "password", "long enough for it").leadsTo("/roster")
	require.Equal(t, http.StatusForbidden, kim.get("/athletes/new").StatusCode)
	require.Equal(t, http.StatusOK, kim.get("/roster").StatusCode)
}

func TestTheClubsSettings(t *testing.T) {
	p := newPeople(t)
	mara := p.visitors[clubOwner]
	require.Empty(t, p.visitors[clubCoach].get("/club").all("#settings"))
	a := mara.post("/club/settings", "club", " ", "zone", "Mars", "own_only", "1")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "Mars", attr(a.one("input[name=zone]"), "value"), "what was typed stays")
	require.True(t, has(a.one("input[name=own_only]"), "checked"))
	mara.post("/club/settings", "club", "Quay", "zone", "Europe/Oslo", "own_only", "1", "minors", "1").leadsTo("/club?said=club-changed")
	require.Equal(t, roster.Club{ID: p.club.ID, Name: "Quay", Zone: "Europe/Oslo", OwnOnly: true, Minors: true}, p.store.Clubs[p.club.ID])
	mara.post("/club/settings", "club", "Quay", "zone", "Europe/Oslo").leadsTo("/club?said=club-changed")
	require.False(t, p.store.Clubs[p.club.ID].OwnOnly)
}

func TestHandingSomebodyOver(t *testing.T) {
	p := newPeople(t)
	mara, ivo := p.visitors[clubOwner], p.visitors[clubCoach]
	at := athletePath(p.ana.ID)
	require.Contains(t, text(mara.get(at).one("#whose ~ p")), "Everybody's")
	for _, o := range mara.get(at).all("#coach option") {
		require.NotEqual(t, "Kim", text(o), "a deputy has no athletes")
	}
	require.Equal(t, http.StatusUnprocessableEntity, mara.post(at+"/hand", "coach", "999").StatusCode)
	require.Equal(t, http.StatusUnprocessableEntity, mara.post(at+"/hand", "coach", "x").StatusCode)
	mara.post(at+"/hand", "coach", idText(p.coach.ID)).leadsTo(at + "?said=handed")
	require.Empty(t, mara.get("/roster").all(`[aria-label="Handed over to you"]`))
	for range 2 { // until it is seen
		line := ivo.get("/roster").one(`[aria-label="Handed over to you"]`)
		require.Contains(t, text(line), "Owner of Harbour handed Ana over to you today.")
	}
	require.Contains(t, text(ivo.get(at).one("#whose ~ p")), "With you.")
	ivo.post(at + "/taken").leadsTo("/roster?said=taken")
	require.Empty(t, ivo.get("/roster").all(`[aria-label="Handed over to you"]`))

	p.ownOnly()
	ivo.post(at+"/hand", "coach", idText(p.owner.ID)).leadsTo("/roster?said=handed-out-of-sight")
	require.Equal(t, http.StatusNotFound, ivo.get(at).StatusCode)
	mara.post(at+"/hand", "coach", "0").leadsTo(at + "?said=unhanded")
	require.Equal(t, http.StatusOK, ivo.get(at).StatusCode)
}

func TestMineAndAll(t *testing.T) {
	p := newPeople(t)
	mara, ivo := p.visitors[clubOwner], p.visitors[clubCoach]
	require.Empty(t, mara.get("/roster").all(`nav[aria-label="Whose athletes"]`), "where everybody is everybody's there is nothing to choose")
	ana := p.store.Athletes[p.ana.ID]
	ana.Coach = p.coach.ID
	p.store.Athletes[ana.ID] = ana
	all := mara.get("/roster")
	require.Contains(t, all.body, "Ana")
	require.Equal(t, "All", text(all.one(`nav[aria-label="Whose athletes"] [aria-current]`)))
	own := mara.get("/roster?whose=mine")
	require.NotContains(t, text(own.one("main")), "Ana")
	require.Contains(t, text(own.one("main")), "Ben", "nobody's are everybody's")
	require.Equal(t, "Mine", text(own.one(`nav[aria-label="Whose athletes"] [aria-current]`)))
	require.Equal(t, "mine", attr(own.one(".find input[name=whose]"), "value"), "a search stays there")
	require.Contains(t, ivo.get("/roster?whose=mine").body, "Ana")
	mara.post("/roster", "whose", "mine", "choice", "hold").leadsTo("/roster?said=nobody-ticked&whose=mine")

	p.ownOnly()
	require.Empty(t, ivo.get("/roster").all(`nav[aria-label="Whose athletes"]`), "who sees only own athletes has nothing to choose")
	require.Len(t, mara.get("/roster").all(`nav[aria-label="Whose athletes"]`), 1)
}

// A deputy is offered nothing that is refused.
func TestADeputyIsOfferedWhatADeputyMay(t *testing.T) {
	p := newPeople(t)
	kim, at := p.visitors[deputy], athletePath(p.ana.ID)
	ivo := roster.Actor{Club: p.club.ID, Coach: p.coach.ID}
	ctx := context.Background()
	_, err := p.deps.Decide.Decide(ctx, ivo, decide.Ask{Athlete: p.ana.ID, Choice: roster.Refer, Reason: "Her knee.", Version: 1, Key: "key-of-the-referral"})
	require.NoError(t, err)
	require.NotEmpty(t, p.visitors[clubCoach].get(at).all("input[value=cleared]"))
	held := kim.get(at)
	require.Empty(t, held.all("input[value=cleared]"))
	require.Empty(t, held.all(`form[action="/decisions/undo"]`))
	_, err = p.deps.Decide.Decide(ctx, ivo, decide.Ask{Athlete: p.ana.ID, Choice: roster.Cleared, Reason: "Seen by Doctor Aune.", Version: 2,
		Clearance: roster.Clearance{GivenOn: tuesday(), GivenBy: "Doctor Aune"}, Key: "key-of-the-clearance"})
	require.NoError(t, err)
	require.Contains(t, p.visitors[clubCoach].get(at).body, "Doctor Aune")
	require.NotContains(t, kim.get(at).body, "Doctor Aune", "who cleared somebody is for coaches")
	for _, a := range []*answer{kim.get("/roster"), kim.get(at), kim.get("/club")} {
		require.Equal(t, http.StatusOK, a.StatusCode)
		for _, n := range append(a.all("form"), a.all("a")...) {
			for _, refused := range []string{"/athletes/new", "/edit", "/link", "/left", "/returned", "/hand", "/invitations", "/settings", "/club/coaches"} {
				require.False(t, strings.HasSuffix(attr(n, "action")+attr(n, "href"), refused), "%s %s", attr(n, "action"), attr(n, "href"))
			}
		}
	}
}

// signInOn is a browser signed in as the coach on a device.
func (s *site) signInOn(c roster.Coach, device string) *browser {
	s.t.Helper()
	o, err := s.access.SignIn(context.Background(), access.Attempt{Email: c.Email, Password: rightPassword, Device: device})
	require.NoError(s.t, err)
	return &browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: string(o.Token)}}
}

const newLogin = `[aria-label="A new login"]`

func TestANewDeviceIsToldOnTheRoster(t *testing.T) {
	s := newSite(t)
	desk := s.as(s.owner)
	s.now = s.now.Add(6*time.Hour + 20*time.Minute)
	phone := s.signInOn(s.owner, "Firefox on Android")
	require.Empty(t, phone.get("/roster").all(newLogin), "a device says nothing of itself")
	told := desk.get("/roster").one(newLogin)
	require.Contains(t, text(told), "New login: Firefox on Android, today 13:20. Not you? End it.")
	claim := attr(desk.get("/roster").one(newLogin+` form[action$="/mine"]`), "action")
	require.Equal(t, http.StatusForbidden, phone.post(claim).StatusCode, "whoever came in by stealth cannot say that all is well")
	tablet := s.signInOn(s.owner, "Safari on iPad")
	require.Empty(t, tablet.get("/roster").all(newLogin+` form[action$="/mine"]`), "nor is it offered")
	require.Len(t, desk.get("/roster").all(newLogin), 2)
	desk.post(claim).leadsTo("/roster?said=claimed")
	end := attr(desk.get("/roster").one(newLogin+` form[action$="/end"]`), "action")
	desk.post(end, "from", "news").leadsTo("/club?said=ended-strange")
	require.Contains(t, text(desk.get("/club?said=ended-strange").one(".notice")), "new password")
	require.Empty(t, desk.get("/roster").all(newLogin))
	tablet.get("/roster").leadsTo("/sign-in?next=%2Froster")
}

func TestAnAthleteSeesAndEndsOwnLogins(t *testing.T) {
	s := newSite(t)
	id := s.runner("Ines Okafor", "L3")
	phone := s.asAthlete(s.store.Athletes[id])
	link, err := s.access.AthleteLink(context.Background(), roster.Actor{Club: s.club.ID, Coach: s.owner.ID}, id)
	require.NoError(t, err)
	o, err := s.access.Enter(context.Background(), link.Code, "key-of-the-form", "Safari on iPad")
	require.NoError(t, err)
	tablet := &browser{site: s, cookie: &http.Cookie{Name: "halfhour", Value: string(o.Token)}}

	require.Contains(t, text(phone.get("/today").one(newLogin)), "New login: Safari on iPad, today 07:00.")
	require.Len(t, phone.get("/me").all(".logins li"), 2)
	require.Contains(t, text(phone.get("/me").all(".logins li")[1]), "(this one)")
	at := "/me/logins/" + idText(o.Login.ID)
	phone.post(at + "/mine").leadsTo("/today?said=claimed")
	require.Empty(t, phone.get("/today").all(newLogin))
	phone.post(at+"/end", "from", "news").leadsTo("/me?said=ended-strange-athlete")
	tablet.get("/today").leadsTo("/sign-in?next=%2Ftoday")
	require.Equal(t, http.StatusNotFound, phone.post(at+"/end").StatusCode, "ended already")
	own, err := s.access.Logins(context.Background(), &access.Visitor{Club: s.club, Login: access.Login{Athlete: id}})
	require.NoError(t, err)
	a := phone.post("/me/logins/" + idText(own[0].ID) + "/end")
	a.leadsTo("/sign-in")
	require.Nil(t, phone.cookie)
	require.NotEmpty(t, a.Header.Get("Clear-Site-Data"), "with what the phone kept")
}

func TestAnAthleteReadsWhoCoachesThem(t *testing.T) {
	p := newPeople(t)
	require.NotContains(t, text(p.visitors[herself].get("/me").one("#kept ~ ul")), "Coach")
	p.ownOnly()
	require.Contains(t, text(p.visitors[herself].get("/me").one("#kept ~ ul")), "Coach Ivo")
}

func TestGuessedLinksAreRefusedAfterAWhile(t *testing.T) {
	p := newPeople(t)
	b := p.nobody()
	good := p.code("/join/")
	wrong := strings.Repeat("A", 43)
	for _, at := range []string{"/in/", "/join/", "/set-up/"} {
		for range 16 {
			require.Contains(t, []int{http.StatusNotFound, http.StatusGone}, b.get(at+wrong).StatusCode)
		}
	}
	require.Equal(t, http.StatusOK, b.get("/join/"+good).StatusCode, "48 are not too many")
	b.get("/in/" + wrong)
	b.get("/in/short")
	a := b.get("/join/" + good)
	require.Equal(t, http.StatusTooManyRequests, a.StatusCode)
	require.Contains(t, text(a.one("main")), "still works")
	p.now = p.now.Add(16 * time.Minute)
	require.Equal(t, http.StatusOK, b.get("/join/"+good).StatusCode)
}
