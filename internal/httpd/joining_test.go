package httpd

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// arrival is somebody who was invited, and the coach who did so.
type arrival struct {
	*people
	b, phone *browser
	id       roster.AthleteID
	at       string // the coach's page of the athlete
	answers  map[string][]string
}

// invited adds Ines by the form and opens the link on a phone.
func invited(t *testing.T) *arrival {
	t.Helper()
	p := newPeople(t)
	a := &arrival{people: p, b: p.visitors[clubCoach], phone: p.nobody(), answers: soundAnswers()}
	added := a.b.post("/athletes", "key", "key-of-the-form-1", "name", "Ines Okafor", "zone", "Europe/Lisbon", "answers", "phone")
	require.Equal(t, http.StatusOK, added.StatusCode, added.body)
	_, after, found := strings.Cut(added.body, "http://example.com/in/")
	require.True(t, found)
	landing := a.phone.get("/in/" + after[:43])
	a.phone.post("/in/"+after[:43], "key", attr(landing.one("input[name=key]"), "value")).leadsTo("/")
	a.id = p.added()[0].ID
	a.at = athletePath(a.id)
	return a
}

// soundAnswers are those of somebody of 40 who walks with ease.
func soundAnswers() map[string][]string {
	return map[string][]string{
		"birth_year": {"1986"}, "height": {"172"}, "weight": {"70"}, "active": {"no"}, "disease": {"none"}, "cleared": {"no"}, "signs": {"none"},
		"medicine": {"none"}, "rhythm": {"none"}, "expecting": {"no"}, "injuries": {"none"}, "hurts_now": {"no"},
		"operation": {"none"}, "bone": {"none"}, "sessions": {"4"}, "times": {"monday-morning", "saturday-midday"}, "resting": {"62"},
		"daily": {"mixed"}, "breathless": {"no"}, "endurance": {"yes"}, "walks_half": {"yes"}, "runs_few": {"no"}, "alternates": {"no"},
	}
}

// agrees ticks everything that has to be agreed to.
func (a *arrival) agrees(b *browser, base string) {
	a.t.Helper()
	b.post(base+"/joining/consent", "key", "key-of-the-form-2", "keeping", "1", "health", "1", "adult", "1").leadsTo(base + "/joining")
}

// sends a section's form with the answers.
func (a *arrival) sends(b *browser, base, section string) *answer {
	a.t.Helper()
	form := b.get(base + "/joining/" + section)
	require.Equal(a.t, http.StatusOK, form.StatusCode, form.body)
	pairs, asked := []string{"key", attr(form.one("form.asking input[name=key]"), "value")}, map[string]bool{}
	for _, field := range form.all("form.asking [name]:not([type=hidden])") {
		name := attr(field, "name")
		if asked[name] {
			continue
		}
		asked[name] = true
		for _, value := range a.answers[name] {
			pairs = append(pairs, name, value)
		}
	}
	return b.post(base+"/joining/"+section, pairs...)
}

// sections in their order.
func sectionIDs() []string {
	var ids []string
	for _, one := range screening.Sections(screening.Circumstances{}) {
		ids = append(ids, one.ID)
	}
	return ids
}

// answersAll goes through all the pages, each leading to the next.
func (a *arrival) answersAll(b *browser, base string) {
	a.t.Helper()
	ids := sectionIDs()
	for i, id := range ids {
		sent := a.sends(b, base, id)
		if i+1 < len(ids) {
			sent.leadsTo(base + "/joining/" + ids[i+1])
		} else {
			sent.leadsTo(base + "/joining")
		}
	}
}

