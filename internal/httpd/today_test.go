package httpd

import (
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func TestTodaySaysWhatIsNext(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	k.logs(k.ines, 3)
	a := k.phone.get("/today")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Equal(t, "Run 2 minutes, walk 3, six times", text(a.one("h1")))
	main := text(a.one("main"))
	require.Contains(t, main, "Tuesday, session 1 of 3")
	require.Contains(t, main, "Due today.")
	require.Contains(t, main, "0 of 3 done")
	require.Contains(t, main, "Walk until you could chat.")
	require.Contains(t, main, "Before you go")
	a.one("a[href='/log?kind=planned']")
	require.Len(t, a.all("ol.week li"), 3, "none of this week done, three to come")
	for _, href := range []string{"/log?kind=extra", "/log?kind=strength", "/log?kind=other", "/sessions", "/away"} {
		require.NotEmpty(t, a.all("a[href='"+href+"']"), href)
	}
}

func TestTodayAfterASession(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	k.logs(k.ines, 0)
	main := text(k.phone.get("/today").one("main"))
	require.Contains(t, main, "Next session: Thursday. Rest is part of it.")
}

// begins says since when the athlete is here, from which on weeks are laid out.
func (k *track) begins(on day.Date) {
	a := k.store.Athletes[k.ines]
	a.ArrivalSince = on
	k.store.Athletes[k.ines] = a
}

func TestTodayOfSomebodyHeldOrAway(t *testing.T) {
	k := newTrack(t)
	a := k.store.Athletes[k.ines]
	a.Held, a.HeldSince = roster.Referred, tuesday()
	k.store.Athletes[k.ines] = a
	main := text(k.phone.get("/today").one("main"))
	require.Contains(t, main, "see a doctor")
	require.NotContains(t, main, "session 1 of 3")
	a.Held = roster.NotHeld
	k.store.Athletes[k.ines] = a
	k.store.Leaving[1] = roster.Leave{ID: 1, Athlete: k.ines, Span: day.Span{From: tuesday() - 1, To: tuesday() + 2}}
	require.Contains(t, text(k.phone.get("/today").one("main")), "You are away until Thursday.")
}

func TestTodayOfSomebodyIllOrInjured(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 3)
	for kind, words := range map[roster.LeaveKind][]string{
		roster.Ill:     {"Get well first", "No training with a fever", "no medical advice"},
		roster.Injured: {"Let it heal first", "as long as it does not hurt", "no medical advice"},
	} {
		k.store.Leaving[1] = roster.Leave{ID: 1, Athlete: k.ines, Kind: kind, Span: day.Span{From: tuesday() - 1}}
		a := k.phone.get("/today")
		for _, part := range words {
			require.Contains(t, text(a.one("main")), part)
		}
		require.Empty(t, a.all("a[data-start]"), "nothing to start")
		require.Contains(t, k.phone.get("/phone/week").body, `"plan":[]`, "nor on the phone")
	}
}

// The way back of rule 9.4 is said to the athlete as it is proposed to the coach.
func TestTodaySaysTheWayBack(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 16)
	main := text(k.phone.get("/today").one("main"))
	require.Contains(t, main, "Sixteen days without running: the way back begins easier, with run 1 min 30, walk 3 min 30, six times. Your coach confirms it")
	require.Contains(t, text(k.desk.get("/roster").one("article.row")), "16 days without running")

	k = newTrack(t)
	k.logs(k.ines, 70)
	a := k.phone.get("/today")
	require.Contains(t, text(a.one("main")), "Your coach looks first")
	require.Empty(t, a.all("a[data-start]"))
	require.Contains(t, text(k.desk.get("/roster").one("article.row")), "fresh health check")

	k = newTrack(t)
	k.logs(k.ines, 2)
	require.NotContains(t, text(k.phone.get("/today").one("main")), "without running")
}

