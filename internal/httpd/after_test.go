package httpd

import (
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// typedIn reads a form as a browser would send it, changed by names and values in
// turn; an empty value leaves the field out.
func typedIn(a *answer, change ...string) []string {
	set := map[string]bool{}
	var pairs []string
	for i := 0; i < len(change); i += 2 {
		set[change[i]] = true
		if change[i+1] != "" {
			pairs = append(pairs, change[i], change[i+1])
		}
	}
	for _, n := range a.all("form.after input, form.after textarea") {
		name, kind := attr(n, "name"), attr(n, "type")
		if set[name] || (kind == "radio" || kind == "checkbox") && !has(n, "checked") {
			continue
		}
		value := attr(n, "value")
		if n.Data == "textarea" {
			value = text(n)
		}
		pairs = append(pairs, name, value)
	}
	for _, n := range a.all("form.after select") {
		if set[attr(n, "name")] {
			continue
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Data == "option" && has(c, "selected") {
				value := attr(c, "value")
				if !has(c, "value") {
					value = text(c)
				}
				pairs = append(pairs, attr(n, "name"), value)
			}
		}
	}
	return pairs
}

func TestLoggingAllOfIt(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	require.Equal(t, http.StatusOK, form.StatusCode)
	require.Equal(t, "2026-04-14", attr(form.one("input[name=date]"), "value"))
	require.Equal(t, "18:30", attr(form.one("input[name=clock]"), "value"), "half an hour before seven in the evening")
	require.Equal(t, "2025-10-13", attr(form.one("input[name=date]"), "min"))
	require.Len(t, form.all("input[name$='.done_min']"), 12)
	require.Equal(t, "2", attr(form.one("input[name='blocks[0].done_min']"), "value"), "as planned, to begin with")

	typed := typedIn(form, "done", "all", "effort", "4", "talk", "sentence", "breath", "early", "pain", "none", "note", "<b>slow</b>")
	k.phone.post("/log", typed...).leadsToStored("/today")
	require.Len(t, k.store.Logged, 1)
	kept := k.store.Logged[0]
	require.Equal(t, readiness.InFull, kept.Became())
	require.Equal(t, []any{"L3", 4, readiness.Sentence, readiness.Early, true, "<b>slow</b>"},
		[]any{kept.Phase, kept.Effort.Or(-1), kept.Talk, kept.Breath, kept.PainAsked, kept.Note})
	require.Contains(t, text(k.phone.get("/today?said=logged").one("main")), "Stored.")

	k.phone.post("/log", typed...).leadsTo("/today?said=logged-before")
	require.Len(t, k.store.Logged, 1, "a double tap is stored once")

	k.phone.post("/log", typedIn(form, "done", "all", "effort", "5")...).leadsToStored("/today")
	require.Len(t, k.store.Logged, 1, "back to the form, and something else: a correction")
	require.Equal(t, 5, k.store.Logged[0].Effort.Or(0))
}

func TestLoggingPartOfIt(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	k.phone.post("/log", typedIn(form, "done", "part", "until", "7", "blocks[1].settle_s", "52")...).leadsToStored("/today")
	kept := k.store.Logged[0]
	require.Equal(t, readiness.Shortened, kept.Became())
	require.Equal(t, []int32{120, 180, 0}, []int32{kept.Blocks[6].Done, kept.Blocks[5].Done, kept.Blocks[7].Done})
	require.Equal(t, readiness.Some(52), kept.Blocks[1].Settle)

	k.now = k.now.Add(time.Hour)
	form = k.phone.get("/log")
	k.phone.post("/log", typedIn(form, "done", "part", "blocks[10].done_min", "1", "blocks[10].done_sec", "5", "blocks[11].done_min", "0")...).
		leadsToStored("/today")
	kept = k.store.Logged[1]
	require.Equal(t, []int32{120, 65, 0}, []int32{kept.Blocks[0].Done, kept.Blocks[10].Done, kept.Blocks[11].Done})
}

func TestTheWalkingBaseAsksAboutTalkOnTheWalk(t *testing.T) {
	k := newTrack(t)
	require.Contains(t, text(k.phone.get("/log").one("#talk")), "While running")
	base := k.asAthlete(k.store.Athletes[k.runner("Salma Haddad", "B2")])
	form := base.get("/log")
	require.Contains(t, text(form.one("#talk")), "While walking")
	require.Empty(t, form.all("#breath"), "no walk follows a run")
}

func TestStoppingForPainLeadsToTheStopPage(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	a := k.phone.post("/log", typedIn(form, "done", "pain", "until", "3", "pain", "some", "pain[0].score", "6", "effort", "5")...)
	id := k.store.Logged[0].ID
	a.leadsTo("/sessions/" + idText(id) + "/stopped")
	require.Equal(t, []readiness.Pain{{Site: "left shin", Score: 6}}, k.store.Logged[0].Pain)
	page := k.phone.get("/sessions/" + idText(id) + "/stopped")
	require.Contains(t, text(page.one("main")), "paused")
	require.NotContains(t, text(page.one("main")), "emergency")
	today := k.phone.get("/today")
	require.Contains(t, text(today.one("main")), "No running for now")
	require.Empty(t, today.all("a[href='/log?kind=planned']"), "nothing is prescribed")
}

func TestAWarningSignSaysWhomToCall(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	k.phone.post("/log", typedIn(form, "done", "all", "signs", "chest_pressure")...)
	page := k.phone.get("/sessions/" + idText(k.store.Logged[0].ID) + "/stopped")
	require.Contains(t, text(page.one("main")), "call the local emergency number")
	require.Contains(t, text(k.phone.get("/today").one("main")), "emergency number", "and so does Today until clearance")
}

func TestOtherKindsOfSession(t *testing.T) {
	for _, row := range []struct {
		name   string
		kind   string
		typed  []string
		blocks []readiness.Block
		kept   int // minutes
	}{
		{"a walk", "extra", []string{"ran", "walk", "minutes", "45"}, nil, 45},
		{"a run", "extra", []string{"ran", "run", "minutes", "20"}, []readiness.Block{{Kind: pathway.Run, Planned: 1200, Done: 1200}}, 20},
		{"in turns", "extra", []string{"ran", "both", "minutes", "30", "run_minutes", "10", "longest_minutes", "4"}, []readiness.Block{
			{Kind: pathway.Run, Planned: 240, Done: 240}, {Kind: pathway.Walk, Planned: 400, Done: 400},
			{Kind: pathway.Run, Planned: 240, Done: 240}, {Kind: pathway.Walk, Planned: 400, Done: 400},
			{Kind: pathway.Run, Planned: 120, Done: 120}, {Kind: pathway.Walk, Planned: 400, Done: 400},
		}, 30},
		{"strength", "strength", []string{"minutes", "40"}, nil, 40},
		{"a rest day", "other", []string{"minutes", "0"}, nil, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			k := newTrack(t)
			form := k.phone.get("/log?kind=" + row.kind)
			k.phone.post("/log", typedIn(form, row.typed...)...).leadsToStored("/today")
			require.Equal(t, row.blocks, k.store.Logged[0].Blocks)
			require.Equal(t, row.kept, k.store.Logged[0].Minutes.Or(-1))
			require.Equal(t, row.kind, k.store.Logged[0].Kind.String())
			require.Equal(t, http.StatusOK, k.phone.get("/sessions").StatusCode)
			back := k.phone.get("/sessions/" + idText(k.store.Logged[0].ID))
			k.phone.post("/sessions/"+idText(k.store.Logged[0].ID), typedIn(back)...).leadsTo("/today?said=corrected")
			require.Equal(t, row.blocks, k.store.Logged[0].Blocks, "opened and stored again, it stays the same")
		})
	}
}

