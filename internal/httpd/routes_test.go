package httpd

import (
	"context"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/warmup"
)

// who is one kind of visitor, in the order of the expectations.
type who int

const (
	nobody who = iota
	herself
	otherAthlete
	clubCoach
	foreignCoach
	clubOwner
	deputy
	apart // a coach of the club who sees only own athletes, of whom Ana is none
	newcomer
	kinds
)

func (w who) String() string {
	return [...]string{"nobody", "the athlete", "another athlete of the club", "a coach", "another club's coach", "the owner",
		"a deputy", "a coach whose athlete she is not", "an athlete who is not here yet"}[w]
}

// may is what every kind of visitor gets of every route, in the order of who:
// y the handler's answer, s is sent to sign in, n not found, f forbidden. Where
// the address names an athlete, it is Ana, whom "the athlete" is.
func may() map[string]string {
	return map[string]string{
		"GET /":                                "yyyyyyyyy",
		"GET /static/{hash}/*":                 "yyyyyyyyy",
		"GET /manifest.webmanifest":            "yyyyyyyyy",
		"GET /sw.js":                           "yyyyyyyyy",
		"GET /no-signal":                       "yyyyyyyyy",
		"GET /sign-in":                         "yyyyyyyyy",
		"POST /sign-in":                        "yyyyyyyyy",
		"GET /sign-in/forgotten":               "yyyyyyyyy",
		"POST /sign-in/forgotten":              "yyyyyyyyy",
		"POST /club/invitations/mail":          "snnffyffn",
		"GET /mail":                            "snnffyffn",
		"GET /mail/{letter}":                   "snnffyffn", // the letter is one of the club's
		"POST /sign-in/passkey/ask":            "yyyyyyyyy",
		"POST /sign-in/passkey":                "yyyyyyyyy",
		"POST /sign-out":                       "yyyyyyyyy",
		"GET /in/{code}":                       "yyyyyyyyy",
		"POST /in/{code}":                      "yyyyyyyyy",
		"GET /set-up/{code}":                   "yyyyyyyyy",
		"POST /set-up/{code}":                  "yyyyyyyyy",
		"GET /join/{code}":                     "yyyyyyyyy",
		"POST /join/{code}":                    "yyyyyyyyy",
		"GET /club":                            "snnyyyyyn",
		"POST /club/password":                  "snnyyyyyn",
		"POST /club/invitations":               "snnffyffn",
		"POST /club/proof":                     "snnyyyyyn",
		"POST /club/proof/ask":                 "snnyyyyyn",
		"POST /club/proof/passkey":             "snnyyyyyn",
		"POST /club/passkeys/ask":              "snnyyyyyn",
		"POST /club/passkeys":                  "snnyyyyyn",
		"POST /club/passkeys/{passkey}/remove": "snnnnynnn", // the passkey is the owner's own
		"POST /logins/{login}/end":             "snnnnynnn", // the login is the owner's own
		"POST /club/settings":                  "snnffyffn",
		"GET /club/about-me.json":              "snnyyyyyn",
		"POST /club/address":                   "snnyyyyyn",
		"POST /club/address/seen":              "snnyyyyyn",
		"GET /club/address/{code}":             "snnnnynnn", // the link is the owner's own
		"POST /club/address/{code}":            "snnnnynnn",
		"GET /club/coaches/{coach}":            "snnffyffn",
		"POST /club/coaches/{coach}/role":      "snnffyffn",
		"POST /club/coaches/{coach}/end":       "snnffyffn",
		"POST /logins/{login}/mine":            "snnnnynnn", // the login is the owner's own
		"POST /me/logins/{login}/end":          "synnnnnnn", // the login is Ana's
		"POST /me/logins/{login}/mine":         "synnnnnnn",

		"GET /roster":                                        "snnyyyyyn",
		"POST /roster":                                       "snnyyyyyn",
		"POST /decisions/undo":                               "snnyyyyyn",
		"GET /pathway":                                       "snnyyyyyn",
		"GET /warm-up/edit":                                  "snnyyyfyn",
		"POST /warm-up/edit":                                 "snnyyyfyn",
		"POST /warm-up/ours":                                 "snnyyyfyn",
		"POST /warm-up/movements":                            "snnyyyfyn",
		"POST /warm-up/movements/{movement}/away":            "snnynyfyn", // the movement is one of the club's
		"GET /club/weather":                                  "snnyyyyyn",
		"POST /club/weather":                                 "snnyyyyyn",
		"GET /athletes/{athlete}":                            "snnynyynn",
		"POST /athletes/{athlete}/decide":                    "snnynyynn",
		"GET /athletes/{athlete}/log":                        "snnynyynn",
		"POST /athletes/{athlete}/log":                       "snnynyynn",
		"GET /athletes/{athlete}/sessions":                   "snnynyynn",
		"GET /athletes/{athlete}/sessions/{session}":         "snnynyynn",
		"POST /athletes/{athlete}/sessions/{session}":        "snnynyynn",
		"GET /athletes/{athlete}/sessions/{session}/delete":  "snnynyynn",
		"POST /athletes/{athlete}/sessions/{session}/delete": "snnynyynn",
		"GET /athletes/{athlete}/sessions/{session}/stopped": "snnynyynn",

		"GET /athletes/new":       "snnyyyfyn",
		"POST /athletes":          "snnyyyfyn",
		"GET /joining":            "syynnnnny",
		"GET /joining/consent":    "syynnnnny",
		"POST /joining/consent":   "syynnnnny",
		"POST /joining/withdraw":  "syynnnnny",
		"GET /joining/walk":       "syynnnnny",
		"POST /joining/walk":      "syynnnnny",
		"GET /joining/paper":      "snnnnnnnn", // only where a clearance is open, see joining_test.go
		"GET /joining/{section}":  "syynnnnny",
		"POST /joining/{section}": "syynnnnny",

		"GET /health":                                "syynnnnny",
		"GET /athletes/{athlete}/health":             "snnynyfnn",
		"POST /athletes/{athlete}/review/look":       "snnynyfnn",
		"GET /athletes/{athlete}/joining":            "snnynyfnn",
		"GET /athletes/{athlete}/joining/consent":    "snnynyfnn",
		"POST /athletes/{athlete}/joining/consent":   "snnynyfnn",
		"POST /athletes/{athlete}/joining/withdraw":  "snnynyfnn",
		"GET /athletes/{athlete}/joining/walk":       "snnynyfnn",
		"POST /athletes/{athlete}/joining/walk":      "snnynyfnn",
		"GET /athletes/{athlete}/joining/paper":      "snnnnnfnn",
		"GET /athletes/{athlete}/joining/{section}":  "snnynyfnn",
		"POST /athletes/{athlete}/joining/{section}": "snnynyfnn",
		"GET /athletes/{athlete}/review":             "snnynyfnn",
		"POST /athletes/{athlete}/review":            "snnynyfnn",
		"POST /athletes/{athlete}/clearance":         "snnynyfnn",

		"GET /athletes/{athlete}/edit":                 "snnynyfnn",
		"POST /athletes/{athlete}/edit":                "snnynyfnn",
		"POST /athletes/{athlete}/link":                "snnynyfnn",
		"POST /athletes/{athlete}/link/mail":           "snnynyfnn",
		"POST /athletes/{athlete}/logins/{login}/end":  "snnynyynn", // the login is Ana's
		"POST /athletes/{athlete}/hand":                "snnynyfnn",
		"POST /athletes/{athlete}/taken":               "snnynyfnn",
		"POST /athletes/{athlete}/left":                "snnynyfnn",
		"POST /athletes/{athlete}/returned":            "snnynyfnn",
		"POST /athletes/{athlete}/notes":               "snnynyynn",
		"GET /athletes/{athlete}/leave":                "snnynyynn",
		"POST /athletes/{athlete}/leave":               "snnynyynn",
		"GET /athletes/{athlete}/leave/{leave}/back":   "snnynyynn",
		"POST /athletes/{athlete}/leave/{leave}/back":  "snnynyynn",
		"POST /athletes/{athlete}/leave/{leave}/never": "snnynyynn",

		"GET /today":                       "syynnnnny",
		"GET /phone/week":                  "syynnnnny",
		"GET /go":                          "syynnnnny",
		"GET /warm-up":                     "syynnnnny",
		"GET /cool-down":                   "syynnnnny",
		"GET /weather":                     "syynnnnny",
		"POST /weather":                    "syynnnnny",
		"POST /weather/called-off":         "syynnnnny",
		"GET /log":                         "syynnnnny",
		"POST /log":                        "syynnnnny",
		"GET /sessions":                    "syynnnnny",
		"GET /sessions/{session}":          "synnnnnnn", // the session is Ana's
		"POST /sessions/{session}":         "synnnnnnn",
		"GET /sessions/{session}/delete":   "synnnnnnn",
		"POST /sessions/{session}/delete":  "syynnnnny", // gone already is no fault; another's stays, see mine_test.go
		"POST /sessions/{session}/morning": "synnnnnnn",
		"GET /sessions/{session}/stopped":  "synnnnnnn",
		"GET /away":                        "syynnnnny",
		"POST /away":                       "syynnnnny",
		"GET /away/{leave}/back":           "synnnnnnn", // the time away is Ana's
		"POST /away/{leave}/back":          "synnnnnnn",
		"POST /away/{leave}/never":         "syynnnnny", // gone already is no fault; another's stays, see away_test.go

		"GET /week":                                                      "syynnnnny",
		"POST /week/move":                                                "syynnnnny",
		"POST /week/habits":                                              "syynnnnny",
		"POST /week/pins":                                                "syynnnnny",
		"POST /week/pins/{pin}/lift":                                     "syynnnnny",
		"GET /athletes/{athlete}/week":                                   "snnynyynn",
		"POST /athletes/{athlete}/week/move":                             "snnynyynn",
		"POST /athletes/{athlete}/week/habits":                           "snnynyfnn",
		"POST /athletes/{athlete}/week/pins":                             "snnynyfnn",
		"POST /athletes/{athlete}/week/pins/{pin}/lift":                  "snnynyfnn",
		"GET /weeks":                                                     "snnyyyyyn",
		"GET /groups":                                                    "snnyyyyyn",
		"POST /groups":                                                   "snnyyyfyn",
		"POST /groups/{group}":                                           "snnyyyfyn",
		"POST /groups/{group}/remove":                                    "snnyyyfyn",
		"POST /holidays":                                                 "snnyyyfyn",
		"POST /holidays/{holiday}/remove":                                "snnyyyfyn",
		"GET /athletes/{athlete}/sessions/{session}/recording":           "snnynyynn",
		"POST /athletes/{athlete}/sessions/{session}/recording":          "snnynyynn",
		"POST /athletes/{athlete}/sessions/{session}/recording/anew":     "snnynyynn",
		"POST /athletes/{athlete}/sessions/{session}/recording/remove":   "snnynyynn",
		"GET /athletes/{athlete}/heart":                                  "snnynyynn",
		"POST /athletes/{athlete}/heart/measurements":                    "snnynyynn",
		"POST /athletes/{athlete}/heart/measurements/{measurement}/back": "snnynyynn",
		"POST /athletes/{athlete}/heart/offers":                          "snnynyynn",
		"POST /athletes/{athlete}/heart/formula":                         "snnynyynn",
		"GET /athletes/{athlete}/talk-test":                              "snnynyynn",
		"POST /athletes/{athlete}/talk-test":                             "snnynyynn",
		"GET /sessions/{session}/recording":                              "synnnnnnn", // the session is Ana's
		"POST /sessions/{session}/recording":                             "synnnnnnn",
		"POST /sessions/{session}/recording/anew":                        "synnnnnnn",
		"POST /sessions/{session}/recording/remove":                      "synnnnnnn",
		"GET /heart":               "syynnnnny",
		"POST /heart/measurements": "syynnnnny",
		"POST /heart/measurements/{measurement}/back": "synnnnnnn", // it is Ana's
		"GET /talk-test":  "syynnnnny",
		"POST /talk-test": "syynnnnny",

		"GET /me":                             "syynnnnny",
		"POST /me/roller":                     "syynnnnny",
		"GET /weeks/print":                    "snnyyyyyn",
		"GET /athletes/{athlete}/week/print":  "snnynyynn",
		"GET /athletes/{athlete}/week/enter":  "snnynyynn",
		"POST /athletes/{athlete}/week/enter": "snnynyynn",
		"GET /calendar/{code}.ics":            "yyyyyyyyy",
		"GET /me/calendar":                    "syynnnnny",
		"POST /me/calendar":                   "syynnnnny",
		"POST /me/calendar/end":               "syynnnnny",
		"GET /club/calendar":                  "snnyyyyyn",
		"POST /club/calendar":                 "snnyyyyyn",
		"POST /club/calendar/end":             "snnyyyyyn",
		"GET /me/archive":                     "syynnnnny",
		"GET /me/erase":                       "syynnnnny",
		"POST /me/erase":                      "syynnnnny",
		"POST /me/erase/back":                 "syynnnnny",
		"GET /athletes/{athlete}/kept":        "snnynyfnn",
		"GET /athletes/{athlete}/archive":     "snnynyfnn",
		"POST /athletes/{athlete}/erase":      "snnynyfnn",
		"POST /club/keeping":                  "snnffyffn",

		"GET /letter":                 "snnyyyyyn",
		"POST /letter":                "snnyyyyyn",
		"GET /letter/preview":         "snnyyyyyn",
		"POST /letter/now":            "snnyyyyyn",
		"GET /letter/{sent}":          "snnnnynnn", // the letter is to the owner
		"GET /letter/{sent}/whole":    "snnnnynnn",
		"POST /me/letters":            "syynnnnny",
		"POST /club/gentle":           "snnffyffn",
		"GET /letters/stop/{secret}":  "yyyyyyyyy",
		"POST /letters/stop/{secret}": "yyyyyyyyy",
	}
}

