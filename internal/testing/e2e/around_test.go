package e2e

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
)

// Weather is typed and weighed on the phone; what is logged near its hour says by itself
// that it was hot, and why, and is kept so. A coach's weather is everybody's.
func TestWeatherIsTypedAndASessionLoggedInIt(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	ines, link := c.add("Ines Okafor", "L2")
	_, other := c.add("Edda Frost", "L2")
	phone := c.phone(link)

	page := phone.Get("/weather").Form("form[action='/weather']").Set("temperature", "31,5", "humidity", "55 %").Send()
	require.Contains(t, page.Path, "/today?said=", page)
	require.Contains(t, page.Text("section[aria-labelledby=weather]"), "31.5")
	require.Contains(t, page.Text("section.stop"), "Not in this weather")
	require.NotEmpty(t, page.All("section.stop a[href='/go']"), "nobody is held back")

	form := phone.Get("/log?kind=planned")
	require.Contains(t, form.Text("form.after"), "Ticked because of the weather")
	page = form.Form("form.after").Set("done", "all", "effort", "5", "talk", "sentence", "breath", "half", "pain", "none", "warm_up", "done", "cool_down", "skipped").Send()
	require.Contains(t, page.Path, "/today?said=", page)
	require.Equal(t, 1, c.count("select count(*)::int from session where hot and warm_up = 'done' and cool_down = 'skipped'"))
	require.Contains(t, c.coach.Get(ines).Text("main"), "in 1 of the last 1")
	at := fmt.Sprintf("/sessions/%d/recording", c.count("select session_id::int from session"))
	require.Contains(t, phone.Get(at).Text("main"), "Heart rate does not count in this session, because it was hot.")

	page = c.coach.Get("/club/weather").Form("form[action='/club/weather']").Set("temperature", "12", "humidity", "70", "shade", "1").Send()
	require.Contains(t, page.Text("main"), "12 °C")
	require.Contains(t, c.phone(other).Get("/today").Text("section[aria-labelledby=weather]"), "Typed by Mara Lindqvist for the club")
	require.Contains(t, phone.Get("/today").Text("section[aria-labelledby=weather]"), "As you typed it", "the own comes first")
}

// A coach edits the routine; athletes see it at once, and sessions keep that of then.
func TestTheRoutineGoesFromTheDeskToThePhone(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L2")
	phone := c.phone(link)
	require.NotContains(t, phone.Get("/warm-up").Text("main"), "Arm circles")
	page := c.coach.Get("/warm-up/edit").Form("form.routine").Set("before[4].move", "arm-circles", "before[4].count", "10").Send()
	require.Equal(t, "/warm-up/edit?said=routine", page.Path, page)
	require.Contains(t, page.Text("main"), "As Mara Lindqvist made it today.")
	page = phone.Get("/warm-up")
	require.Contains(t, page.Text("main"), "Arm circles")
	require.NotContains(t, page.Text("main"), "Roll your calves")
	require.Contains(t, phone.Get("/phone/week").String(), "Arm circles, 10 times")
	page = phone.Get("/me").Form("form[action='/me/roller']").Set("roller", "1").Send()
	require.Equal(t, "/me?said=changed", page.Path, page)
	require.Contains(t, phone.Get("/warm-up").Text("main"), "Roll your calves")
	page = c.coach.Get("/warm-up/edit").Form("form[action='/warm-up/ours']").Send()
	require.Equal(t, "/warm-up/edit?said=routine", page.Path, page)
	require.NotContains(t, phone.Get("/warm-up").Text("main"), "Arm circles")
	require.Equal(t, 2, c.count("select count(*)::int from routine"), "each edit is a version")
}