// Every row is something wrong, where it is said, and what must still stand there.
func TestWhatWasTypedSurvivesAFault(t *testing.T) {
	for _, row := range []struct {
		name  string
		kind  string
		typed []string
		where string // id of the element that says it
		says  string
	}{
		{"effort of 11", "planned", []string{"done", "all", "effort", "11"}, "effort-wrong", "0 to 10"},
		{"an effort in words", "planned", []string{"done", "all", "effort", "hard"}, "effort-wrong", "whole number"},
		{"nothing said about it", "planned", nil, "done-wrong", "what became"},
		{"part, and nothing said of how far", "planned", []string{"done", "part"}, "blocks-wrong", "how far"},
		{"a block in words", "planned", []string{"done", "part", "blocks[2].done_min", "two"}, "blocks[2].done_s-wrong", "Whole minutes"},
		{"a block left blank", "planned", []string{"done", "part", "blocks[2].done_min", " ", "blocks[2].done_sec", " "}, "blocks[2].done_s-wrong", "0 where it was left out"},
		{"breath back after the walk", "planned", []string{"done", "all", "blocks[1].settle_s", "181"}, "blocks[1].settle_s-wrong", "after the end"},
		{"ten hours of running", "planned", []string{"done", "part", "blocks[0].done_min", "600"}, "blocks-wrong", "are the minutes right?"},
		{"tomorrow", "planned", []string{"done", "all", "date", "2026-04-15"}, "date-wrong", "still to come"},
		{"200 days back", "planned", []string{"done", "all", "date", "2025-09-26"}, "date-wrong", "183 days"},
		{"no date at all", "planned", []string{"done", "all", "date", "soon"}, "date-wrong", "A date like"},
		{"no time at all", "planned", []string{"done", "all", "clock", "25:00"}, "clock-wrong", "A time like"},
		{"pain nowhere", "planned", []string{"done", "all", "pain", "some"}, "pain-wrong", "where it hurt"},
		{"none, yet a number", "planned", []string{"done", "all", "pain", "none", "pain[3].score", "2"}, "pain-wrong", "which is right"},
		{"pain of 11", "planned", []string{"done", "all", "pain", "some", "pain[3].score", "11"}, "pain[3].score-wrong", "0 to 10"},
		{"pain at no place", "planned", []string{"done", "all", "pain", "some", "pain[15].score", "2"}, "pain[15].site-wrong", "where"},
		{"a sign unheard of", "planned", []string{"done", "all", "signs", "sneezing"}, "signs-wrong", "from the list"},
		{"no word on running", "extra", []string{"minutes", "20"}, "ran-wrong", "ran or walked"},
		{"no minutes", "extra", []string{"ran", "run"}, "minutes-wrong", "how many minutes"},
		{"ten hours outside the plan", "extra", []string{"ran", "run", "minutes", "600"}, "minutes-wrong", "are the minutes right?"},
		{"more running than time", "extra", []string{"ran", "both", "minutes", "20", "run_minutes", "30"}, "run_minutes-wrong", "cannot take"},
		{"a longest run that is too long", "extra", []string{"ran", "both", "minutes", "20", "run_minutes", "10", "longest_minutes", "12"}, "longest_minutes-wrong", "part of the running"},
		{"strength of 601 minutes", "strength", []string{"minutes", "601"}, "minutes-wrong", "0 to 600"},
	} {
		t.Run(row.name, func(t *testing.T) {
			k := newTrack(t)
			typed := append(row.typed, "note", "it rained <i>hard</i>", "talk", "chat", "limp", "1")
			a := k.phone.post("/log", typedIn(k.phone.get("/log?kind="+row.kind), typed...)...)
			require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
			require.Contains(t, text(a.one("[id='"+row.where+"']")), row.says)
			require.NotEmpty(t, a.all(".summary li"), "said on top as well")
			require.NotContains(t, text(a.one("main")), "?.")
			require.Empty(t, k.store.Logged)
			require.Equal(t, "it rained <i>hard</i>", text(a.one("textarea[name=note]")))
			require.True(t, has(a.one("input[name=limp]"), "checked"))
			for i := 0; i < len(row.typed); i += 2 {
				stillThere(t, a, row.typed[i], row.typed[i+1])
			}
		})
	}
}

