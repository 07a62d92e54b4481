package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// pageOfAnswers is what is tapped and typed on one page of questions.
type pageOfAnswers struct {
	title string
	taps  []string // ids of answers
	types map[string]string
}

// everyPage is what somebody answers whom nothing ails; the signs may differ.
func everyPage(sign string) []pageOfAnswers {
	return []pageOfAnswers{
		{"About you", nil, map[string]string{"birth_year": "1986", "height": "172"}},
		{"Your health", []string{"active-no", "disease-none", "cleared-no", "signs-" + sign}, nil},
		{"What your heart rate can tell", []string{"medicine-none", "rhythm-none"}, nil},
		{"Pregnancy and birth", []string{"expecting-no"}, nil},
		{"Injuries and operations", []string{"injuries-none", "hurts_now-no", "operation-none"}, nil},
		{"Your bones", []string{"bone-none"}, nil},
		{"Your week", []string{"sessions-3"}, map[string]string{"resting": "62"}},
		{"Where you begin", []string{"daily-mixed", "breathless-no", "endurance-yes", "walks_half-yes", "runs_few-no", "alternates-no"}, nil},
	}
}

// comer is somebody who was invited, and the coach.
type comer struct {
	t            *testing.T
	p            *program.Program
	coach, phone *browser.Tab
}

// newComer invites somebody into a new club and opens the link on a phone.
func newComer(t *testing.T, plain bool) *comer {
	t.Helper()
	desk, phone := browser.Desk, browser.Phone
	if plain {
		desk, phone = desk.WithoutScript(), phone.WithoutScript()
	}
	p := program.Start(t, program.Options{})
	n := &comer{t: t, p: p, coach: beginClub(t, p, desk), phone: browser.New(t, phone)}
	require.EqualValues(t, 200, n.coach.Open(reach(p, "/athletes/new")))
	n.coach.Fill("#name", "Ines Okafor")
	n.coach.Fill("#zone", zone)
	require.EqualValues(t, 200, n.coach.Press("main form .end button"))
	require.Positive(t, n.coach.Count("svg.qr path"))
	signInByLink(t, n.phone, n.coach.Attribute("#address", "value"))
	fits(t, n.phone, phone)
	return n
}

// agrees goes from Today to the consent and gives it.
func (n *comer) agrees() {
	n.t.Helper()
	require.Equal(n.t, "Welcome, Ines", n.phone.Text("h1"))
	require.EqualValues(n.t, 200, n.phone.Press(`main a.btn[href="/joining"]`))
	require.Equal(n.t, "/joining/consent", n.phone.Path())
	for _, kind := range []string{"keeping", "health", "adult"} {
		n.phone.Touch("#" + kind + " label")
	}
	require.EqualValues(n.t, 200, n.phone.Press(".send button"))
}

// answers goes through the pages, from the one that is open.
func (n *comer) answers(pages []pageOfAnswers) {
	n.t.Helper()
	for _, page := range pages {
		require.Equal(n.t, page.title, n.phone.Text("h1"))
		for id, text := range page.types {
			n.phone.Fill("#"+id, text)
		}
		for _, id := range page.taps {
			n.phone.Touch("label:has(#" + id + ")")
		}
		fits(n.t, n.phone, browser.Phone)
		require.EqualValues(n.t, 200, n.phone.Press(".send button"))
	}
}

// nothingPrescribed looks in every place where a session could stand.
func (n *comer) nothingPrescribed() {
	n.t.Helper()
	require.EqualValues(n.t, 200, n.phone.Open(reach(n.p, "/today")))
	require.Zero(n.t, n.phone.Count("main a[href='/go'], main ol.week, main svg.s"))
	week := browser.Eval[string](n.phone, "fetch('/phone/week').then(answer => answer.text())")
	require.Contains(n.t, week, `"way":{`)
	require.NotContains(n.t, week, `"planned_s"`)
	require.EqualValues(n.t, 200, n.coach.Open(reach(n.p, "/roster")))
	require.Zero(n.t, n.coach.Count("article.row"))
	require.Contains(n.t, n.coach.Text("section[aria-labelledby=coming]"), "Ines Okafor")
}

