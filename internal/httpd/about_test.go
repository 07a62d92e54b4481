package httpd

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// Every page of a coach about one athlete is noted as a look, under a name that an
// athlete understands; nothing else is.
func TestWhatIsNotedAsALook(t *testing.T) {
	want := map[string]privacy.What{
		"/athletes/{athlete}":                              privacy.Page,
		"/athletes/{athlete}/edit":                         privacy.Page,
		"/athletes/{athlete}/notes":                        privacy.Page,
		"/athletes/{athlete}/log":                          privacy.Sessions,
		"/athletes/{athlete}/logins/{login}/end":           privacy.Page,
		"/athletes/{athlete}/sessions":                     privacy.Sessions,
		"/athletes/{athlete}/sessions/{session}/recording": privacy.Heart,
		"/athletes/{athlete}/heart":                        privacy.Heart,
		"/athletes/{athlete}/talk-test":                    privacy.Heart,
		"/athletes/{athlete}/kept":                         privacy.Kept,
		"/athletes/{athlete}/archive":                      privacy.Archive,
		"/athletes/{athlete}/joining/{step}":               privacy.Health,
		"/athletes/new":                                    "",
		"/roster":                                          "",
		"/sessions/{session}":                              "",
	}
	for pattern, what := range want {
		require.Equal(t, what, route{pattern: pattern}.looks(), pattern)
	}
	for _, line := range routes() {
		require.Equal(t, strings.Contains(line.pattern, "/athletes/{athlete}"), line.looks() != "", line.pattern)
	}
}

// looked is what is noted of looks at Ana, in the order of the first ones.
func (p *people) looked() (all []privacy.What) {
	for _, l := range p.store.Looked {
		if l.Athlete == p.ana.ID {
			all = append(all, l.What)
		}
	}
	return all
}

func TestLooksAreNoted(t *testing.T) {
	p := newPeople(t)
	at := athletePath(p.ana.ID)
	p.visitors[clubCoach].get("/roster")
	p.visitors[herself].get("/today")
	p.visitors[foreignCoach].get(at)
	p.visitors[nobody].get(at)
	require.Empty(t, p.looked(), "the roster is no look, nor is what is refused, nor one's own")
	p.visitors[clubCoach].get(at)
	p.visitors[clubCoach].get(at)
	p.visitors[clubCoach].get(at + "/heart")
	p.visitors[clubCoach].get(at + "/sessions")
	p.visitors[clubCoach].get(at + "/sessions/" + p.ids["{session}"] + "/recording")
	p.visitors[deputy].get(at + "/kept")
	require.Equal(t, []privacy.What{privacy.Page, privacy.Heart, privacy.Sessions}, p.looked())
	first := p.store.Looked[0]
	require.Equal(t, 2, first.Times)
	require.Equal(t, p.coach.ID, first.Coach)
	require.Equal(t, day.On(2026, 4, 14), first.On)

	require.Equal(t, http.StatusUnprocessableEntity, p.visitors[clubOwner].post(at+"/notes", "key", "key-of-the-form", "text", "").StatusCode)
	require.Len(t, p.looked(), 4, "a form that comes back with the whole page is a look")
	require.Equal(t, http.StatusSeeOther, p.visitors[deputy].post(at+"/notes", "key", "key-of-the-form", "text", "Hello").StatusCode)
	require.Len(t, p.looked(), 4, "one that leads elsewhere is none by itself")
}

// A page is shown also where the look cannot be kept, and the log says so without a
// name.
func TestALookThatIsNotKept(t *testing.T) {
	p := newPeople(t)
	at := athletePath(p.ana.ID)
	p.site.deps.Privacy = &privacy.Service{Store: noLooks{p.store}, Now: func() time.Time { return p.now }}
	r := httptest.NewRequest(http.MethodGet, at, nil)
	r.AddCookie(p.visitors[clubCoach].cookie)
	w := httptest.NewRecorder()
	p.server(routes()...).ServeHTTP(w, r)
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, p.log.String(), "a look was not noted")
	require.NotContains(t, p.log.String(), "Ana")
}

type noLooks struct{ privacy.Store }

func (noLooks) Look(context.Context, roster.ClubID, roster.CoachID, roster.AthleteID, privacy.What, day.Date, time.Time) error {
	return errors.New("the disk is full")
}