// stillThere checks that a field shows what was typed, as far as it can show it.
func stillThere(t *testing.T, a *answer, name, value string) {
	t.Helper()
	for _, n := range a.all("[name='" + name + "']") {
		switch kind := attr(n, "type"); {
		case n.Data == "select" || kind == "hidden":
			continue
		case kind == "radio" || kind == "checkbox":
			if attr(n, "value") == value {
				require.True(t, has(n, "checked"), "%s=%s", name, value)
			}
		default:
			require.Equal(t, strings.TrimSpace(value), attr(n, "value"), name)
		}
	}
}

func TestTheSameMinuteAgain(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 0)
	form := k.phone.get("/log")
	a := k.phone.post("/log", typedIn(form, "done", "all", "clock", "07:00", "note", "once more")...)
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, text(a.one("main")), "there already")
	require.Contains(t, text(a.one("main")), "today at 07:00, in full")
	require.Equal(t, "once more", text(a.one("textarea[name=note]")))
	require.Len(t, k.store.Logged, 1)
}

func TestCorrectingFromThePhone(t *testing.T) {
	k := newTrack(t)
	id := k.logs(k.ines, 1, func(e *entry.Entry) {
		e.Pain = []readiness.Pain{{Site: "Left big toe", Score: 2}, {Site: "left shin", Score: 1}}
		e.Signs, e.Limp = nil, false
	})
	at := "/sessions/" + idText(id)
	form := k.phone.get(at)
	require.Contains(t, text(form.one("h1")), "Correct yesterday’s session")
	require.Equal(t, "07:00", attr(form.one("input[name=clock]"), "value"))
	require.True(t, has(form.one("input[name=done][value=all]"), "checked"))
	require.NotEmpty(t, form.all("input[value='Left big toe']"), "a place of one's own")
	k.phone.post(at, typedIn(form, "effort", "5")...).leadsTo("/today?said=corrected")
	kept := k.store.Logged[0]
	require.Equal(t, 5, kept.Effort.Or(0))
	require.Len(t, kept.Pain, 2)
	require.Equal(t, 2, kept.Version)

	a := k.phone.post(at, typedIn(form, "effort", "7", "note", "from the other phone")...)
	require.Equal(t, http.StatusConflict, a.StatusCode, "the first form is out of date now")
	require.Contains(t, text(a.one("main")), "Effort: you typed “7”, there is “5”")
	require.Equal(t, "from the other phone", text(a.one("textarea[name=note]")))
	k.phone.post(at, typedIn(a)...).leadsTo("/today?said=corrected")
	require.Equal(t, 7, k.store.Logged[0].Effort.Or(0), "sent again after seeing both, it is stored")
}