func TestJoiningFromTheLinkToTheFirstSession(t *testing.T) {
	a := invited(t)
	today := a.phone.get("/today")
	require.Equal(t, "Welcome, Ines", text(today.one("h1")))
	require.NotEmpty(t, today.all(`a.btn[href="/joining"]`))
	require.Empty(t, today.all(`a[href="/go"].btn, ol.week`), "nothing is prescribed")

	a.phone.get("/joining").leadsTo("/joining/consent")
	a.phone.get("/joining/health").leadsTo("/joining/consent")
	consent := a.phone.get("/joining/consent")
	require.Contains(t, text(consent.one("main")), "1 of 9")
	require.Contains(t, text(consent.one("main")), "gives no medical advice")
	require.Len(t, consent.all("input[type=checkbox]"), 3)

	bad := a.phone.post("/joining/consent", "key", "key-of-the-form-2", "keeping", "1")
	require.Equal(t, http.StatusUnprocessableEntity, bad.StatusCode)
	bad.one("#health .wrong")
	bad.one("input[name=keeping][checked]")
	a.agrees(a.phone, "")
	a.agrees(a.phone, "")
	require.Len(t, a.store.Agreed, 3, "sent twice, stored once")

	a.phone.get("/joining").leadsTo("/joining/you")
	a.answersAll(a.phone, "")
	result := a.phone.get("/joining")
	require.Equal(t, "Nothing speaks against beginning", text(result.one("h1")))
	require.NotEmpty(t, result.all(`a[href="/joining/walk"]`))
	require.Contains(t, text(a.phone.get("/today").one("main")), "Your answers are in.")

	row := text(a.b.get("/roster").one("section[aria-labelledby=coming]"))
	require.Contains(t, row, "Ines Okafor")
	require.Contains(t, row, "Answered")
	review := a.b.get(a.at + "/review")
	require.Equal(t, "Nothing speaks against beginning.", text(review.one("h1")))
	require.Equal(t, "L1", attr(review.one("select[name=phase] option[selected]"), "value"), "walks half an hour with ease")
	require.Equal(t, "4", attr(review.one("select[name=sessions_a_week] option[selected]"), "value"))
	require.Contains(t, text(review.one("main")), "Monday morning, Saturday midday")
	version := attr(review.one("input[name=version]"), "value")

	wrong := a.b.post(a.at+"/review", "key", "key-of-the-form-4", "version", version, "phase", "Z9", "sessions_a_week", "4", "heart_off", "1")
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	require.NotEmpty(t, wrong.all("#phase ~ .wrong, .bad #phase"))
	wrong.one("input[name=heart_off][checked]")

	for range 2 {
		a.b.post(a.at+"/review", "key", "key-of-the-form-4", "version", version, "phase", "B2", "sessions_a_week", "3").leadsTo(a.at + "?said=begun")
	}
	require.Equal(t, "Walk 20 minutes", text(a.phone.get("/today").one("h1")))
	here := a.store.Athletes[a.id]
	require.Equal(t, roster.Here, here.Arrival)
	require.Equal(t, 1986, here.BirthYear)
	require.Equal(t, day.On(2026, 4, 14), here.PhaseSince)
}

func TestBadAnswersKeepWhatWasTyped(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.answers["birth_year"], a.answers["height"] = []string{"2015"}, []string{"tall"}
	sent := a.sends(a.phone, "", "you")
	require.Equal(t, http.StatusUnprocessableEntity, sent.StatusCode)
	require.Equal(t, "2015", attr(sent.one("input[name=birth_year]"), "value"))
	require.Equal(t, "tall", attr(sent.one("input[name=height]"), "value"))
	require.Contains(t, sent.body, "made for adults")
	require.Equal(t, "true", attr(sent.one("input[name=height]"), "aria-invalid"))
	require.NotEmpty(t, sent.all(`.summary a[href="#birth_year"]`))

	a.answers["disease"], a.answers["signs"] = []string{"none", "heart"}, nil
	sent = a.sends(a.phone, "", "health")
	require.Equal(t, http.StatusUnprocessableEntity, sent.StatusCode)
	sent.one("#disease-heart[checked]")
	sent.one("#disease-none[checked]")
	sent.one("#disease-wrong")
	sent.one("#signs-wrong")
}