func TestAnAthleteReadsWhoLooked(t *testing.T) {
	p := newPeople(t)
	at := athletePath(p.ana.ID)
	require.Contains(t, text(p.visitors[herself].get("/me").one("main")), "No coach has opened a page of its own about you yet.")
	for _, ago := range []int{100, 70, 40, 2, 1, 0} {
		p.now = time.Date(2026, 4, 14, 6, 0, 0, 0, time.UTC).AddDate(0, 0, -ago)
		require.NoError(t, p.deps.Privacy.Looked(context.Background(), p.club, p.coach.ID, p.ana.ID, privacy.Page))
	}
	require.NoError(t, p.deps.Privacy.Looked(context.Background(), p.club, p.coach.ID, p.ana.ID, privacy.Heart))
	me := p.visitors[herself].get("/me")
	said := text(me.one("main"))
	require.Contains(t, said, "April Ivo looked at your page on three days and your heart rate on one day.")
	require.Contains(t, said, "March Ivo looked at your page on one day.")
	require.Contains(t, text(me.one("details")), "January Ivo looked at your page on one day.")
	require.Contains(t, said, "One session")
	require.Contains(t, said, "Time zone Europe/Lisbon")
	require.Contains(t, text(p.visitors[clubCoach].get(at+"/kept").one("main")), "Ivo looked at the page on three days")
}

func TestConsentsAreShown(t *testing.T) {
	p := newPeople(t)
	p.store.Agreed = append(p.store.Agreed,
		roster.Consent{Athlete: p.ana.ID, Kind: roster.ToHealth, Text: 1, On: day.On(2026, 4, 3), At: p.now.AddDate(0, 0, -11), WithdrawnAt: p.now},
		roster.Consent{Athlete: p.ana.ID, Kind: roster.Guardian, Text: 1, On: day.On(2026, 4, 3), At: p.now.AddDate(0, 0, -11), Guardian: "Rosa Costa"})
	for _, said := range []string{text(p.visitors[herself].get("/me").one("main")), text(p.visitors[clubCoach].get(athletePath(p.ana.ID) + "/kept").one("main"))} {
		require.Contains(t, said, "That answers about health are kept, and who sees them: agreed to on 3 April, ended today.")
		require.Contains(t, said, "The consent of Rosa Costa, parent or guardian: agreed to on 3 April.")
	}
	require.NotContains(t, p.visitors[otherAthlete].get("/me").body, "Consents")
}

func TestWhatIsKeptInWords(t *testing.T) {
	require.Equal(t, []string{"Thirty-eight sessions", "One note by a coach", "Two letters by mail, each kept for 30 days", "Two lines: Parcels that were sent", "One line: of “spare”"}, keptWords([]privacy.Count{
		{Table: "athlete", Rows: 1}, {Table: "erasure", Rows: 1}, {Table: "letter", Rows: 2, About: "The mail."}, {Table: "parcel", Rows: 2, About: "Parcels that were sent."},
		{Table: "note", Rows: 1}, {Table: "session", Rows: 38}, {Table: "spare", Rows: 1},
	}))
}

func TestTheArchiveIsAFile(t *testing.T) {
	p := newPeople(t)
	for path, b := range map[string]*browser{"/me/archive": p.visitors[herself], athletePath(p.ana.ID) + "/archive": p.visitors[clubCoach]} {
		a := b.get(path)
		require.Equal(t, http.StatusOK, a.StatusCode)
		require.Equal(t, "application/zip", a.Header.Get("Content-Type"))
		require.Equal(t, `attachment; filename="halfhour-2026-04-14.zip"`, a.Header.Get("Content-Disposition"))
		require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
		z, err := zip.NewReader(bytes.NewReader([]byte(a.body)), int64(len(a.body)))
		require.NoError(t, err)
		f, err := z.Open("README.txt")
		require.NoError(t, err)
		readme, err := io.ReadAll(f)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(string(readme), "Ana\n"), "the visitor's own")
	}
	require.Equal(t, []privacy.What{privacy.Archive}, p.looked(), "handing it out is a look; taking one's own along is none")
}

func TestAskingToBeErased(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[herself]
	require.Contains(t, text(b.get("/me/erase").one("main")), "on 21 April")
	b.post("/me/erase").leadsTo("/me")
	p.now = p.now.AddDate(0, 0, 2)
	b.post("/me/erase").leadsTo("/me")
	said := text(b.get("/me").one("main"))
	require.Contains(t, said, "That was on Tuesday. Everything about you goes for good on Tuesday")
	require.NotContains(t, said, "Ask to be erased")
	for _, page := range []string{"/roster", athletePath(p.ana.ID), athletePath(p.ana.ID) + "/kept", "/club"} {
		require.Contains(t, strings.ToLower(text(p.visitors[clubCoach].get(page).one("main"))), "asked to be erased", page)
	}
	require.Contains(t, text(p.visitors[clubCoach].get("/club").one("#keeping + p ~ ul")), "Ana everything goes on Tuesday")
	for _, kind := range []who{deputy, foreignCoach} {
		require.NotContains(t, p.visitors[kind].get("/roster").body, "asked to be erased")
	}
	b.post("/me/erase/back").leadsTo("/me?said=kept")
	b.post("/me/erase/back").leadsTo("/me?said=kept")
	require.NotContains(t, p.visitors[clubCoach].get("/roster").body, "asked to be erased")
	require.Contains(t, text(b.get("/me").one("main")), "Ask to be erased")
}