// What a session says, however it came in, stays the same when its form is opened
// and stored without a change.
func TestTheFormOfAStoredSessionKeepsIt(t *testing.T) {
	blocks := entry.Whole(pathway.Default().Phases[6].Blocks)
	blocks[10].Done = 113
	for name, change := range map[string]func(*entry.Entry){
		"all of it":        func(*entry.Entry) {},
		"almost all of it": func(e *entry.Entry) { e.Whole, e.Blocks = false, blocks },
		"with taps": func(e *entry.Entry) {
			e.Whole, e.Blocks = false, entry.Whole(pathway.Default().Phases[6].Blocks)
			e.Blocks[1].Settle, e.Blocks[3].Settle = readiness.Some(49), readiness.Some(0)
		},
		"missed":               func(e *entry.Entry) { e.Whole, e.Outcome = false, readiness.Missed },
		"called off":           func(e *entry.Entry) { e.Whole, e.Outcome = false, readiness.CalledOff },
		"in full by minutes":   func(e *entry.Entry) { e.Whole, e.Outcome, e.Minutes = false, readiness.InFull, readiness.Some(31) },
		"shortened by minutes": func(e *entry.Entry) { e.Whole, e.Outcome, e.Minutes = false, readiness.Shortened, readiness.Some(18) },
		"stopped by minutes": func(e *entry.Entry) {
			e.Whole, e.Outcome, e.Minutes = false, readiness.StoppedForPain, readiness.Some(9)
		},
		"stopped at the end":    func(e *entry.Entry) { e.Outcome = readiness.StoppedForPain },
		"minutes beside blocks": func(e *entry.Entry) { e.Minutes = readiness.Some(36) },
		"with a morning after": func(e *entry.Entry) {
			e.Pain = []readiness.Pain{{Site: "right knee", Score: 2, NextMorning: readiness.Some(1)}, {Site: "back", Score: 1}}
		},
		"pain not asked":          func(e *entry.Entry) { e.PainAsked = false },
		"signs, a limp, and heat": func(e *entry.Entry) { e.Signs, e.Limp, e.Hot = []readiness.Sign{readiness.HopPain}, true, true },
		"an odd extra": func(e *entry.Entry) {
			e.Breath = readiness.BreathNotAsked
			e.Kind, e.Whole, e.Blocks = readiness.Extra, false, []readiness.Block{{Kind: pathway.Run, Planned: 100, Done: 95}, {Planned: 300, Done: 260}}
		},
		"planned strength": func(e *entry.Entry) {
			e.Talk, e.Breath = readiness.NotAsked, readiness.BreathNotAsked
			e.Kind, e.Whole, e.Minutes, e.PlannedMinutes = readiness.Strength, false, readiness.Some(30), readiness.Some(40)
		},
	} {
		t.Run(name, func(t *testing.T) {
			k := newTrack(t)
			id := k.logs(k.ines, 2, change)
			before := k.store.Logged[0]
			form := k.phone.get("/sessions/" + idText(id))
			a := k.phone.post("/sessions/"+idText(id), typedIn(form)...)
			require.Equal(t, http.StatusSeeOther, a.StatusCode, a.body)
			after := k.store.Logged[0]
			after.Version, after.ChangedAt = before.Version, before.ChangedAt
			require.Equal(t, before, after)
		})
	}
}

