package wording_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
)

func TestNumbersAsWords(t *testing.T) {
	for n, words := range map[int]string{
		0: "no", 1: "one", 12: "twelve", 13: "thirteen", 19: "nineteen", 20: "twenty", 22: "twenty-two", 99: "ninety-nine", 100: "100",
	} {
		require.Equal(t, words, wording.Number(n))
	}
	for n, words := range map[int]string{1: "first", 12: "twelfth", 13: "13th", 21: "21st", 22: "22nd", 23: "23rd", 111: "111th", 112: "112th", 101: "101st"} {
		require.Equal(t, words, wording.Ordinal(n))
	}
	require.Equal(t, "Ärger", wording.Capital("ärger"))
	require.Empty(t, wording.Capital(""))
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
		require.Equal(t, []string{row.lead, row.sub}, []string{wording.Lead(m), wording.Sub(m)})
	}
}

func TestDatesInTheReadersForm(t *testing.T) {
	asked := day.On(2026, 4, 14)
	here, there := wording.Dates{}, wording.Dates{MonthFirst: true}
	require.Equal(t, []string{"14 April", "April 14"}, []string{here.Day(asked, asked), there.Day(asked, asked)})
	require.Equal(t, []string{"31 December 2025", "December 31, 2025"}, []string{here.Day(day.On(2025, 12, 31), asked), there.Day(day.On(2025, 12, 31), asked)})
	require.Equal(t, []string{"Tuesday 14 April", "Tuesday, April 14"}, []string{here.Full(asked, asked), there.Full(asked, asked)})
	require.Equal(t, []string{"14 Apr", "Apr 14"}, []string{here.Short(asked), there.Short(asked)})
	for ago, words := range map[day.Date]string{0: "today", 1: "yesterday", -1: "tomorrow", 2: "Sunday", 6: "Wednesday", 7: "7 April", -6: "Monday", -7: "21 April"} {
		require.Equal(t, words, here.Near(asked-ago, asked))
	}
	require.Equal(t, []string{"today", "on Sunday", "on 7 April"}, []string{here.When(asked, asked), here.When(asked-2, asked), here.When(asked-7, asked)})
	require.Equal(t, "6 to 12 April", here.Span(asked-8, asked-2, asked))
	require.Equal(t, "30 March to 5 April", here.Span(day.On(2026, 3, 30), day.On(2026, 4, 5), asked))
	require.Equal(t, "28 December 2026 to 3 January 2027", here.Span(day.On(2026, 12, 28), day.On(2027, 1, 3), day.On(2028, 1, 3)))
	require.Empty(t, here.Day(0, asked))
	at := time.Date(2026, 4, 14, 6, 10, 0, 0, time.UTC)
	require.Equal(t, []string{"06:10", "6:10 am"}, []string{here.Clock(at, time.UTC), there.Clock(at, time.UTC)})
}

func TestPhasesInWords(t *testing.T) {
	p := pathway.Default()
	for id, words := range map[string]string{
		"B1": "Walking base, phase 1 of 4", "L3": "Walk-led, phase 3 of 4", "R7": "Run-led, phase 7 of 7", "L3-": "Walk-led, half step before phase 3 of 4",
	} {
		require.Equal(t, words, wording.Phase(p, p.Find(id)))
	}
	require.Equal(t, "Not on the pathway", wording.Phase(p, pathway.NoRung))
	shelf := &roster.Shelf{Pathway: *p}
	require.Equal(t, "walk-led, phase 3 of 4", wording.PhaseNamed(shelf, "L3"))
	require.Equal(t, "X9", wording.PhaseNamed(shelf, "X9"))
	require.Equal(t, "X9", wording.PhaseNamed(nil, "X9"))
}

// Every value of the engine and of the vocabulary has words.
func TestNothingIsWithoutWords(t *testing.T) {
	for why := morning.WhyRefer; why <= morning.WhyIrregular; why++ {
		require.NotEqual(t, wording.Why(&morning.Row{}), wording.Why(&morning.Row{Why: why}))
	}
	for _, name := range readiness.Flag(1<<13 - 1).Names() {
		require.NotEmpty(t, wording.Flag(name), name)
	}
	for _, c := range []roster.Choice{roster.MoveUp, roster.Hold, roster.HalfStep, roster.EaseBack, roster.Pause, roster.Resume, roster.Refer, roster.Cleared} {
		require.NotEqual(t, "seen", wording.Decided(&roster.Decision{Choice: c, To: "L3"}, nil))
	}
}

// A deputy reads nothing of what somebody answered about health.
func TestWhoIsComingInAsADeputyReadsIt(t *testing.T) {
	row := &morning.Row{Asked: day.On(2026, 4, 14), Coming: morning.Coming{Kind: morning.Clearing, Since: day.On(2026, 4, 13)}}
	require.Equal(t, wording.Status{What: "Waits for a doctor", Since: "yesterday", Words: "Nothing is prescribed until a clearance is recorded."}, wording.Coming(row, wording.Dates{}, true))
	require.Equal(t, wording.Status{What: "Answered", Since: "yesterday", Words: "A coach sees to it."}, wording.Coming(row, wording.Dates{}, false))
}