// fields is a body that each form takes; others are sent empty.
func fields() map[string]string {
	return map[string]string{
		"POST /me/calendar":                                  "key=" + strings.Repeat("c", 42) + "A",
		"POST /club/calendar":                                "key=" + strings.Repeat("c", 42) + "A",
		"POST /in/{code}":                                    "key=key-of-the-form",
		"POST /sign-in/forgotten":                            "email=ana@example.org",
		"POST /athletes/{athlete}/link/mail":                 "key=key-of-the-form",
		"POST /club/invitations/mail":                        "key=key-of-the-form&email=new@example.org",
		"POST /athletes/{athlete}/erase":                     "name=Ana",
		"POST /club/keeping":                                 "keep_months=12",
		"POST /club/address":                                 "key=key-of-the-form&email=new@example.org",
		"POST /club/coaches/{coach}/role":                    "role=deputy",
		"POST /athletes/{athlete}/hand":                      "coach=0",
		"POST /athletes/{athlete}/sessions/{session}":        "key=key-of-the-form&version=1",
		"POST /athletes/{athlete}/sessions/{session}/delete": "version=1",
		"POST /sessions/{session}":                           "key=key-of-the-form&version=1",
		"POST /sessions/{session}/delete":                    "version=1",
		"POST /sessions/{session}/morning":                   "key=key-of-the-form",
		"POST /athletes/{athlete}/notes":                     "key=key-of-the-form&text=hello",
		"POST /athletes/{athlete}/leave":                     "key=key-of-the-form&from=2026-04-14",
		"POST /athletes/{athlete}/leave/{leave}/back":        "to=2026-04-14",
		"POST /athletes/{athlete}/review/look":               "check=1",
		"POST /athletes/{athlete}/clearance":                 "key=key-of-the-form&version=1&given_on=2026-04-13&given_by=Dr+Aune",
		"POST /warm-up/ours":                                 "key=key-of-the-form&of=0",
		"POST /weather/called-off":                           "key=key-of-the-form",
		"POST /away":                                         "key=key-of-the-form&from=2026-04-14",
		"POST /athletes/{athlete}/heart/measurements":        "key=key-of-the-form&kind=resting&bpm=61&on=2026-04-14",
		"POST /athletes/{athlete}/heart/offers":              "key=key-of-the-form&recording={recording}&choice=leave",
		"POST /athletes/{athlete}/heart/formula":             "formula=fox",
		"POST /athletes/{athlete}/talk-test":                 "key=key-of-the-form&well=1&do=next",
		"POST /heart/measurements":                           "key=key-of-the-form&kind=resting&bpm=61&on=2026-04-14",
		"POST /talk-test":                                    "key=key-of-the-form&well=1&do=next",
		"POST /away/{leave}/back":                            "to=2026-04-14",
		"POST /letters/stop/{secret}":                        "do=stop",
		"POST /letter":                                       "letter_on=1&day=7&hour=18&detail=names",
		"POST /letter/now":                                   "key=key-of-the-form",
	}
}

