package httpd

import (
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
)

func TestAnEmptyClub(t *testing.T) {
	s := newSite(t)
	a := s.as(s.owner).get("/roster")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Equal(t, "Nobody is here yet. Add the first athlete.", text(a.one("h1")))
	a.one("#begin")
	require.NotEmpty(t, a.all("a[href='/athletes/new']"))
}

func TestTheMorning(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	k.logs(k.runner("Marek Dvořák", "L2"), 1, func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "left shin", Score: 4}} })
	k.logs(k.runner("Aoife Brennan", "L1"), 1)
	k.logs(k.runner("Salma Haddad", "L1"), 9)
	paused := k.runner("Zoe Ash", "L1")
	a := k.store.Athletes[paused]
	a.Held, a.HeldSince = roster.Paused, tuesday()-8
	k.store.Athletes[paused] = a

	page := k.desk.get("/roster")
	require.Equal(t, "Two people need a decision from you. One is going steadily.", text(page.one("h1")))
	require.Contains(t, text(page.one("main")), "One has not logged anything for a week. One is away.")
	rows := page.all("article.row")
	require.Len(t, rows, 2)
	require.Contains(t, text(rows[0]), "Marek Dvořák", "pain before a move")
	require.Contains(t, text(rows[0]), "Pain reported")
	ines := text(rows[1])
	for _, words := range []string{
		"Ines Okafor", "Walk-led, phase 3 of 4", "run 2 min, walk 3 min, six times", "Ready to move up", "Move up", "Hold", "this week",
	} {
		require.Contains(t, ines, words)
	}
	require.Contains(t, text(page.one("section[aria-labelledby=steady]")), "Aoife Brennan Walk-led, 1 of 4 1 of 3")
	require.Contains(t, text(page.one("section[aria-labelledby=quiet]")), "Salma Haddad")
	require.Contains(t, text(page.one("section[aria-labelledby=quiet]")), "9 days ago")
	require.Contains(t, text(page.one("section[aria-labelledby=away]")), "Zoe Ash")
	require.Contains(t, text(page.one("section[aria-labelledby=away]")), "Time to ask whether it can end.")
}

func TestFindingANameOnTheRoster(t *testing.T) {
	k := newTrack(t)
	k.logs(k.runner("Aoife Brennan", "L1"), 1)
	a := k.desk.get("/roster?find=AOI")
	require.Contains(t, text(a.one("main")), "1 of 2 names contain “AOI”.")
	require.Contains(t, text(a.one("main")), "Aoife Brennan")
	require.NotContains(t, text(a.one("main")), "Ines Okafor")
	require.Equal(t, "AOI", attr(a.one("input[name=find]"), "value"))
	require.NotContains(t, k.desk.get("/roster?find=%3Cscript%3E").body, "<script>")
}

func TestSettlingOneAndTakingItBack(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	before := k.standing(k.ines)
	pick := attr(k.desk.get("/roster").one("article.row form input[name=pick]"), "value")
	for range 2 { // a double tap decides once
		k.desk.post("/roster", "pick", pick, "choice", "move_up").leadsTo("/roster?did=" + idText(k.store.Decided[0].ID) + "&left=")
	}
	require.Len(t, k.store.Decided, 1)
	require.Equal(t, "L4", k.standing(k.ines).Phase)
	page := k.desk.get("/roster?did=" + idText(k.store.Decided[0].ID))
	require.Contains(t, text(page.one("body")), "Ines Okafor moved up to walk-led, phase 4 of 4.")
	id := attr(page.one("form[action='/decisions/undo'] input[name=decision]"), "value")
	k.desk.post("/decisions/undo", "decision", id).leadsTo("/roster?said=undone")
	require.Equal(t, before, k.standing(k.ines))
	k.desk.post("/decisions/undo", "decision", id).leadsTo("/roster?said=undone")
	k.now = k.now.Add(time.Hour)
	require.Empty(t, k.desk.get("/roster?did="+id).all("form[action='/decisions/undo']"))
}

func TestSettlingSeveralWithOneChanged(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	others := []roster.AthleteID{k.runner("Aoife Brennan", "L3"), k.runner("Jonah Petrie", "L3")}
	for _, id := range others {
		k.ready(id)
	}
	page := k.desk.get("/roster")
	require.Contains(t, text(page.one("form#all-move_up")), "Settle the three ready to move up together.")
	pairs := []string{"choice", "move_up"}
	for _, n := range page.all("input[form=all-move_up]") {
		pairs = append(pairs, "pick", attr(n, "value"))
	}
	require.Len(t, pairs, 8)
	k.logs(others[1], 0, func(e *entry.Entry) { e.Limp = true })
	a := k.desk.post("/roster", pairs...)
	require.Equal(t, http.StatusSeeOther, a.StatusCode)
	require.Equal(t, []string{"L4", "L4", "L3"}, []string{k.standing(k.ines).Phase, k.standing(others[0]).Phase, k.standing(others[1]).Phase})
	after := text(k.desk.get(a.Header.Get("Location")).one("body"))
	require.Contains(t, after, "Left alone, because something came in or changed meanwhile, or it needs a look of its own: Jonah Petrie.")
	require.Contains(t, after, "Aoife Brennan moved up")
}

