package httpd

import (
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// decision is the form on the page, as it would be sent with another choice.
func decision(a *answer, choice string, more ...string) []string {
	return append([]string{
		"pick", attr(a.one("form[action$='/decide'] input[name=pick]"), "value"),
		"key", attr(a.one("form[action$='/decide'] input[name=key]"), "value"), "choice", choice,
	}, more...)
}

func TestAnAthleteInFull(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	k.logs(k.ines, 12, func(e *entry.Entry) {
		e.Phase, e.Pain = "L2", []readiness.Pain{{Site: "left shin", Score: 2, NextMorning: readiness.Some(0)}}
	})
	at := athletePath(k.ines)
	k.desk.post(at+"/notes", "key", "key-of-the-note", "text", "runs with a friend").leadsTo(at + "?said=noted")
	a := k.desk.get(at)
	require.Equal(t, http.StatusOK, a.StatusCode)
	main := text(a.one("main"))
	for _, words := range []string{
		"Ready to move up to run 2 min 45, walk 3 min 15, five times.", "41, sixth week, walk-led, phase 3 of 4", "The gate is open.",
		"Yesterday, session 3 of 3", "effort 4 of 10", "no pain", "Most walks settled before half their length",
		"left shin", "runs with a friend", "Between", "never a promise", "360 AU", "still learning",
	} {
		require.Contains(t, main, words)
	}
	require.NotEmpty(t, a.all("a[href='"+at+"/edit']"))
	require.NotEmpty(t, a.all("a[href='"+at+"/log?kind=planned']"))
	require.Len(t, a.all("select#to option"), 30, "an empty one, fifteen phases and fourteen half steps")
}

// Above a warning sign an open gate is no call to go on.
func TestAGateThatIsMetBesideAWarningSign(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	k.logs(k.ines, 0, func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.HopPain} })
	main := text(k.desk.get(athletePath(k.ines)).one("main"))
	require.Contains(t, main, "First to a doctor.")
	require.Contains(t, main, "The gate is met, but what stands above comes first.")
	require.NotContains(t, main, "The gate is open.")
}

func TestDecidingAsProposedOnThePage(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	at := athletePath(k.ines)
	k.desk.post(at+"/decide", decision(k.desk.get(at), "move_up", "word", "Well settled.")...).
		leadsTo("/roster?did=" + idText(k.store.Decided[0].ID))
	require.Equal(t, "L4", k.standing(k.ines).Phase)
	a := k.desk.get(at)
	main := text(a.one("main"))
	require.Contains(t, main, "Moved up to walk-led, phase 4 of 4")
	require.Contains(t, main, "Well settled.")
	require.NotContains(t, main, "Proposed was")
	undo := a.one("form[action='/decisions/undo']")
	require.NotNil(t, undo)
	k.desk.post("/decisions/undo", "decision", idText(k.store.Decided[0].ID), "from", "athlete").leadsTo(at + "?said=undone")
	require.Contains(t, text(k.desk.get(at).one("main")), "Taken back on 14 April")
}

func TestADepartureAsksWhyAndKeepsWhatWasTyped(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	at := athletePath(k.ines)
	form := k.desk.get(at + "?choice=hold")
	require.True(t, has(form.one("input[name=choice][value=hold]"), "checked"), "as the roster's link asks")
	a := k.desk.post(at+"/decide", decision(form, "ease_back", "to", "L1", "word", "Easy does it.")...)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("#reason-wrong")), "say why")
	require.True(t, has(a.one("input[name=choice][value=ease_back]"), "checked"))
	require.True(t, has(a.one("select#to option[value=L1]"), "selected"))
	require.Equal(t, "Easy does it.", text(a.one("textarea[name=word]")))
	k.desk.post(at+"/decide", decision(a, "ease_back", "to", "L1", "reason", "A cold.")...)
	require.Equal(t, "L1", k.standing(k.ines).Phase)
	main := text(k.desk.get(at).one("main"))
	require.Contains(t, main, "Proposed was: move up")
	require.Contains(t, main, "A cold.")
}

func TestAnOldPageDecidesNothing(t *testing.T) {
	k := newTrack(t)
	k.ready(k.ines)
	at := athletePath(k.ines)
	form := k.desk.get(at)
	k.logs(k.ines, 0, func(e *entry.Entry) { e.Limp = true })
	a := k.desk.post(at+"/decide", decision(form, "move_up", "word", "Well done.")...)
	require.Equal(t, http.StatusConflict, a.StatusCode)
	require.Contains(t, text(a.one("body")), "Something new came in about Ines Okafor")
	require.Equal(t, "Well done.", text(a.one("textarea[name=word]")))
	require.Empty(t, k.store.Decided)
	for _, bad := range [][]string{{"choice", "move_up"}, {"pick", "999|1||stay", "key", "key-of-the-form", "choice", "hold"}} {
		require.Equal(t, http.StatusUnprocessableEntity, k.desk.post(at+"/decide", bad...).StatusCode)
	}
}

