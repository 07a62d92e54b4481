package e2e

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
)

var begins = regexp.MustCompile(`UID:(\S+-run-\S+)[\s\S]*?SEQUENCE:(\d+)[\s\S]*?DTSTART[^:]*:(\d{8})`)

// inFeed are the days of the runs in a calendar, by name.
func inFeed(text string) map[string]string {
	all := map[string]string{}
	for _, m := range begins.FindAllStringSubmatch(strings.ReplaceAll(text, "\r\n ", ""), -1) {
		all[m[1]] = m[3]
	}
	return all
}

// digits are a date as calendars write it.
func digits(date string) string { return strings.ReplaceAll(date, "-", "") }

// The week elsewhere: a calendar program follows a session that moves, until the
// address is taken away; a week is printed, and entered from paper.
func TestTheWeekElsewhere(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	ines := c.phone(link)
	made := ines.Get("/me/calendar").Form("form[action='/me/calendar']").Send()
	require.Equal(t, 200, made.Status, made)
	address := made.Attr("#address", "value")
	path := address[strings.Index(address, "/calendar/"):]

	feed := ines.Get(path)
	require.Equal(t, 200, feed.Status)
	before := inFeed(feed.Body)
	require.NotEmpty(t, before)
	next := monday(t, 1)
	asked, _, to := movable(t, ines, ines.Get("/week?monday="+next))
	moved := asked.Form("li#" + to + " form.place").Send()
	require.Contains(t, moved.Text("[role=status]"), "Moved.")
	after := inFeed(ines.Get(path).Body)
	require.Len(t, after, len(before), "the same names")
	changed := 0
	for name, day := range before {
		require.Contains(t, after, name)
		if day >= digits(next) && day < digits(monday(t, 2)) && after[name] != day { // weeks after it may follow
			changed++
		}
	}
	require.Equal(t, 1, changed, "one session of the week moved, and it alone")

	sheet := c.coach.Get(at + "/week/print?monday=" + next)
	require.Equal(t, 200, sheet.Status)
	require.Len(t, sheet.All("ol.boxes > li"), 3)
	require.Contains(t, sheet.Text("main"), "local emergency number")
	form := c.coach.Get(at + "/week/enter?monday=" + next)
	require.Contains(t, form.Text("main"), "Still to come.")

	require.Equal(t, 200, ines.Get("/me/calendar").Form("form[action='/me/calendar/end']").Send().Status)
	require.Equal(t, 410, ines.Get(path).Status, "at once")
}