func TestACoachErases(t *testing.T) {
	p := newPeople(t)
	b, at := p.visitors[clubCoach], athletePath(p.ana.ID)
	link := "/in/" + p.code("/in/")
	a := b.post(at+"/erase", "name", "Anna")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#name-wrong")), "nothing was erased")
	require.Equal(t, "Anna", attr(a.one("#name"), "value"))
	require.Contains(t, p.store.Athletes, p.ana.ID)
	b.post(at+"/erase", "name", "  ana ").leadsTo("/roster?said=erased")
	require.NotContains(t, p.store.Athletes, p.ana.ID)
	for _, path := range []string{at, at + "/kept", at + "/archive", at + "/sessions", at + "/heart", at + "/edit"} {
		require.Equal(t, http.StatusNotFound, b.get(path).StatusCode, path)
	}
	require.Equal(t, http.StatusNotFound, b.post(at+"/erase", "name", "ana").StatusCode, "a second time")
	require.Equal(t, http.StatusGone, p.visitors[nobody].get(link).StatusCode, "the link that lay on a phone")
	p.visitors[herself].get("/today").leadsTo("/sign-in?next=%2Ftoday")
	require.Contains(t, text(p.visitors[clubOwner].get("/club").one("#keeping ~ ul")), "2026: one person with one session")
}

func TestHowLongAClubKeepsPeople(t *testing.T) {
	p := newPeople(t)
	owner := p.visitors[clubOwner]
	for _, typed := range []string{"0", "121", "-1", "", "soon"} {
		a := owner.post("/club/keeping", "keep_months", typed)
		require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode, typed)
		require.Equal(t, typed, attr(a.one("#keep_months"), "value"))
		require.NotEmpty(t, a.all("#keep_months-wrong"))
	}
	owner.post("/club/keeping", "keep_months", "6").leadsTo("/club?said=keeping")
	require.Equal(t, privacy.Keeping{Months: 6, Since: p.now}, p.store.Keeps[p.club.ID])
	require.Empty(t, p.visitors[clubCoach].get("/club").all("#keep_months"), "a coach reads it and does not change it")
	require.Contains(t, text(p.visitors[clubCoach].get("/club").one("main")), "kept for six months")
	require.Empty(t, p.visitors[deputy].get("/club").all("#keeping"))
	require.Contains(t, text(p.visitors[herself].get("/me").one("main")), "kept for six months and then erased by itself")

	ana := p.store.Athletes[p.ana.ID]
	ana.LeftAt = p.now.AddDate(0, -5, -20)
	p.store.Athletes[ana.ID] = ana
	require.Contains(t, text(p.visitors[clubCoach].get("/club").one("main")), "Ana everything goes on 14 May", "not within a month of the change")
}

func TestPrivateNotes(t *testing.T) {
	p := newPeople(t)
	at := athletePath(p.ana.ID)
	p.visitors[clubCoach].post(at+"/notes", "key", "key-of-the-note-1", "text", "Between us", "private", "1").leadsTo(at + "?said=noted")
	p.visitors[clubCoach].post(at+"/notes", "key", "key-of-the-note-2", "text", "For all").leadsTo(at + "?said=noted")
	p.visitors[deputy].post(at+"/notes", "key", "key-of-the-note-3", "text", "By a deputy", "private", "1").leadsTo(at + "?said=noted")
	require.Equal(t, []bool{true, false, false}, []bool{p.store.Written[0].Private, p.store.Written[1].Private, p.store.Written[2].Private})
	coachs, deputys := p.visitors[clubOwner].get(at), p.visitors[deputy].get(at)
	require.Contains(t, coachs.body, "Between us")
	require.Contains(t, text(coachs.one("#notes ~ form")), "part of what the athlete can download")
	require.NotContains(t, deputys.body, "Between us")
	require.Contains(t, deputys.body, "For all")
	require.Empty(t, deputys.all("input[name=private]"))
	require.NotEmpty(t, coachs.all("input[name=private]"))
	require.Empty(t, deputys.all(`a[href$="/kept"]`))
}