// people are a club with one of each kind, and a neighbour.
type people struct {
	*site
	ana      roster.Athlete
	coach    roster.Coach
	visitors [kinds]*browser
	ids      map[string]string
}

func newPeople(t *testing.T) *people {
	t.Helper()
	s := newSite(t)
	p := &people{site: s, ana: s.store.Runner(s.club.ID, "Ana")}
	ben := s.store.Runner(s.club.ID, "Ben")
	p.coach = s.store.Coach(s.club.ID, "Ivo", "ivo@example.org", fake.HashOf(rightPassword))
	other, _ := s.store.Begin("Hilltop", "oto@example.org", fake.HashOf(rightPassword))
	foreign := s.store.Coach(other.ID, "Uma", "uma@example.org", fake.HashOf(rightPassword))
	helper := s.store.Coach(s.club.ID, "Kim", "kim@example.org", fake.HashOf(rightPassword))
	person := s.store.People[helper.ID]
	person.Deputy = true
	s.store.People[helper.ID] = person
	sol := s.store.Coach(s.club.ID, "Sol", "sol@example.org", fake.HashOf(rightPassword))
	cleo := s.store.Runner(s.club.ID, "Cleo")
	cleo.Arrival = roster.Invited
	s.store.Athletes[cleo.ID] = cleo
	p.visitors = [kinds]*browser{s.nobody(), s.asAthlete(p.ana), s.asAthlete(ben), s.as(p.coach), s.as(foreign), s.as(s.owner),
		s.as(helper), s.as(sol), s.asAthlete(cleo)}
	leave, err := s.deps.Enrol.Away(context.Background(), roster.Actor{Club: s.club.ID, Coach: p.coach.ID},
		roster.Leave{Athlete: p.ana.ID, Span: day.Span{From: day.On(2026, 4, 14)}}, "key-of-her-leave")
	require.NoError(t, err)
	logged, err := s.deps.Entry.Log(context.Background(), roster.Actor{Club: s.club.ID, Athlete: p.ana.ID}, p.ana.ID,
		entry.Entry{Key: "key-of-her-session", Date: day.On(2026, 4, 13), Whole: true})
	require.NoError(t, err)
	p.record(logged.ID)
	owners, err := p.store.AddPasskey(context.Background(), roster.Actor{Club: s.club.ID, Coach: s.owner.ID},
		access.Passkey{Club: s.club.ID, Coach: s.owner.ID, Credential: []byte("of the owner")})
	require.NoError(t, err)
	p.file(p.club.ID)
	movement, err := p.store.AddMovement(context.Background(), roster.Actor{Club: s.club.ID, Coach: s.owner.ID}, warmup.Move{Name: "Windmill"}, p.now, "key-of-the-move")
	require.NoError(t, err)
	p.ids = map[string]string{
		"{exercise}": p.exercise(),
		"{pin}":      "77", "{group}": "78", "{holiday}": "79",
		"{passkey}": idText(owners), "{movement}": idText(movement),
		"{measurement}": idText(p.store.Measured[0].ID), "{recording}": idText(p.store.Recorded[0].ID),
		"{session}": idText(logged.ID), "{section}": "health", "{coach}": idText(p.coach.ID),
		"{athlete}": idText(p.ana.ID), "{leave}": idText(leave), "{hash}": "0123456789ab", "{letter}": oneFile, "*": "site.css",
		"{secret}": fake.StopSecret(s.owner.ID, 0) + "?of=weekly",
	}
	return p
}