// Closing the browser loses nothing, and back keeps what was answered.
func TestEachStepIsStored(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.sends(a.phone, "", "you").leadsTo("/joining/health")
	a.sends(a.phone, "", "health").leadsTo("/joining/heart")
	a.phone.get("/joining").leadsTo("/joining/heart")
	back := a.phone.get("/joining/health")
	back.one("#active-no[checked]")
	back.one("#disease-none[checked]")
	require.Equal(t, "/joining/you", attr(back.one("header a.back"), "href"))
	require.Equal(t, http.StatusNotFound, a.phone.get("/joining/nothing").StatusCode)
}

// A page that was left out is asked for at the end.
func TestWhatWasLeftOutIsAskedForAtTheEnd(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	for _, id := range sectionIDs() {
		if id == "bones" {
			continue
		}
		sent := a.sends(a.phone, "", id)
		if id == "beginning" {
			sent.leadsTo("/joining/bones?look=bones")
		}
	}
	require.Contains(t, text(a.phone.get("/joining/bones?look=bones").one("main")), "still to be answered")
	a.sends(a.phone, "", "bones")
	a.phone.get("/joining").leadsTo("/joining/beginning")
	a.sends(a.phone, "", "beginning").leadsTo("/joining")
	require.Equal(t, roster.Answered, a.store.Athletes[a.id].Arrival)
}

func TestWithAClearanceOpenNothingIsPrescribed(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.answers["signs"], a.answers["bone"] = []string{"chest"}, []string{"stress"}
	a.answersAll(a.phone, "")
	result := a.phone.get("/joining")
	require.Equal(t, "Please ask a doctor first", text(result.one("h1")))
	require.Empty(t, result.all(`a[href="/joining/walk"]`))
	a.phone.get("/joining/walk").leadsTo("/joining")
	paper := text(a.phone.get("/joining/paper").one("main"))
	require.Contains(t, paper, "pressure, tightness or pain in the chest")
	require.NotContains(t, paper, "cracked", "what is private is not on it")
	require.Empty(t, a.phone.get("/today").all("a[href='/go'].btn"))

	review := a.b.get(a.at + "/review")
	require.Contains(t, text(review.one("section[aria-labelledby=bone]")), "Private")
	require.Empty(t, review.all("select[name=phase]"), "there is nothing to confirm yet")
	version := attr(review.one("input[name=version]"), "value")
	refused := a.b.post(a.at+"/review", "key", "key-of-the-form-4", "version", version, "phase", "B1", "sessions_a_week", "3")
	require.Equal(t, http.StatusConflict, refused.StatusCode)

	for _, typed := range [][]string{{"given_on", "2026-04-15", "given_by", "Dr Aune"}, {"given_on", "soon", "given_by", "Dr Aune"}, {"given_on", "2026-04-13", "given_by", " "}} {
		sent := a.b.post(a.at+"/clearance", append(typed, "key", "key-of-the-form-5", "version", version, "limits", "Effort up to 4")...)
		require.Equal(t, http.StatusUnprocessableEntity, sent.StatusCode, sent.body)
		require.Equal(t, "Effort up to 4", text(sent.one("textarea[name=limits]")), "what was typed is kept")
		require.NotEmpty(t, sent.all(".bad .wrong"))
	}
	for range 2 {
		a.b.post(a.at+"/clearance", "key", "key-of-the-form-5", "version", version, "given_on", "2026-04-13", "given_by", "Dr Aune", "limits", "Effort up to 4").leadsTo(a.at + "/review?said=cleared")
	}
	require.Len(t, a.store.Decided, 1, "sent twice, stored once")
	version = attr(a.b.get(a.at+"/review").one("form[action$=review] input[name=version]"), "value")
	a.b.post(a.at+"/review", "key", "key-of-the-form-6", "version", version, "phase", "B1", "sessions_a_week", "3").leadsTo(a.at + "?said=begun")
	limits := text(a.phone.get("/today").one("section[aria-labelledby=limits]"))
	require.Contains(t, limits, "Effort up to 4")
	require.Contains(t, limits, "Dr Aune, yesterday")
	require.Contains(t, text(a.b.get(a.at).one("section[aria-labelledby=health]")), "Cleared on 13 April by Dr Aune.")

	led := a.visitors[deputy].get(a.at)
	require.Contains(t, text(led.one("section[aria-labelledby=limits]")), "Effort up to 4", "whoever leads a session has to know")
	require.NotContains(t, text(led.one("main")), "Aune")
	require.Empty(t, led.all("section[aria-labelledby=health]"))
}