func TestTheMorningAfterIsAskedAndStored(t *testing.T) {
	k := newTrack(t)
	id := idText(k.logs(k.ines, 1, func(e *entry.Entry) {
		e.Pain = []readiness.Pain{{Site: "Left shin", Score: 2}, {Site: "back", Score: 1}}
	}))
	a := k.phone.get("/today")
	require.Contains(t, text(a.one("main")), "After yesterday’s session")
	require.Contains(t, text(a.one("main")), "How is your left shin this morning?")
	key := attr(a.one("form[action$='/morning'] input[name=key]"), "value")

	wrong := k.phone.post("/sessions/"+id+"/morning", "key", key, "morning[0].site", "Left shin", "morning[0].score", "12", "morning[1].site", "back")
	require.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	require.Contains(t, text(wrong.one("main")), "0 to 10")

	k.phone.post("/sessions/"+id+"/morning", "key", key, "morning[0].site", "Left shin", "morning[0].score", "0", "morning[1].site", "back").
		leadsTo("/today?said=morning")
	require.Equal(t, readiness.Some(0), k.store.Logged[0].Pain[0].NextMorning)
	require.False(t, k.store.Logged[0].Pain[1].NextMorning.Known())
	require.NotContains(t, text(k.phone.get("/today").one("main")), "left shin")

	k.phone.post("/sessions/"+id+"/morning", "key", key, "morning[0].site", "back", "morning[0].score", "7").
		leadsTo("/sessions/" + id + "/stopped")
}

func TestTodayTellsOfAMoveAndTheCoachsWord(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	row := k.desk.get("/roster").one("article.row form input[name=pick]")
	k.desk.post("/roster", "pick", attr(row, "value"), "choice", "move_up")
	require.Equal(t, "L4", k.standing(k.ines).Phase)
	a := k.phone.get("/today")
	require.Contains(t, text(a.one("main")), "You moved up today.")
	require.Equal(t, "Run 2 min 45, walk 3 min 15, five times", text(a.one("h1")))
}

func TestBigWords(t *testing.T) {
	p := pathway.Default()
	for id, words := range map[string]string{
		"B1": "Walk 15 minutes", "L1": "Run 1 minute, walk 4, six times", "L3": "Run 2 minutes, walk 3, six times",
		"L4": "Run 2 min 45, walk 3 min 15, five times", "R6": "Run 20 min, walk 2 min 30, run 7 min 30", "R7": "Run 30 minutes",
		"B2-": "Walk 17 min 30",
	} {
		require.Equal(t, words, bigWords(p.Blocks(p.Find(id))), id)
	}
}

func TestSessionsOfAnAthlete(t *testing.T) {
	k := newTrack(t)
	require.Contains(t, text(k.phone.get("/sessions").one("main")), "Nothing logged yet")
	k.logs(k.ines, 3)
	k.logs(k.ines, 1, func(e *entry.Entry) {
		e.Whole, e.Outcome, e.Pain = false, readiness.CalledOff, []readiness.Pain{{Site: "left shin", Score: 3}}
	})
	a := k.phone.get("/sessions")
	main := text(a.one("main"))
	require.Contains(t, main, "Two sessions since 11 April")
	require.Contains(t, main, "Called off")
	require.Contains(t, main, "left shin 3")
	require.Contains(t, main, "Sat 11 April")
	american := k.phone.do(with("/sessions", "Accept-Language", "en-US,en;q=0.9"))
	require.Contains(t, text(american.one("main")), "Sat April 11")
}

func TestAnotherAthletesSessionStays(t *testing.T) {
	k := newTrack(t)
	id := idText(k.logs(k.ines, 1))
	other := k.asAthlete(k.store.Athletes[k.runner("Jonah Petrie", "L1")])
	require.Equal(t, http.StatusNotFound, other.get("/sessions/"+id).StatusCode)
	require.Equal(t, http.StatusNotFound, other.post("/sessions/"+id, "key", "key-of-the-form", "version", "1").StatusCode)
	other.post("/sessions/"+id+"/delete", "version", "1")
	require.Len(t, k.store.Logged, 1)
}

func TestTodayRoundMidnight(t *testing.T) {
	k := newTrack(t)
	k.begins(tuesday())
	k.now = time.Date(2026, 4, 14, 22, 59, 0, 0, time.UTC)
	require.Contains(t, text(k.phone.get("/today").one("main")), "Tuesday, session")
	k.now = k.now.Add(time.Minute) // 15 April in Lisbon
	require.Contains(t, text(k.phone.get("/today").one("main")), "Wednesday, 0 of 3 done Run 2 minutes, walk 3, six times Next session: tomorrow. Rest is part of it. Tuesday’s session is let go; nothing is piled up.")
}