// ownOnly lets coaches see only their own athletes; Ana is another coach's.
func (p *people) ownOnly() {
	club, ana := p.store.Clubs[p.club.ID], p.store.Athletes[p.ana.ID]
	club.OwnOnly, ana.Coach = true, p.coach.ID
	p.store.Clubs[club.ID], p.store.Athletes[ana.ID] = club, ana
}

// record gives Ana a recording of her session and a resting rate.
func (p *people) record(session roster.SessionID) {
	ana := roster.Actor{Club: p.club.ID, Athlete: p.ana.ID}
	_, err := p.deps.Heart.Attach(context.Background(), ana, p.ana.ID, session, []byte("90\n91\n92"), false, false)
	require.NoError(p.t, err)
	require.NoError(p.t, p.deps.Heart.Measure(context.Background(), ana, p.ana.ID, "key-of-her-rest", roster.RestMeasured, 60, day.On(2026, 4, 13)))
}

// login is the newest login of the person.
func (p *people) login(coach roster.CoachID, athlete roster.AthleteID) string {
	logins, err := p.store.Logins(context.Background(), p.club.ID, coach, athlete, p.now)
	require.NoError(p.t, err)
	return idText(logins[0].ID)
}

// code makes a one-time code that the route takes.
func (p *people) code(pattern string) string {
	ctx, owner := context.Background(), &access.Visitor{
		Club: p.club, Coach: &p.owner, Login: access.Login{Club: p.club.ID, Coach: p.owner.ID, Since: p.now},
	}
	var link access.Link
	var err error
	switch {
	case strings.HasPrefix(pattern, calendarAt):
		secret, err := p.deps.Calendar.Fresh()
		require.NoError(p.t, err)
		require.NoError(p.t, p.deps.Calendar.Make(ctx, roster.Actor{Club: p.club.ID, Athlete: p.ana.ID}, secret))
		return string(secret)
	case strings.HasPrefix(pattern, "/in/"):
		link, err = p.access.AthleteLink(ctx, owner.Actor(), p.ana.ID)
	case strings.HasPrefix(pattern, addressAt):
		link, err = p.access.AddressLink(ctx, p.club.ID, p.owner.ID, "new@example.org")
	case strings.HasPrefix(pattern, "/set-up/"):
		link, err = p.access.SetUpLink(ctx)
	default:
		link, err = p.access.Invitation(ctx, owner, access.AsCoach)
	}
	require.NoError(p.t, err)
	return string(link.Code)
}

