package httpd

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
)

// mon is the Monday after the Tuesday on which these tests stand.
func mon() day.Date { return weekplan.Monday(tuesday()) + 7 }

func TestASessionIsMovedByTappingAnotherDay(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	at := "/week?monday=" + mon().String()
	a := k.phone.get(at)
	require.Equal(t, "Next week", text(a.one("h1")))
	require.Len(t, a.all("ol.days > li"), 7)
	require.NotEmpty(t, a.all("#tuesday .s.plan"), "Tuesday, Thursday and Saturday, as in the week of the beginning")

	a = k.phone.get(at + "&move=run&from=" + (mon() + 1).String())
	require.Equal(t, "Where should Tuesday’s run go?", text(a.one("#moving")))
	require.Contains(t, text(a.one("#thursday")), "There is one that day already.")
	require.Contains(t, text(a.one("#wednesday")), "Thursday’s run goes to Monday.", "what it costs is said before")
	require.Empty(t, a.all("#tuesday form input[name=insist]"))
	move := []string{"key", "key-of-the-move", "kind", "run", "from", (mon() + 1).String(), "to", mon().String()}
	k.phone.post("/week/move", move...).leadsTo("/week?monday=" + mon().String() + "&said=moved")
	k.phone.post("/week/move", move...).leadsTo("/week?monday=" + mon().String() + "&said=moved")
	require.Len(t, k.store.Pins, 1, "sent twice is once")

	a = k.phone.post("/week/move", "key", "another-key", "kind", "run", "from", (mon() + 1).String(), "to", mon().String())
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, text(a.one("[role=status]")), "The week has changed meanwhile")
	require.NotEmpty(t, a.all("#monday .s.plan"), "the week as it is now")
	require.Equal(t, http.StatusUnprocessableEntity, k.phone.post("/week/move", "key", "another-key", "kind", "swim", "from", mon().String(), "to", mon().String()).StatusCode)
}

// What was done beside the plan is named once, with how it went.
func TestWhatWasDoneIsNamedOnce(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	for kind, typed := range map[string][]string{"strength": {"minutes", "40", "effort", "2"}, "extra": {"ran", "walk", "minutes", "45"}} {
		k.phone.post("/log", typedIn(k.phone.get("/log?kind="+kind), typed...)...).leadsToStored("/today")
	}
	main := text(k.phone.get("/week").one("main"))
	require.Contains(t, main, "Strength 40 min, effort 2")
	require.Contains(t, main, "Walk outside the plan 45 min")
	require.NotContains(t, main, "strength, 40 min")
}

func TestARefusedMoveSaysWhyAtTheDay(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	k.store.Leaving[1] = roster.Leave{ID: 1, Athlete: k.ines, Kind: roster.OnHoliday, Span: day.Span{From: mon() + 4, To: mon() + 4}}
	a := k.phone.post("/week/move", "key", "key-of-the-move", "kind", "run", "from", (mon() + 1).String(), "to", (mon() + 4).String())
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#friday .what")), "Not here: nothing is planned that day. Nothing was moved.")
	require.Contains(t, text(a.one("#friday .quiet")), "away")
	require.NotEmpty(t, a.all("#monday form.place"), "another day can be tapped at once")
	require.Empty(t, k.store.Pins)
}

// A coach, and a deputy, reads that somebody is away, and not why.
func TestAWeekTellsNoReasonOfHealth(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday() - 20)
	k.store.Leaving[1] = roster.Leave{ID: 1, Athlete: k.ines, Kind: roster.Ill, Span: day.Span{From: tuesday()}, Why: "a cold"}
	at := athletePath(k.ines) + "/week"
	for _, page := range []string{at, "/weeks"} {
		main := text(k.desk.get(page).one("main"))
		require.Contains(t, wording.Capital(main), "way")
		for _, word := range []string{"ill", "cold", "fever"} {
			require.NotContains(t, main, " "+word, page)
		}
	}
	require.Contains(t, text(k.phone.get("/week").one("main")), "You are noted as ill.", "who it is about reads it")
}

func TestADeputyMovesAndSetsNothing(t *testing.T) {
	p := newPeople(t)
	at := athletePath(p.ana.ID) + "/week"
	deputy := p.visitors[deputy]
	require.Empty(t, deputy.get(at).all("form[action$='/habits'], form[action$='/pins']"))
	require.NotEmpty(t, p.visitors[clubCoach].get(at).all("form[action$='/habits']"))
	require.Empty(t, deputy.get("/groups").all("main form"))
	require.Equal(t, http.StatusForbidden, deputy.post("/groups", "key", "key-of-the-form", "name", "Mine", "meets[0]", "07:00").StatusCode)
}

func TestGroupsAndHolidaysComeBackWithTheirFaults(t *testing.T) {
	k := newTrack(t)
	a := k.desk.post("/groups", "key", "key-of-the-group", "name", "Early <b>birds</b>", "meets[0]", "half past six")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Equal(t, "Early <b>birds</b>", attr(a.one("#new-name"), "value"))
	require.Equal(t, "half past six", attr(a.one("[name='meets[0]'][aria-invalid]"), "value"))
	a = k.desk.post("/groups", "key", "key-of-the-group", "name", "Early birds")
	require.Contains(t, text(a.one("#new-meets")), "Please give at least one day with its time.")
	for range 2 {
		k.desk.post("/groups", "key", "key-of-the-group", "name", "Early birds", "meets[1]", "06:30").leadsTo("/groups?said=grouped")
	}
	require.Len(t, k.store.Groups, 1)
	a = k.desk.post("/holidays", "key", "key-of-the-holiday", "name", "", "from", "2026-05-01", "to", "2026-04-01")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.NotEmpty(t, a.all("#to[aria-invalid]"))
	for id := range k.store.Groups {
		k.desk.post("/groups/"+idText(id), "key", "key-of-the-change", "version", "9", "name", "Late", "meets[1]", "07:00").says(http.StatusConflict, "Somebody else has changed this group meanwhile.")
		k.desk.post("/groups/" + idText(id) + "/remove").leadsTo("/groups?said=ungrouped")
		k.desk.post("/groups/" + idText(id) + "/remove").leadsTo("/groups?said=ungrouped")
	}
}

func TestHabitsAndFixedDays(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	k.phone.post("/week/habits", "times", "tuesday-evening", "times", "sunday-morning", "strength", "3").leadsTo("/week?said=habits")
	kept := k.store.Athletes[k.ines]
	require.True(t, kept.Available.At(tuesday().Weekday(), roster.Evening))
	require.Zero(t, kept.Strength, "strength is a coach's")
	a := k.desk.post(athletePath(k.ines)+"/week/habits", "strength", "1", "legs", "2", "group", "0", "times", "monday-morning")
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("main")), "No more of them than there are sessions of strength.")
	require.NotEmpty(t, a.all("input[value=monday-morning][checked]"), "what was ticked is kept")
	k.phone.post("/week/pins", "key", "key-of-the-pin", "kind", "run", "weekday", "7", "part", "morning").leadsTo("/week?said=fixed")
	page := k.phone.get("/week")
	require.Contains(t, text(page.one("main")), "A run on Sunday morning")
	k.phone.post("/week/pins/" + idText(k.store.Pins[0].ID) + "/lift").leadsTo("/week?said=unfixed")
	require.NotContains(t, text(k.phone.get("/week").one("main")), "A run on Sunday morning")
}