func TestTheFirstWalk(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.phone.get("/joining/walk").leadsTo("/joining")
	a.answersAll(a.phone, "")
	page := a.phone.get("/joining/walk")
	require.Len(t, page.all("input[name=effort]"), 11)
	key := attr(page.one("input[name=key]"), "value")
	before := len(a.store.Logged)
	wrong := a.phone.post("/joining/walk", "key", key, "talk", "chat")
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	wrong.one("#talk-chat[checked]")
	wrong.one("#effort-wrong")
	a.phone.post("/joining/walk", "key", key, "choice", "skip").leadsTo("/joining")
	require.Len(t, a.store.Logged, before)
	for range 2 {
		a.phone.post("/joining/walk", "key", key, "talk", "chat", "effort", "2").leadsTo("/joining")
	}
	require.Len(t, a.store.Logged, before+1, "sent twice, stored once")
	walk := a.store.Logged[before]
	require.Equal(t, readiness.Extra, walk.Kind)
	require.Equal(t, readiness.Some(10), walk.Minutes)
	require.Contains(t, text(a.phone.get("/joining").one("main")), "Your first walk today")
	require.Contains(t, text(a.b.get(a.at+"/review").one("main")), "could chat, effort 2 of 10")
}

func TestASignOnTheFirstWalkStops(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.answersAll(a.phone, "")
	sent := a.phone.post("/joining/walk", "key", "key-of-the-walk", "talk", "words", "effort", "7", "signs", "chest_pressure")
	require.Equal(t, http.StatusSeeOther, sent.StatusCode)
	require.Contains(t, sent.Header.Get("Location"), "/stopped")
}

// A coach fills in the same pages with the person beside, and comes out at the review.
func TestACoachFillsInWithThePersonBeside(t *testing.T) {
	a := invited(t)
	require.Contains(t, text(a.b.get(a.at+"/joining/consent").one(".for")), "Ines Okafor")
	a.agrees(a.b, a.at)
	a.answersAll(a.b, a.at)
	a.b.get(a.at + "/joining").leadsTo(a.at + "/review")
	require.Contains(t, text(a.b.get(a.at+"/review").one("main")), "together with Ivo")
	require.Contains(t, text(a.b.get(a.at+"/review").one("section[aria-labelledby=consents]")), "with a coach beside")
}

func TestAConsentIsTakenBackAndGivenAgain(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.answersAll(a.phone, "")
	page := a.phone.get("/joining/consent")
	require.Equal(t, "What you agreed to", text(page.one("h1")))
	page.one(`form[action="/joining/withdraw"]`)
	a.phone.post("/joining/withdraw").leadsTo("/today?said=withdrawn")
	require.Contains(t, text(a.phone.get("/today").one("main")), "taken your consent back")
	require.Contains(t, text(a.b.get("/roster").one("section[aria-labelledby=coming]")), "Consent taken back")
	a.phone.get("/joining").leadsTo("/joining/consent")
	a.agrees(a.phone, "")
	require.Equal(t, roster.Answered, a.store.Athletes[a.id].Arrival, "the answers are still there")
}