// path fills the pattern with things that are there.
func (p *people) path(pattern string) string {
	if before, after, found := strings.Cut(pattern, "{code}"); found {
		pattern = before + p.code(pattern) + after
	}
	if strings.Contains(pattern, "{login}") {
		coach, athlete := p.owner.ID, roster.AthleteID(0)
		if strings.Contains(pattern, "{athlete}") || strings.HasPrefix(pattern, "/me/") {
			coach, athlete = 0, p.ana.ID
		}
		pattern = strings.Replace(pattern, "{login}", p.login(coach, athlete), 1)
	}
	if before, after, found := strings.Cut(pattern, "{sent}"); found {
		pattern = before + idText(p.sent(p.owner)) + after
	}
	for name, id := range p.ids {
		pattern = strings.Replace(pattern, name, id, 1)
	}
	return pattern
}

// got classifies an answer as may does.
func got(a *answer) string {
	switch {
	case a.StatusCode == http.StatusUnauthorized,
		a.StatusCode == http.StatusSeeOther && strings.HasPrefix(a.Header.Get("Location"), "/sign-in?next="):
		return "s"
	case a.StatusCode == http.StatusNotFound:
		return "n"
	case a.StatusCode == http.StatusForbidden:
		return "f"
	case a.StatusCode < 500:
		return "y"
	}
	return a.Status
}

