package e2e

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// The week from one end to the other without JavaScript: an athlete moves a session of
// next week and takes it back, a coach moves it, and a group's days are shown.
func TestAWeekIsMovedByBoth(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	at, link := c.add("Ines Okafor", "L1")
	ines := c.phone(link)
	require.NotEmpty(t, ines.Get("/today").Link("The whole week"))

	next := monday(t, 1)
	week := ines.Get("/week?monday=" + next)
	require.Equal(t, "Next week", week.Text("h1"))
	require.Len(t, week.All("ol.days > li"), 7)
	before := daysOf(week)
	require.Len(t, before, 3, "three sessions")

	asked, from, to := movable(t, ines, week)
	require.Contains(t, asked.Text("#moving"), "Where should")
	moved := asked.Form("li#" + to + " form.place").Send()
	require.Equal(t, 200, moved.Status, moved)
	require.Contains(t, moved.Text("[role=status]"), "Moved.")
	require.Contains(t, daysOf(moved), to)
	require.NotContains(t, daysOf(moved), from)
	again := asked.Form("li#" + to + " form.place").Send()
	require.Equal(t, 200, again.Status, "sent twice is once")
	require.Equal(t, daysOf(moved), daysOf(again))

	desk := c.coach.Get(at + "/week?monday=" + next)
	require.Equal(t, daysOf(moved), daysOf(desk), "the coach sees the same week")
	back := c.coach.Get(desk.Attr("li#"+to+" .line a", "href")).Form("li#" + from + " form.place").Send()
	require.Equal(t, 200, back.Status, back)
	require.Equal(t, before, daysOf(back))
	stale := asked.Form("li#"+to+" form.place").Set("key", "another-key-of-hers").Send()
	require.Equal(t, 422, stale.Status, "the coach has fixed it")
	require.Contains(t, stale.Text("li#"+to+" .what"), "Not here: the coach has fixed")
	require.Equal(t, before, daysOf(stale), "nothing was moved")

	grouped(t, c, ines, at, next, slices.DeleteFunc(before, func(day string) bool { return day == from }))
}

// grouped makes a group that meets on the two days, puts the athlete into it and looks at
// the week.
func grouped(t *testing.T, c *club, ines *visitor.Visitor, at, next string, days []string) {
	t.Helper()
	early, late := days[0], days[1]
	meets := func(day string) string { return fmt.Sprintf("meets[%d]", slices.Index(weekdays, day)) }
	page := c.coach.Get("/groups").Form("form[action='/groups']").Set("name", "Early birds", meets(early), "06:30", meets(late), "18:15").Send()
	require.Contains(t, strings.ToLower(page.Text("main")), early+" 06:30, "+late+" 18:15")
	group := strings.TrimPrefix(page.Link("Their week"), "/weeks?group=")
	page = c.coach.Get(at+"/week").Form("form[action$='/habits']").Set("group", group).Send()
	require.Contains(t, page.Text("[role=status]"), "Kept.")
	require.Contains(t, ines.Get("/week?monday="+next).Text("li#"+early), "06:30 with Early birds")
	all := c.coach.Get("/weeks?monday=" + next)
	require.Contains(t, all.Text("ol.alldays"), "06:30 with Early birds Ines Okafor")
	page = c.coach.Get("/groups").Form("form[action='/holidays']").Set("name", "Midsummer", "from", next).Send()
	require.Contains(t, page.Text("[role=status]"), "Noted.")
	require.Contains(t, ines.Get("/week?monday="+next).Text("li#monday"), "Midsummer")
}

// Whose session of today is moved to a later day of the week reads on Today when it is.
// Late in the week two of its sessions are done before, so that the last has room to move.
func TestTodayFollowsTheWeek(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	place, today := weekday(t)
	_, link := c.addIn("Ines Okafor", "L1", place)
	ines := c.phone(link)
	if today == "friday" || today == "saturday" {
		for _, days := range []int{4, 2} {
			date := localNow(t, place).AddDate(0, 0, -days).Format(time.DateOnly)
			require.Equal(t, 200, session(t, ines, days, "06:30").Set("date", date).Send().Status)
		}
	}
	require.Contains(t, ines.Get("/today").Text("main"), "Due today", "whoever begins today has a session today")
	asked := ines.Get(ines.Get("/week").Attr("li#"+today+" .line a", "href"))
	to := places(asked)
	require.NotEmpty(t, to)
	require.Equal(t, 200, asked.Form("li#"+to[0]+" form.place").Send().Status)
	main := ines.Get("/today").Text("main")
	require.NotContains(t, main, "Due today")
	require.Contains(t, main, "Next session:")
}

// weekday is a time zone in which it is now a day from Monday to Saturday, a while before
// its end, and which day that is: a week's session of a Sunday has no later day to go to.
func weekday(t *testing.T) (zone, today string) {
	t.Helper()
	for _, zone := range []string{"Etc/GMT", "Etc/GMT-14", "Etc/GMT+12"} { // Etc counts westwards: all the dates there are
		now := localNow(t, zone)
		if now.Weekday() != time.Sunday && now.Add(15*time.Minute).Day() == now.Day() {
			return zone, strings.ToLower(now.Weekday().String())
		}
	}
	t.Fatal("it is Sunday everywhere")
	return "", ""
}

var weekdays = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}

// movable is a session of the week that can go to another day while all others stay where
// they are: the page that asks where to, its day, and the other.
func movable(t *testing.T, v *visitor.Visitor, week *visitor.Page) (asked *visitor.Page, from, to string) {
	t.Helper()
	for _, from := range daysOf(week) {
		asked = v.Get(week.Attr("li#"+from+" .line a", "href"))
		if to := free(asked); to != "" {
			return asked, from, to
		}
	}
	t.Fatal("there is no day to move to")
	return nil, "", ""
}

// free is the first day to which the session that is asked about can be moved at no cost;
// empty: there is none.
func free(asked *visitor.Page) string {
	for _, day := range places(asked) {
		if len(asked.All("li#"+day+" .costs")) == 0 {
			return day
		}
	}
	return ""
}

// places are the other days to which the session that is asked about can be moved.
func places(asked *visitor.Page) (list []string) {
	for _, day := range weekdays {
		place := "li#" + day + " form.place"
		if len(asked.All(place)) > 0 && len(asked.All(place+" button[name=part]")) == 0 {
			list = append(list, day)
		}
	}
	return list
}

// daysOf are the days with something to be done.
func daysOf(page *visitor.Page) (list []string) {
	for _, day := range weekdays {
		if len(page.All("li#"+day+" .s.plan")) > 0 {
			list = append(list, day)
		}
	}
	return list
}

// now is the time where the club is.
func now(t *testing.T) time.Time {
	t.Helper()
	return localNow(t, zone)
}

func localNow(t *testing.T, zone string) time.Time {
	t.Helper()
	place, err := time.LoadLocation(zone)
	require.NoError(t, err)
	return time.Now().In(place)
}

// monday is the Monday so many weeks on, where the club is, as addresses write it.
func monday(t *testing.T, weeks int) string {
	t.Helper()
	today := now(t)
	return today.AddDate(0, 0, 7*weeks-(int(today.Weekday())+6)%7).Format(time.DateOnly)
}