// The link works once; whoever opens it on a second phone reads what to do, and a
// new one lets both in.
func TestAnInvitationOpenedOnASecondPhone(t *testing.T) {
	p := newPeople(t)
	b, first, second := p.visitors[clubCoach], p.nobody(), p.nobody()
	link := func() string {
		_, after, found := strings.Cut(b.post(athletePath(p.ana.ID)+"/link").body, "http://example.com/in/")
		require.True(t, found)
		return "/in/" + after[:43]
	}
	one := link()
	first.post(one, "key", "key-of-the-first-phone").leadsTo("/")
	for _, a := range []*answer{second.get(one), second.post(one, "key", "key-of-the-second-phone")} {
		require.Equal(t, http.StatusGone, a.StatusCode)
		require.Contains(t, text(a.one("main")), "ask your coach for a new link")
	}
	two := link()
	second.post(two, "key", "key-of-the-second-phone").leadsTo("/")
	first.get("/").leadsTo("/today")
	second.get("/").leadsTo("/today")

	late := link()
	p.now = p.now.AddDate(0, 0, 14)
	for _, a := range []*answer{p.nobody().get(late), p.nobody().post(late, "key", "key-of-a-late-phone")} {
		require.Equal(t, http.StatusGone, a.StatusCode)
		require.Contains(t, text(a.one("main")), "too old by now")
	}
}

// Whom a coach asked on paper is here at once; what is missing stands at its field,
// and nothing is asked twice that the answers on the phone will tell.
func TestAskedOnPaper(t *testing.T) {
	p := newPeople(t)
	b := p.visitors[clubCoach]
	form := b.get("/athletes/new")
	form.one("#answers-phone[checked]")
	require.Equal(t, "Ivo", attr(form.one("input[name=asked_by]"), "value"))
	bad := b.post("/athletes", sent("answers", "paper", "asked_on", "2026-04-15", "asked_by", " ", "phase", "")...)
	require.Equal(t, http.StatusUnprocessableEntity, bad.StatusCode)
	bad.one("#answers-paper[checked]")
	require.Equal(t, "2026-04-15", attr(bad.one("input[name=asked_on]"), "value"))
	for _, place := range []string{"asked_on", "asked_by", "phase"} {
		require.NotEmpty(t, bad.all(`.summary a[href="#`+place+`"]`), place)
	}
	require.Empty(t, p.added())
	require.Equal(t, http.StatusOK, b.post("/athletes", sent("answers", "paper", "phase", "L2")...).StatusCode)
	here := p.added()[0]
	require.Equal(t, roster.Here, here.Arrival)
	require.Equal(t, "L2", here.Phase)
	health := text(b.get(athletePath(here.ID)).one("section[aria-labelledby=health]"))
	require.Contains(t, health, "Asked on paper yesterday by Mara.")

	require.Equal(t, http.StatusOK, b.post("/athletes", "key", "key-of-the-form-9", "name", "Bo", "zone", "UTC", "answers", "phone", "birth_year", "nonsense").StatusCode,
		"what is folded away is not read")
}

// A deputy sees who is coming in, and nothing of what was answered.
func TestADeputySeesNoAnswers(t *testing.T) {
	a := invited(t)
	a.agrees(a.phone, "")
	a.answers["signs"], a.answers["bone"] = []string{"chest"}, []string{"stress"}
	a.answersAll(a.phone, "")
	b := a.visitors[deputy]
	row := b.get("/roster").one("section[aria-labelledby=coming]")
	require.Contains(t, text(row), "Ines Okafor")
	require.NotContains(t, text(row), "doctor", "not even that one is to be asked")
	page := b.get(a.at)
	require.Equal(t, http.StatusOK, page.StatusCode)
	require.Empty(t, page.all("section[aria-labelledby=health]"))
	require.NotContains(t, text(page.one("main")), "clearance")
	for _, path := range []string{"/review", "/joining", "/joining/bones", "/joining/paper"} {
		require.Equal(t, http.StatusForbidden, b.get(a.at+path).StatusCode, path)
	}
	require.NotEmpty(t, a.b.get(a.at).all("section[aria-labelledby=health]"), "a coach does")
}
