package e2e

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// The main job from one end to the other, with and without JavaScript: an athlete
// signs in by link and logs three sessions on a phone, the coach sees who is ready
// and settles it, and the phone shows the new phase.
func TestFromThreeSessionsToTheNextPhase(t *testing.T) {
	t.Parallel()
	for name, plain := range map[string]bool{"with scripts": false, "without JavaScript": true} {
		t.Run(name, func(t *testing.T) {
			desk, phone := browser.Desk, browser.Phone
			if plain {
				desk, phone = desk.WithoutScript(), phone.WithoutScript()
			}
			p := program.Start(t, program.Options{})
			coach := beginClub(t, p, desk)
			link := takeIn(t, coach, p, "Ines Okafor", "L1")
			(&club{Program: p, t: t}).since(12)

			ines := browser.New(t, phone)
			signInByLink(t, ines, link)
			require.Equal(t, "Run 1 minute, walk 4, six times", ines.Text("h1"))
			for _, days := range []int{5, 3, 1} {
				logAll(t, ines, p, days)
			}
			fits(t, ines, phone)

			require.EqualValues(t, 200, coach.Open(reach(p, "/roster")))
			row := "article.row"
			require.Equal(t, 1, coach.Count(row))
			require.Contains(t, coach.Text(row), "Ines Okafor")
			require.Contains(t, coach.Text(row+" .why"), "Ready to move up")
			require.EqualValues(t, 200, coach.Press(row+` button[value="move_up"]`))
			require.Contains(t, coach.Text("[role=status]"), "Ines Okafor")
			require.Zero(t, coach.Count(row+` button[value="move_up"]`))
			require.Empty(t, coach.Faults())

			require.EqualValues(t, 200, ines.Open(reach(p, "/today")))
			require.Equal(t, "Run 1 min 30, walk 3 min 30, six times", ines.Text("h1"))
			require.Empty(t, ines.Faults())

			undo(t, coach, ines, p)
		})
	}
}

// undo takes the decision back, and the phone shows the old phase again.
func undo(t *testing.T, coach, ines *browser.Tab, p *program.Program) {
	t.Helper()
	require.EqualValues(t, 200, coach.Press(".notice button"))
	require.EqualValues(t, 200, ines.Open(reach(p, "/today")))
	require.Equal(t, "Run 1 minute, walk 4, six times", ines.Text("h1"))
	require.EqualValues(t, 200, coach.Open(reach(p, "/roster")))
	require.Contains(t, coach.Text("article.row .why"), "Ready to move up")
}

// beginClub follows the link of the console and names the club.
func beginClub(t *testing.T, p *program.Program, screen browser.Screen) *browser.Tab {
	t.Helper()
	coach := browser.New(t, screen)
	require.EqualValues(t, 200, coach.Open(p.SetUp))
	for field, value := range map[string]string{"club": "Harbour Half Hour", "zone": zone, "name": "Mara Lindqvist", "email": email, "password": password} {
		coach.Fill("[name="+field+"]", value)
	}
	require.EqualValues(t, 200, coach.Press("form button.act"))
	require.Equal(t, "/roster", coach.Path())
	return coach
}

// takeIn adds an athlete and gives the one-time link.
func takeIn(t *testing.T, coach *browser.Tab, p *program.Program, name, phase string) string {
	t.Helper()
	require.EqualValues(t, 200, coach.Open(reach(p, "/athletes/new")))
	coach.Fill("#name", name)
	coach.Fill("#zone", zone)
	coach.Touch("label:has(#answers-paper)")
	coach.Fill("#phase", phase)
	coach.Fill("#asked_on", beforeToday())
	coach.Fill("#asked_by", "Mara")
	require.EqualValues(t, 200, coach.Press("main form .end button"))
	require.Positive(t, coach.Count("svg.qr"))
	return coach.Attribute("#address", "value")
}

// signInByLink opens the link on a phone and comes in.
func signInByLink(t *testing.T, phone *browser.Tab, link string) {
	t.Helper()
	require.EqualValues(t, 200, phone.Open(link))
	require.EqualValues(t, 200, phone.Press("main form button"))
	require.Equal(t, "/today", phone.Path())
}

// logAll logs a session of some days ago: all of it, as planned.
func logAll(t *testing.T, phone *browser.Tab, p *program.Program, days int) {
	t.Helper()
	require.EqualValues(t, 200, phone.Open(reach(p, "/log")))
	for _, choice := range []string{"done-all", "effort-4", "talk-sentence", "breath-early", "pain-none"} {
		phone.Touch("label:has(#" + choice + ")")
	}
	phone.Fill("#date", ago(t, days))
	phone.Fill("#clock", "07:10")
	require.EqualValues(t, 200, phone.Press("form.after .send button"))
	require.True(t, strings.HasPrefix(phone.Path(), "/today"), phone.Text("main"))
}

// fits says that the page is not wider than the screen and complained of nothing.
func fits(t *testing.T, tab *browser.Tab, screen browser.Screen) {
	t.Helper()
	require.LessOrEqual(t, tab.Width(), screen.Width, "%s is wider than the screen", tab.Path())
	require.Empty(t, tab.Faults(), tab.Path())
}