// The way in from one end to the other, with and without JavaScript: a coach hands
// over an invitation, the athlete agrees and answers on the phone, the browser is
// closed half-way, the coach reads and confirms, and the first session stands on Today.
func TestFromTheInvitationToTheFirstSession(t *testing.T) {
	t.Parallel()
	for name, plain := range map[string]bool{"with scripts": false, "without JavaScript": true} {
		t.Run(name, func(t *testing.T) {
			n := newComer(t, plain)
			n.agrees()
			pages := everyPage("none")
			n.answers(pages[:3])
			n.nothingPrescribed()
			require.EqualValues(t, 200, n.phone.Open(reach(n.p, "/joining")))
			n.answers(pages[3:])
			require.Equal(t, "Nothing speaks against beginning", n.phone.Text("h1"))
			n.walks()
			n.nothingPrescribed()

			require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=coming] a.btn"))
			require.Equal(t, "Nothing speaks against beginning.", n.coach.Text("h1"))
			require.Contains(t, n.coach.Text("main"), "could chat, effort 2 of 10")
			fits(t, n.coach, browser.Desk)
			require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=begin-at] button"))
			require.Contains(t, n.coach.Text("[role=status]"), "Taken in")
			require.EqualValues(t, 200, n.phone.Open(reach(n.p, "/today")))
			require.Equal(t, "Run 1 minute, walk 4, six times", n.phone.Text("h1"))
			require.Empty(t, n.phone.Faults())
			require.Empty(t, n.coach.Faults())
		})
	}
}

// walks takes the first walk that is offered.
func (n *comer) walks() {
	n.t.Helper()
	require.EqualValues(n.t, 200, n.phone.Press(`main a[href="/joining/walk"]`))
	n.phone.Touch("label:has(#talk-chat)")
	n.phone.Touch("label:has(#effort-2)")
	require.EqualValues(n.t, 200, n.phone.Press(".send button"))
	require.Contains(n.t, n.phone.Text("main"), "Your first walk today")
}

// Where a doctor is to be asked first, nothing is prescribed anywhere until a coach
// has recorded a clearance and said where to begin; its limits stand on Today.
func TestNothingIsPrescribedBeforeAClearance(t *testing.T) {
	t.Parallel()
	n := newComer(t, false)
	n.agrees()
	pages := everyPage("chest")
	// “None of these” and what is true put each other out, in either order.
	pages[1].taps = append([]string{"signs-none", "disease-kidneys"}, pages[1].taps...)
	n.answers(pages)
	require.Equal(t, "Please ask a doctor first", n.phone.Text("h1"))
	require.EqualValues(t, 200, n.phone.Press(`a[href="/joining/paper"]`))
	require.Contains(t, n.phone.Text("article"), "pressure, tightness or pain in the chest")
	require.Equal(t, 1, n.phone.Sheets(), "the page for the doctor is one sheet of paper")
	n.nothingPrescribed()

	require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=coming] a.btn"))
	require.Equal(t, "A doctor is to be asked first.", n.coach.Text("h1"))
	require.Zero(t, n.coach.Count("#phase"))
	n.coach.Fill("#given_on", ago(t, 0))
	n.coach.Fill("#given_by", "Dr Aune")
	n.coach.Fill("#limits", "Effort up to 4 of 10.")
	require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=clearance] button"))
	n.nothingPrescribed()
	require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=coming] a.btn"))
	require.EqualValues(t, 200, n.coach.Press("section[aria-labelledby=begin-at] button"))
	require.EqualValues(t, 200, n.phone.Open(reach(n.p, "/today")))
	require.Contains(t, n.phone.Text("section[aria-labelledby=limits]"), "Effort up to 4 of 10.")
	require.Equal(t, 1, n.phone.Count("main a[href='/go']"))
}
