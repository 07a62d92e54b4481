package httpd

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/part"
)

func TestNumbersAsWords(t *testing.T) {
	for n, words := range map[int]string{
		0: "no", 1: "one", 12: "twelve", 13: "thirteen", 19: "nineteen", 20: "twenty", 22: "twenty-two", 99: "ninety-nine", 100: "100",
	} {
		require.Equal(t, words, number(n))
	}
	for n, words := range map[int]string{1: "first", 12: "twelfth", 13: "13th", 21: "21st", 22: "22nd", 23: "23rd", 111: "111th", 112: "112th", 101: "101st"} {
		require.Equal(t, words, ordinal(n))
	}
	require.Equal(t, "Ärger", capital("ärger"))
	require.Empty(t, capital(""))
}

func TestTheLeadSentence(t *testing.T) {
	rows := func(n int) []*morning.Row { return make([]*morning.Row, n) }
	for _, row := range []struct {
		decide, steady, quiet, away int
		lead, sub                   string
	}{
		{0, 0, 0, 0, "Nobody is here yet. Add the first athlete.", ""},
		{4, 22, 3, 0, "Four people need a decision from you. Twenty-two are going steadily.", "Three have not logged anything for a week."},
		{1, 1, 1, 1, "One person needs a decision from you. One is going steadily.", "One has not logged anything for a week. One is away."},
		{0, 5, 0, 2, "Nobody needs a decision from you today. Five are going steadily.", "Two are away."},
		{2, 0, 0, 0, "Two people need a decision from you.", ""},
	} {
		m := &morning.Morning{Decide: rows(row.decide), Steady: rows(row.steady), Quiet: rows(row.quiet), Away: rows(row.away)}
		require.Equal(t, []string{row.lead, row.sub}, []string{leadWords(m), subWords(m)})
	}
}

func TestDatesInTheReadersForm(t *testing.T) {
	asked := day.On(2026, 4, 14)
	here, there := dates{}, dates{monthFirst: true}
	require.Equal(t, []string{"14 April", "April 14"}, []string{here.day(asked, asked), there.day(asked, asked)})
	require.Equal(t, []string{"31 December 2025", "December 31, 2025"}, []string{here.day(day.On(2025, 12, 31), asked), there.day(day.On(2025, 12, 31), asked)})
	require.Equal(t, []string{"Tuesday 14 April", "Tuesday, April 14"}, []string{here.full(asked, asked), there.full(asked, asked)})
	require.Equal(t, []string{"14 Apr", "Apr 14"}, []string{here.short(asked), there.short(asked)})
	for ago, words := range map[day.Date]string{0: "today", 1: "yesterday", -1: "tomorrow", 2: "Sunday", 6: "Wednesday", 7: "7 April", -6: "Monday", -7: "21 April"} {
		require.Equal(t, words, here.near(asked-ago, asked))
	}
	require.Equal(t, []string{"today", "on Sunday", "on 7 April"}, []string{here.when(asked, asked), here.when(asked-2, asked), here.when(asked-7, asked)})
	require.Equal(t, "6 to 12 April", here.span(asked-8, asked-2, asked))
	require.Equal(t, "30 March to 5 April", here.span(day.On(2026, 3, 30), day.On(2026, 4, 5), asked))
	require.Equal(t, "28 December 2026 to 3 January 2027", here.span(day.On(2026, 12, 28), day.On(2027, 1, 3), day.On(2028, 1, 3)))
	require.Empty(t, here.day(0, asked))
	at := time.Date(2026, 4, 14, 6, 10, 0, 0, time.UTC)
	require.Equal(t, []string{"06:10", "6:10 am"}, []string{here.clockTime(at, time.UTC), there.clockTime(at, time.UTC)})
	for header, first := range map[string]bool{"": false, "en-GB,en-US;q=0.8": false, "en-US": true, "en-us;q=0.9, de": true, "de": false} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Language", header)
		require.Equal(t, first, datesFor(r).monthFirst, header)
	}
	for words, near := range map[string]string{
		"Sunday’s session": "Sunday", "yesterday’s session": "yesterday", "the session of 14 April": "14 April", "the session of April 14": "April 14",
	} {
		require.Equal(t, words, sessionOf(near))
	}
}

func TestPhasesInWords(t *testing.T) {
	p := pathway.Default()
	for id, words := range map[string]string{
		"B1": "Walking base, phase 1 of 4", "L3": "Walk-led, phase 3 of 4", "R7": "Run-led, phase 7 of 7", "L3-": "Walk-led, half step before phase 3 of 4",
	} {
		require.Equal(t, words, phaseWords(p, p.Find(id)))
	}
	require.Equal(t, "Not on the pathway", phaseWords(p, pathway.NoRung))
	shelf := &roster.Shelf{Pathway: *p}
	require.Equal(t, "walk-led, phase 3 of 4", phaseNamed(shelf, "L3"))
	require.Equal(t, "X9", phaseNamed(shelf, "X9"))
	require.Equal(t, "X9", phaseNamed(nil, "X9"))
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
	strip := func(s *roster.Session) part.Strip { return sessionStrip(s, p, dates{}, asked, part.Small) }
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
		require.Equal(t, words, sessionWords(&roster.Session{Session: s}))
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
		require.NotEmpty(t, whyTitle(&morning.Row{Why: why}))
		require.NotEmpty(t, whyMark(why))
	}
	for _, name := range readiness.Flag(1<<13 - 1).Names() {
		require.NotEmpty(t, flagWords[name], name)
	}
	for _, c := range []roster.Choice{
		roster.MoveUp, roster.Hold, roster.HalfStep, roster.EaseBack, roster.Pause, roster.Resume, roster.Refer, roster.Cleared, roster.Seen,
	} {
		require.NotEmpty(t, choiceWords(c, morning.WhyNone))
		require.NotEmpty(t, choiceHint(c))
		require.NotEmpty(t, decidedWords(&roster.Decision{Choice: c, To: "L3"}, nil))
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