func TestPauseAndResumeOnThePage(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 1, func(e *entry.Entry) { e.Limp = true })
	at := athletePath(k.ines)
	require.Contains(t, text(k.desk.get(at).one("h1")), "Pause running.")
	k.desk.post(at+"/decide", decision(k.desk.get(at), "pause")...)
	require.Equal(t, roster.Paused, k.standing(k.ines).Held)
	k.now = k.now.Add(15 * 24 * time.Hour)
	a := k.desk.get(at)
	require.Contains(t, text(a.one("main")), "Paused since 14 April")
	require.True(t, has(a.one("input[name=choice][value=resume]"), "checked"))
	k.desk.post(at+"/decide", decision(a, "resume")...)
	require.Equal(t, roster.NotHeld, k.standing(k.ines).Held)
	require.Equal(t, "L2", k.standing(k.ines).Phase, "sixteen days without running: one phase back")
}

func TestAnAthleteWhoLeft(t *testing.T) {
	k := newTrack(t)
	k.logs(k.ines, 1)
	at := athletePath(k.ines)
	k.desk.post(at + "/left")
	a := k.desk.get(at)
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Contains(t, text(a.one("main")), "Left the club on 14 April.")
	require.Empty(t, a.all("form[action$='/decide']"))
	require.NotEmpty(t, a.all("form[action='"+at+"/returned']"))
}

func TestANoteThatIsTooLongStaysInItsField(t *testing.T) {
	k := newTrack(t)
	at := athletePath(k.ines)
	long := string(make([]byte, 0)) + "note "
	for len(long) < 2100 {
		long += "after note "
	}
	a := k.desk.post(at+"/notes", "key", "key-of-the-note", "text", long)
	require.Equal(t, http.StatusUnprocessableEntity, a.StatusCode)
	require.Contains(t, text(a.one("textarea[name=text]")), "after note after note")
}

func TestHeadlinesAndChoices(t *testing.T) {
	k := newTrack(t)
	portraitOf := func(change func(*morning.Portrait)) *morning.Portrait {
		p, err := k.deps.Morning.Athlete(t.Context(), k.club.ID, k.ines)
		require.NoError(t, err)
		change(p)
		return p
	}
	for why, words := range map[morning.Why]string{
		morning.WhyRefer: "First to a doctor.", morning.WhyPause: "Pause running.", morning.WhyEaseBack: "Ease back to run 2 min, walk 3 min, six times.",
		morning.WhyLoadJump: "The load jumped: an easier week on run 2 min, walk 3 min, six times.",
		morning.WhyStalling: "Stalling on run 2 min, walk 3 min, six times.", morning.WhyIrregular: "Fewer sessions than planned.",
		morning.WhyArrived: "Thirty minutes in one go.", morning.WhyHealthCheck: "A fresh health check first.",
		morning.WhyPain: "Pain reported. Hold at run 2 min, walk 3 min, six times.", morning.WhyNone: "No word for a while.",
	} {
		require.Equal(t, words, headline(portraitOf(func(p *morning.Portrait) { p.Why = why })))
	}
	for name, row := range map[string]struct {
		change func(*morning.Portrait)
		want   []roster.Choice
	}{
		"referred":            {func(p *morning.Portrait) { p.Athlete.Held = roster.Referred }, []roster.Choice{roster.Cleared, roster.Seen}},
		"paused":              {func(p *morning.Portrait) { p.Athlete.Held = roster.Paused }, []roster.Choice{roster.Resume, roster.Refer, roster.Seen}},
		"on the first phase":  {func(p *morning.Portrait) { p.Rung = 0 }, []roster.Choice{roster.MoveUp, roster.Hold, roster.Pause, roster.Refer, roster.Seen}},
		"on the last phase":   {func(p *morning.Portrait) { p.Rung = p.Shelf.Last() }, []roster.Choice{roster.Hold, roster.HalfStep, roster.EaseBack, roster.Pause, roster.Refer, roster.Seen}},
		"on a half step":      {func(p *morning.Portrait) { p.Rung = p.Shelf.Find("L3-") }, []roster.Choice{roster.MoveUp, roster.Hold, roster.EaseBack, roster.Pause, roster.Refer, roster.Seen}},
		"with a stop sign":    {func(p *morning.Portrait) { p.Why = morning.WhyRefer }, []roster.Choice{roster.Refer, roster.Pause, roster.Cleared, roster.Seen}},
		"with a limp":         {func(p *morning.Portrait) { p.Why = morning.WhyPause }, []roster.Choice{roster.Pause, roster.Refer, roster.Resume, roster.EaseBack, roster.Hold, roster.Seen}},
		"paused, then a sign": {func(p *morning.Portrait) { p.Athlete.Held, p.Why = roster.Paused, morning.WhyRefer }, []roster.Choice{roster.Refer, roster.Cleared, roster.Seen}},
	} {
		require.Equal(t, row.want, possible(portraitOf(row.change)), name)
	}
}

func TestThePathwayPage(t *testing.T) {
	k := newTrack(t)
	k.runner("On the half step", "L3-")
	a := k.desk.get("/pathway")
	require.Equal(t, http.StatusOK, a.StatusCode)
	main := text(a.one("main"))
	for _, words := range []string{"Walking base", "Walk-led", "Run-led", "run 2 min, walk 3 min, six times", "3 min more", "1 here, 1 on the half step"} {
		require.Contains(t, main, words)
	}
	require.Contains(t, main, pathway.Words(pathway.Default().Phases[12].Half))
}
