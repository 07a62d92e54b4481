package httpd

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// hurt is Ana, who trains and was injured four days ago.
func hurt(t *testing.T) *arrival {
	t.Helper()
	p := newPeople(t)
	clear(p.store.Leaving)
	a := p.store.Athletes[p.ana.ID]
	a.InjuredOn = day.On(2026, 4, 10)
	p.store.Athletes[a.ID] = a
	return &arrival{people: p, b: p.visitors[clubCoach], phone: p.visitors[herself], id: a.ID, at: athletePath(a.ID), answers: soundAnswers()}
}

// answersAnew goes through the health sections, each leading to the next.
func (a *arrival) answersAnew(b *browser, base string) {
	a.t.Helper()
	sections := screening.Sections(screening.Circumstances{Fresh: true})
	for i := range sections {
		sent := a.sends(b, base, sections[i].ID)
		if i+1 < len(sections) {
			sent.leadsTo(base + "/joining/" + sections[i+1].ID)
		} else {
			sent.leadsTo(base + "/joining")
		}
	}
}

func TestAFreshHealthCheckFromTodayToTheClearance(t *testing.T) {
	a := hurt(t)
	a.answers["injury_text"] = []string{"A stumble on stairs."}
	today := a.phone.get("/today")
	require.Contains(t, text(today.one("main")), "You were injured on Friday.")
	require.NotEmpty(t, today.all(`a.btn[href="/health"]`))
	page := a.phone.get("/health")
	require.Equal(t, "Your health, asked again", text(page.one("h1")))
	require.Contains(t, text(page.one("main")), "Deputies of a coach do not.")
	require.NotEmpty(t, page.all(`a.btn[href="/joining/health"]`))

	a.phone.get("/joining/health").leadsTo("/joining/consent?section=health")
	consent := a.phone.get("/joining/consent?section=health")
	require.Equal(t, "/joining/consent?section=health", attr(consent.one("form.asking"), "action"))
	require.Equal(t, "Before the questions, Ana", text(consent.one("h1")))
	for _, elsewhere := range []string{"you", "nothing", "//elsewhere.example"} {
		require.Equal(t, "/joining/consent", attr(a.phone.get("/joining/consent?section="+elsewhere).one("form.asking"), "action"), "what is no section of the fresh check")
	}
	a.phone.post("/joining/consent?section=health", "key", "key-of-the-form-2", "keeping", "1", "health", "1", "adult", "1").leadsTo("/joining/health")
	first := a.phone.get("/joining/health")
	require.Contains(t, text(first.one("main")), "1 of 5")
	require.Equal(t, http.StatusNotFound, a.phone.get("/joining/beginning").StatusCode, "where to begin is not asked again")
	a.answersAnew(a.phone, "")
	a.phone.get("/joining").leadsTo("/health")
	result := a.phone.get("/health")
	require.Equal(t, "Nothing speaks against going on", text(result.one("h1")))
	require.Contains(t, text(result.one("main")), "Your coach looks at the answers")
	require.NotEmpty(t, result.all(`main a[href="/joining/consent"]`), "what was agreed to is read again")
	agreed := a.phone.get("/joining/consent")
	require.Equal(t, "What you agreed to", text(agreed.one("h1")))
	require.NotContains(t, text(agreed.one("main")), "1 of", "no step on a way")
	require.Contains(t, text(a.phone.get("/today").one("main")), "Your coach looks at them.")

	roster := a.b.get("/roster")
	require.Contains(t, text(roster.one("article.row")), "Answered anew")
	require.NotEmpty(t, roster.all(`article.row a[href="`+a.at+`/review"]`))
	require.Empty(t, a.visitors[deputy].get("/roster").all(`a[href="`+a.at+`/review"]`), "not for deputies")
	require.Contains(t, text(a.b.get(a.at).one("main")), "The health questions were answered anew: please look.")

	review := a.b.get(a.at + "/review")
	require.Equal(t, "Answered anew: nothing speaks against going on.", text(review.one("h1")))
	require.Contains(t, text(review.one("main")), "In Ana’s words: A stumble on stairs.")
	check := attr(review.one(`form[action$="/review/look"] input[name=check]`), "value")
	for range 2 {
		a.b.post(a.at+"/review/look", "check", check).leadsTo(a.at + "?said=looked&choice=cleared")
	}
	require.Zero(t, a.store.Athletes[a.id].CheckSince)
	require.NotContains(t, text(a.phone.get("/today").one("main")), "health questions", "answered, looked at, and waiting for the coach")

	form := a.b.get(a.at + "?choice=cleared")
	pick := attr(form.one("section.decision input[name=pick]"), "value")
	a.b.post(a.at+"/decide", "pick", pick, "key", "key-of-the-form-5", "choice", "cleared", "given_on", "2026-04-14", "given_by", "Ivo, by a pain-free half hour")
	require.Equal(t, day.On(2026, 4, 14), a.store.Athletes[a.id].ClearedOn)
	require.Empty(t, a.phone.get("/today").all(`a[href="/health"]`))
}

func TestFreshAnswersThatAskForADoctor(t *testing.T) {
	a := hurt(t)
	a.agrees(a.phone, "")
	a.answers["signs"] = []string{"chest"}
	a.answersAnew(a.phone, "")
	require.Equal(t, roster.Referred, a.store.Athletes[a.id].Held)
	result := text(a.phone.get("/health").one("main"))
	for _, words := range []string{"Please ask a doctor first", "ressure, tightness or pain in the chest", "emergency number", "no medical advice"} {
		require.Contains(t, result, words)
	}
	today := a.phone.get("/today")
	require.NotEmpty(t, today.all(`a.btn[href="/health"]`), "why, and whom to ask")
	require.Empty(t, today.all("a[data-start]"))
	require.Contains(t, text(a.b.get(a.at+"/review").one("h1")), "a doctor should be asked")
}

func TestACoachAsksAgainWithThePersonBeside(t *testing.T) {
	a := hurt(t)
	page := a.b.get(a.at + "/health")
	require.NotEmpty(t, page.all(`a.btn[href="`+a.at+`/joining/health"]`))
	a.agrees(a.b, a.at)
	a.answersAnew(a.b, a.at)
	a.b.get(a.at + "/joining").leadsTo(a.at + "/review")
	require.Contains(t, text(a.b.get(a.at+"/review").one("main")), "together with Ivo")
	require.Equal(t, http.StatusConflict, a.b.post(a.at+"/review/look", "check", "999").StatusCode, "of answers that are not the newest")
}

func TestAnsweringAnewWithoutBeingAsked(t *testing.T) {
	a := hurt(t)
	ana := a.store.Athletes[a.id]
	ana.InjuredOn = 0
	a.store.Athletes[a.id] = ana
	require.Empty(t, a.phone.get("/today").all(`a[href="/health"]`), "nothing asks for it")
	require.Contains(t, text(a.phone.get("/health").one("main")), "if something about your health is different")
	a.agrees(a.phone, "")
	a.answersAnew(a.phone, "")
	row := a.b.get("/roster").one("article.row")
	require.Contains(t, text(row), "please look at the answers")
	review := a.b.get(a.at + "/review")
	a.b.post(a.at+"/review/look", "check", attr(review.one("input[name=check]"), "value"), "heart_off", "1").leadsTo(a.at + "?said=looked")
	require.False(t, a.store.Athletes[a.id].HeartUsable)
	require.Empty(t, a.b.get("/roster").all("article.row"))
}
