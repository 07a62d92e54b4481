package e2e

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// filled is the form of a session with these fields changed; buttons send nothing unless
// they are among them.
func filled(page *visitor.Page, pairs ...string) *visitor.Form {
	return page.Form("form.moves").Set(pairs...)
}

// A coach gives a programme, the athlete does it by plain forms, and finds last time's
// numbers and the next step; the coach changes it, and sets are corrected.
func TestStrengthByPlainForms(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	ines, link := c.add("Ines Okafor", "B1")
	phone := c.phone(link)
	require.Contains(t, phone.Get("/strength").Text("main"), "No programme yet")
	require.NotContains(t, phone.Get("/today").Text("main"), "To the session")

	page := c.coach.Get(ines + "/strength")
	give := c.coach.Get(page.Link("Two short sessions a week")).Form("main form")
	for name := range give.Values {
		if strings.HasPrefix(name, "session[1]") && strings.HasSuffix(name, ".exercise") {
			give.Set(name, "") // one session is enough
		}
	}
	page = give.Send()
	require.Equal(t, ines+"/strength?said=changed", page.Path, page)
	require.Contains(t, page.Text("main"), "given by Mara Lindqvist")
	require.Contains(t, c.coach.Get(ines).Text("#strength + p"), "Next is session A")

	page = phone.Get(phone.Get("/today").Link("To the session"))
	require.Equal(t, "Strength, session A", page.Text("h1"))
	names := page.All(".move h2")
	require.GreaterOrEqual(t, len(names), 5)
	form := filled(page, "pain", "none", "effort", "3", "date", time.Now().AddDate(0, 0, -2).Format("2006-01-02"))
	for name := range form.Values {
		if strings.HasSuffix(name, ".kg") {
			form.Set(name, "4")
		}
	}
	form.Set("lift[0].set[0]", "11", "lift[0].set[1]", "x")
	page = form.Send()
	require.Equal(t, 422, page.Status)
	require.Contains(t, page.Text(".summary"), "set 2: A whole number, please.")
	require.Equal(t, "11", page.Attr("[name='lift[0].set[0]']", "value"))
	page = filled(page, "pain", "none", "effort", "3", "lift[0].set[1]", "9", "step", "lift[0].set[1] +").Send()
	require.Equal(t, 200, page.Status)
	require.Equal(t, "10", page.Attr("[name='lift[0].set[1]']", "value"), "a step by the server")
	form = filled(page, "pain", "none", "effort", "3")
	page = form.Send()
	require.True(t, strings.HasPrefix(page.Path, "/today?said=logged"), page)
	require.Contains(t, form.Send().Text(".notice"), "stored once")
	require.Equal(t, 1, c.count("select count(*)::int from lifted"))
	require.Equal(t, 1, c.count("select count(*)::int from session where kind = 'strength' and minutes > 0 and planned_minutes > 0"))

	page = phone.Get("/strength")
	require.Contains(t, page.Text(".move"), "Last time")
	require.Contains(t, page.Text(".move"), "11, 10")
	require.Equal(t, "11", page.Attr("[name='lift[0].set[0]']", "value"), "one more than the weakest set")

	page = c.coach.Get(ines + "/strength")
	require.Contains(t, page.Text("main"), "11, 10")
	page = c.coach.Get(page.Link("Change the programme")).Form("main form").Set("session[0].slot[0].sets", "3", "session[0].slot[0].low", "6").Send()
	require.Equal(t, ines+"/strength?said=changed", page.Path, page)
	page = phone.Get("/strength")
	require.Contains(t, page.Text(".move .goal"), "3 × 11")

	at := "/sessions/" + c.texts("select session_id::text from session where kind = 'strength'")[0]
	require.Contains(t, phone.Get(at).Text("main"), "Correct the sets")
	page = filled(phone.Get(at+"/sets"), "lift[0].set[0]", "5", "lift[0].set[1]", "5").Send()
	require.Contains(t, page.Text(".notice"), "The correction is stored.")
	require.Contains(t, phone.Get("/strength").Text(".move"), "5, 5")
	page = phone.Get(at + "/delete").Form("main form").Send()
	require.Equal(t, 200, page.Status)
	require.Zero(t, c.count("select count(*)::int from lifted"), "they go with the session")
	require.NotContains(t, phone.Get("/strength").Text(".move"), "Last time")
}
