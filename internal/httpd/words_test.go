package httpd

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/part"
)

func TestWhoseDatesBeginWithTheMonth(t *testing.T) {
	for header, first := range map[string]bool{"": false, "en-GB,en-US;q=0.8": false, "en-US": true, "en-us;q=0.9, de": true, "de": false} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Language", header)
		require.Equal(t, first, datesFor(r).MonthFirst, header)
	}
	for words, near := range map[string]string{
		"Sunday’s session": "Sunday", "yesterday’s session": "yesterday", "the session of 14 April": "14 April", "the session of April 14": "April 14",
	} {
		require.Equal(t, words, sessionOf(near))
	}
}

// twoIntervals is a session of two runs and walks.
func twoIntervals(change ...func(*roster.Session)) *roster.Session {
	s := &roster.Session{Session: readiness.Session{Date: day.On(2026, 4, 13), Phase: "L3", Blocks: []readiness.Block{
		{Kind: pathway.Run, Planned: 120, Done: 120}, {Planned: 180, Done: 180, Settle: readiness.Some(50)},
		{Kind: pathway.Run, Planned: 120, Done: 120}, {Planned: 180, Done: 180},
	}}}
	for _, f := range change {
		f(s)
	}
	return s
}

func TestStripsOfSessions(t *testing.T) {
	p, asked := pathway.Default(), day.On(2026, 4, 14)
	strip := func(s *roster.Session) part.Strip { return sessionStrip(s, p, wording.Dates{}, asked, part.Small) }
	s := strip(twoIntervals(func(s *roster.Session) { s.Breath = readiness.Late }))
	require.Equal(t, "Yesterday, in full, breath back after 50 s.", s.Label)
	require.Equal(t, part.Done, s.State)
	require.Equal(t, part.Block{Kind: part.Walk, Planned: 180, Done: 180, Unsettled: 50}, s.Blocks[1])
	require.Equal(t, 180, s.Blocks[3].Unsettled, "no tap: by the answer, late")
	require.Equal(t, 90, strip(twoIntervals(func(s *roster.Session) { s.Breath = readiness.Halfway })).Blocks[3].Unsettled)
	require.Zero(t, strip(twoIntervals()).Blocks[3].Unsettled, "not told is not drawn")
	short := strip(twoIntervals(func(s *roster.Session) { s.Blocks[2].Done, s.Blocks[3].Done = 0, 0 }))
	require.Equal(t, "Yesterday, shortened, 5 min, breath back after 50 s.", short.Label)
	require.Zero(t, short.Blocks[3].Unsettled, "nothing of it was walked after a run")

	missed := strip(twoIntervals(func(s *roster.Session) { s.Blocks, s.Outcome = nil, readiness.Missed }))
	require.Equal(t, part.Missed, missed.State)
	require.Empty(t, missed.Blocks)
	off := strip(twoIntervals(func(s *roster.Session) { s.Outcome = readiness.CalledOff }))
	require.Equal(t, part.CalledOff, off.State)
	byMinutes := strip(twoIntervals(func(s *roster.Session) { s.Blocks, s.Outcome, s.Minutes = nil, readiness.InFull, readiness.Some(31) }))
	require.Len(t, byMinutes.Blocks, 12, "in full, it stands as its phase's plan")
	part20 := strip(twoIntervals(func(s *roster.Session) { s.Blocks, s.Outcome, s.Minutes = nil, readiness.Shortened, readiness.Some(20) }))
	require.Equal(t, []part.Block{{Kind: part.Some, Done: 1200}}, part20.Blocks)
	extra := strip(&roster.Session{Session: readiness.Session{Kind: readiness.Extra, Date: asked, Minutes: readiness.Some(40)}})
	require.Equal(t, part.Outside, extra.State)
	require.Equal(t, "Today, walk outside the plan, 40 min.", extra.Label)
	require.Equal(t, []part.Block{{Kind: part.Walk, Done: 2400}}, extra.Blocks)
}

func TestSessionsInWords(t *testing.T) {
	for words, s := range map[string]readiness.Session{
		"rest day":                     {Kind: readiness.Other, Minutes: readiness.Some(0)},
		"other, 20 min":                {Kind: readiness.Other, Minutes: readiness.Some(20)},
		"strength, 30 min":             {Kind: readiness.Strength, Minutes: readiness.Some(30)},
		"run outside the plan, 10 min": {Kind: readiness.Extra, Blocks: []readiness.Block{{Kind: pathway.Run, Done: 600}}},
		"called off":                   {Outcome: readiness.CalledOff},
		"stopped for pain, 9 min":      {Outcome: readiness.StoppedForPain, Minutes: readiness.Some(9)},
		"not told":                     {},
	} {
		require.Equal(t, words, wording.Session(&roster.Session{Session: s}))
	}
	require.Equal(t, "left shin 4, next morning 2; a limp; pain on a single-leg hop", painWords(&readiness.Session{
		Pain: []readiness.Pain{{Site: "left shin", Score: 4, NextMorning: readiness.Some(2)}}, Limp: true, Signs: []readiness.Sign{readiness.HopPain},
	}))
	require.Equal(t, "none", painWords(&readiness.Session{PainAsked: true}))
	require.Empty(t, painWords(&readiness.Session{}))
}

// Every value of the engine and of the vocabulary has words.
func TestNothingIsWithoutWords(t *testing.T) {
	for why := morning.WhyRefer; why <= morning.WhyIrregular; why++ {
		require.NotEmpty(t, wording.Why(&morning.Row{Why: why}))
		require.NotEmpty(t, whyMark(why))
	}
	for _, name := range readiness.Flag(1<<13 - 1).Names() {
		require.NotEmpty(t, wording.Flag(name), name)
	}
	for _, c := range []roster.Choice{
		roster.MoveUp, roster.Hold, roster.HalfStep, roster.EaseBack, roster.Pause, roster.Resume, roster.Refer, roster.Cleared, roster.Seen,
	} {
		require.NotEmpty(t, choiceWords(c, morning.WhyNone))
		require.NotEmpty(t, choiceHint(c))
		require.NotEmpty(t, wording.Decided(&roster.Decision{Choice: c, To: "L3"}, nil))
	}
	for sign := readiness.ChestPressure; sign <= readiness.GroinDeep; sign++ {
		require.NotEmpty(t, signQuestions[sign])
	}
	for a := readiness.Refer; a <= readiness.Arrived; a++ {
		require.NotEmpty(t, actionWords(a.String()))
	}
}

func TestWhichChoiceFollowsTheProposal(t *testing.T) {
	for _, row := range []struct {
		choice  roster.Choice
		action  string
		follows bool
	}{
		{roster.MoveUp, "move_up", true}, {roster.Hold, "move_up", false}, {roster.Hold, "stay", true}, {roster.Hold, "arrived", true},
		{roster.Seen, "refer", true}, {roster.EaseBack, "stay", false}, {roster.Resume, "pause", true},
	} {
		require.Equal(t, row.follows, follows(row.choice, row.action), "%s for %s", row.choice, row.action)
	}
}