func TestACoachEntersForAnAthlete(t *testing.T) {
	k := newTrack(t)
	base := athletePath(k.ines)
	form := k.desk.get(base + "/log?kind=planned")
	require.Contains(t, text(form.one("body")), "Ines Okafor")
	k.desk.post(base+"/log", typedIn(form, "done", "all")...).leadsToStored(base)
	require.Equal(t, k.owner.ID, k.store.Logged[0].ByCoach)
	id := idText(k.store.Logged[0].ID)
	form = k.desk.get(base + "/sessions/" + id)
	k.desk.post(base+"/sessions/"+id, typedIn(form, "effort", "3")...).leadsTo(base + "?said=corrected")
	require.Equal(t, http.StatusOK, k.desk.get(base+"/sessions").StatusCode)
	require.Equal(t, http.StatusNotFound, k.phone.get(base+"/log").StatusCode)
}

func TestDeletingFromThePhone(t *testing.T) {
	k := newTrack(t)
	id := idText(k.logs(k.ines, 1))
	page := k.phone.get("/sessions/" + id + "/delete")
	require.Contains(t, text(page.one("h1")), "Delete yesterday’s session?")
	k.store.Logged[0].Version = 2
	a := k.phone.post("/sessions/"+id+"/delete", "version", "1")
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Equal(t, "2", attr(a.one("input[name=version]"), "value"))
	k.phone.post("/sessions/"+id+"/delete", "version", "2").leadsTo("/sessions?said=deleted")
	require.Empty(t, k.store.Logged)
	k.phone.post("/sessions/"+id+"/delete", "version", "2").leadsTo("/sessions?said=deleted")
	require.Equal(t, http.StatusNotFound, k.phone.get("/sessions/"+id).StatusCode)
}

func TestTheStoppedDatabaseWhileLogging(t *testing.T) {
	k := newTrack(t)
	form := k.phone.get("/log")
	k.store.Down = http.ErrServerClosed
	a := k.phone.post("/log", typedIn(form, "done", "all")...)
	require.Equal(t, http.StatusServiceUnavailable, a.StatusCode)
	require.Contains(t, text(a.one("main")), "not lost")
	k.store.Down = nil
	var kept []string
	for _, field := range a.all("main form input[type=hidden]") {
		kept = append(kept, attr(field, "name"), attr(field, "value"))
	}
	k.phone.post(attr(a.one("main form"), "action"), kept...).leadsToStored("/today")
	require.Len(t, k.store.Logged, 1)
}

func TestManyFieldsAreNoTrouble(t *testing.T) {
	k := newTrack(t)
	pairs := []string{"kind", "planned", "key", "key-of-the-form", "date", "2026-04-14", "done", "part"}
	for i := range 2000 {
		pairs = append(pairs, "blocks["+strconv.Itoa(i)+"].planned_s", "60", "blocks["+strconv.Itoa(i)+"].done_min", "0")
	}
	a := k.phone.post("/log", pairs...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("main")), "At most 60 blocks")
	require.Empty(t, k.store.Logged)
}