func TestEasingTheWeekOfALoadThatJumped(t *testing.T) {
	k := newTrack(t)
	for _, ago := range []int{32, 30, 28, 25, 23, 21, 18, 16, 14, 11, 9, 8, 4, 2} {
		k.logs(k.ines, ago)
	}
	k.logs(k.ines, 1, func(e *entry.Entry) {
		e.Kind, e.Whole, e.Blocks = readiness.Extra, false, []readiness.Block{{Kind: 1, Planned: 3000, Done: 3000}}
	})
	row := k.desk.get("/roster").one("article.row")
	require.Contains(t, text(row), "Load jumped")
	require.Contains(t, text(row), "Ease this week")
	require.Contains(t, text(k.desk.get(athletePath(k.ines)).one("section.decision")), "the athlete reads: “An easier week, please", "what the button writes is known before")
	pick := attr(k.desk.get("/roster").one("article.row form input[name=pick]"), "value")
	k.desk.post("/roster", "pick", pick, "choice", easeWeek)
	require.Equal(t, roster.Hold, k.store.Decided[0].Choice)
	require.Contains(t, text(k.phone.get("/today").one("main")), "An easier week, please")
	require.Empty(t, k.desk.get("/roster").all("article.row"), "answered for now")
}

func TestRosterFormsThatAreNotWhole(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	k.desk.post("/roster", "choice", "move_up").leadsTo("/roster?said=nobody-ticked")
	for _, pick := range []string{"x", "1|2|3", "0|1|key-of-the-form|stay", "-4|1|key-of-the-form|stay", "3|1|short|stay", "3|1|key-of-the-form|"} {
		require.Equal(t, http.StatusUnprocessableEntity, k.desk.post("/roster", "choice", "move_up", "pick", pick).StatusCode, pick)
	}
	require.Equal(t, http.StatusNotFound, k.desk.post("/roster", "choice", "move_up", "pick", "999|1|key-of-the-form|stay").StatusCode)
	pick := attr(k.desk.get("/roster").one("article.row form input[name=pick]"), "value")
	require.Equal(t, http.StatusSeeOther, k.desk.post("/roster", "choice", "promote", "pick", pick).StatusCode)
	require.Empty(t, k.store.Decided)
	require.Equal(t, http.StatusUnprocessableEntity, k.desk.post("/decisions/undo", "decision", "x").StatusCode)
	require.Equal(t, http.StatusNotFound, k.desk.post("/decisions/undo", "decision", "99").StatusCode)
}

func TestTheRosterWithoutItsDatabase(t *testing.T) {
	k := newTrack(t)
	k.store.Down = fault.New(fault.Unavailable, "")
	require.Equal(t, http.StatusServiceUnavailable, k.desk.get("/roster").StatusCode)
}

func TestARosterOfAHundredIsSmall(t *testing.T) {
	k := newTrack(t)
	for i := range 100 {
		id := k.runner(fmt.Sprintf("Athlete %03d", i), "L3")
		if i%4 == 0 {
			k.ready(id)
		} else {
			k.logs(id, 1)
		}
	}
	a := k.desk.get("/roster")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Len(t, a.all("article.row"), 25)
	r := with("/roster", "Accept-Encoding", "gzip")
	r.AddCookie(k.desk.cookie)
	packed := k.bytes(r)
	require.Less(t, packed, 30_000, "compressed, before styles and fonts")
	require.NotContains(t, a.body, " style=", "no inline style: the content security policy would stop it")
	require.Equal(t, 0, strings.Count(a.body, "<script>"))
}

// BenchmarkRosterPage is the words and the page of a roster of 100, from a morning
// that is there already.
func BenchmarkRosterPage(b *testing.B) {
	k := newTrack(&testing.T{})
	for i := range 100 {
		id := k.runner(fmt.Sprintf("Athlete %03d", i), "L3")
		for _, ago := range [...]int{1 + i%3, 4, 6, 8} {
			k.logs(id, ago)
		}
	}
	m, err := k.deps.Morning.Roster(b.Context(), k.club, roster.Actor{Club: k.club.ID, Coach: k.owner.ID}, false)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		var v page.Roster
		fillRoster(&v, m, "key-of-the-page", wording.Dates{})
		if err := page.RosterPage(v).Render(b.Context(), io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