func TestWhoMayCallWhat(t *testing.T) {
	expected, bodies := may(), fields()
	maps.Copy(expected, mayLift())
	for _, line := range routes() {
		name := line.method + " " + line.pattern
		want, known := expected[name]
		require.True(t, known, "%s is missing from the expectations", name)
		delete(expected, name)
		for kind := range kinds {
			p := newPeople(t)
			if kind == apart {
				p.ownOnly()
			}
			r := httptest.NewRequest(line.method, p.path(line.pattern), strings.NewReader(p.path(bodies[name])))
			if line.method == post {
				r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			}
			a := p.visitors[kind].do(r)
			require.Equal(t, string(want[kind]), got(a), "%s by %s: %d %s", name, kind, a.StatusCode, a.body)
			if a.StatusCode == http.StatusSeeOther && got(a) == "s" {
				next, err := url.Parse(a.Header.Get("Location"))
				require.NoError(t, err)
				require.Equal(t, r.URL.Path, next.Query().Get("next"), "afterwards it goes on where it was")
			}
		}
	}
	require.Empty(t, expected, "expectations of routes that are gone")
}

// A handler never has to ask whether somebody is there: the audience of its route
// says so. These go through the store's own fences as well.
func TestAnotherClubsThingsAreNotFoundByNumber(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[foreignCoach]
	before := len(p.store.Audit)
	for _, line := range routes() {
		if line.method == post && strings.Contains(line.pattern, "{athlete}") {
			a := b.post(p.path(line.pattern), "key", "key-of-the-form", "text", "hello", "from", "2026-04-14", "to", "2026-04-14", "version", "1",
				"name", "Mine now", "zone", "UTC", "sessions_a_week", "3",
				"kind", "resting", "bpm", "61", "on", "2026-04-14", "recording", p.ids["{recording}"], "choice", "leave", "formula", "fox", "well", "1", "do", "next")
			require.Equal(t, http.StatusNotFound, a.StatusCode, line.pattern)
		}
	}
	require.Len(t, p.store.Audit, before, "nothing was changed")
	require.Equal(t, "Ana", p.store.Athletes[p.ana.ID].Name)
}

func TestAddressesThatNameNothing(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[clubOwner]
	for _, id := range []string{"0", "-1", "x", "99999999999999999999", "1e3", "%00", "1;drop"} {
		require.Equal(t, http.StatusNotFound, b.get("/athletes/"+id+"/edit").StatusCode, id)
	}
	require.Equal(t, http.StatusNotFound, p.visitors[nobody].get("/in/short").StatusCode)
}
