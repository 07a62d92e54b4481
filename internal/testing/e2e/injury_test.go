package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// freshAnswers are those of somebody whom nothing ails, page by page.
var freshAnswers = [][]string{
	{"active", "no", "disease", "none", "cleared", "no", "signs", "none"},
	{"medicine", "none", "rhythm", "none"},
	{"expecting", "no"},
	{"injuries", "ankle", "hurts_now", "no", "operation", "none"},
	{"bone", "none"},
}

// answersAnew goes from Today through the consent and the health questions.
func answersAnew(t *testing.T, phone *visitor.Visitor) *visitor.Page {
	t.Helper()
	page := phone.Get(phone.Get("/today").Link("To the health questions"))
	require.Equal(t, "Your health, asked again", page.Text("h1"))
	page = phone.Get(page.Link("To the questions"))
	require.Equal(t, "/joining/consent?section=health", page.Path, "who came in before there were consents gives them first")
	page = page.Form("form.asking").Set("keeping", "1", "health", "1", "adult", "1").Send()
	require.Equal(t, "/joining/health", page.Path, "straight on to the questions")
	for _, answers := range freshAnswers {
		require.Equal(t, 200, page.Status, page)
		page = page.Form("form.asking").Set(answers...).Send()
	}
	require.Equal(t, "/health", page.Path)
	return page
}

// The way back after an injury from one end to the other, without JavaScript: the
// athlete notes it, nothing is prescribed; it ends, and the page says how to come
// back; the health questions are asked again, the coach looks and records a
// clearance, and the sessions begin at the first phase.
func TestFromAnInjuryBackToTheFirstSession(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L2")
	phone := c.phone(link)
	c.since(20)
	c.sql("update health_check set asked_on = asked_on - 20, handed_on = handed_on - 20") // asked when she joined
	require.Equal(t, 200, session(t, phone, 4, "07:00").Send().Status)

	page := phone.Get("/away").Form(`form[action="/away"]`).Set("kind", "injury", "from", ago(t, 3), "why", "left ankle").Send()
	require.Contains(t, page.Text("main"), "injured, left ankle")
	page = phone.Get("/today")
	require.Contains(t, page.Text("main"), "Let it heal first")
	require.Empty(t, page.All("a[data-start]"), "nothing is prescribed")
	require.Contains(t, c.coach.Get("/roster").Text("section[aria-labelledby=away]"), "Injured")

	page = phone.Get("/away").Form(`form[action$="/back"]`).Set("to", ago(t, 1)).Send()
	require.Contains(t, page.Path, "/back?said=away")
	require.Equal(t, "Coming back after an injury", page.Text("h1"))
	require.Contains(t, page.Text("main"), "half an hour on the flat without pain")
	require.Contains(t, phone.Get("/today").Text("main"), "Your coach looks first")
	require.Contains(t, c.coach.Get("/roster").Text("article.row"), "begin at the first phase again, with a fresh health check")

	require.Equal(t, "Nothing speaks against going on", answersAnew(t, phone).Text("h1"))
	require.Contains(t, phone.Get("/today").Text("main"), "Your coach looks at them")

	page = c.coach.Get("/roster")
	require.Contains(t, page.Text("article.row"), "Answered anew")
	page = c.coach.Get(page.Link("Read the answers"))
	require.Contains(t, page.Text("main"), "Earlier: ankle")
	page = page.Form(`form[action$="/review/look"]`).Send()
	require.Equal(t, at+"?said=looked&choice=cleared", page.Path)
	page = page.Form("section.decision form").Set("choice", "cleared", "to", "B1", "given_on", ago(t, 0), "given_by", "Mara, after half an hour of walking").Send()
	require.Contains(t, page.Path, "/roster?did=")
	require.Contains(t, page.Text("[role=status]"), "Ines Okafor cleared")
	require.Empty(t, page.All("article.row"))

	page = phone.Get("/today")
	require.Equal(t, "Walk 15 minutes", page.Text("h1"))
	require.Empty(t, page.All(`a[href="/health"]`))
	require.Equal(t, 1, c.count("select count(*) from health_check where fresh and not advised and seen_by is not null"))
}

// An illness: no session while it lasts, and the page that says how to come back.
func TestFromAnIllnessBack(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L2")
	phone := c.phone(link)
	c.since(30)
	require.Equal(t, 200, session(t, phone, 17, "07:00").Send().Status)
	page := c.coach.Get(at+"/leave").Form(`form[action="`+at+`/leave"]`).Set("kind", "illness", "from", ago(t, 15)).Send()
	require.Contains(t, page.Text("main"), "ill")
	require.Contains(t, phone.Get("/today").Text("main"), "Get well first")
	page = phone.Get("/away").Form(`form[action$="/back"]`).Send()
	require.Equal(t, "Coming back after being ill", page.Text("h1"), "well again today")
	require.Contains(t, page.Text("main"), "Seventeen days without running: the way back begins easier")
	require.Contains(t, phone.Get("/today").Text("main"), "Back from tomorrow")
	require.Empty(t, phone.Get("/today").All("a[data-start]"))
	c.sql("update leave set last_day = last_day - 1")
	page = phone.Get(page.Path)
	require.Equal(t, "Coming back after being ill", page.Text("h1"))
	require.Contains(t, page.Text("main"), "Seventeen days without running: the way back begins easier")
	require.Contains(t, page.Text("main"), "common practice")
	page = phone.Get("/today")
	require.Contains(t, page.Text("main"), "Seventeen days without running")
	require.NotEmpty(t, page.All("a[data-start]"))
	require.Contains(t, c.coach.Get("/roster").Text("article.row"), "17 days without running")
}
