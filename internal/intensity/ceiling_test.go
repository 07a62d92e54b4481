package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
)

func TestEasyCeilingByOrderOfTrust(t *testing.T) {
	for _, c := range []struct {
		person intensity.Person
		want   intensity.Ceiling
		why    string
	}{
		{intensity.Person{Age: 40, Resting: 60, MeasuredMax: 180, TalkTest: 141},
			intensity.Ceiling{BPM: 141, SD: 5000, Source: intensity.FromTalkTest}, "a talk test before all else"},
		{intensity.Person{Age: 40, Resting: 60, MeasuredMax: 180},
			intensity.Ceiling{BPM: 132, SD: 1800, Source: intensity.FromReserve}, "60 % of the reserve"},
		{intensity.Person{Age: 40, MeasuredMax: 180},
			intensity.Ceiling{BPM: 136, SD: 2280, Source: intensity.FromMeasured}, "76 % of 180 is 136.8"},
		{intensity.Person{Age: 40, Resting: 60},
			intensity.Ceiling{BPM: 140, SD: 8208, Source: intensity.FromPredicted},
			"a resting rate alone makes no reserve: 76 % of Nes's 185.4 is 140.904"},
		{intensity.Person{Age: 40, Formula: intensity.Zhu},
			intensity.Ceiling{BPM: 131, SD: 8208, Source: intensity.FromPredicted, Formula: intensity.Zhu},
			"the coach's formula: 76 % of 173 is 131.48"},
		{intensity.Person{Age: 55, Formula: intensity.Zhu},
			intensity.Ceiling{BPM: 133, SD: 8208, Source: intensity.FromPredicted},
			"no formula past its ages: 76 % of Nes's 175.8 is 133.608"},
		{intensity.Person{MeasuredMax: 175},
			intensity.Ceiling{BPM: 133, SD: 2280, Source: intensity.FromMeasured}, "76 % of 175 is 133 exactly"},
		{intensity.Person{MeasuredMax: 110, Resting: 115},
			intensity.Ceiling{BPM: 83, SD: 2280, Source: intensity.FromMeasured}, "no reserve where rest is above the maximum"},
	} {
		got, ok := c.person.Easy()
		require.True(t, ok, c.why)
		require.Equal(t, c.want, got, c.why)
	}
}

func TestNoCeilingFromNothing(t *testing.T) {
	for _, p := range []intensity.Person{{}, {Resting: 60}, {Age: 17}, {Age: 111}} {
		_, ok := p.Easy()
		require.False(t, ok)
		_, ok = p.Hard()
		require.False(t, ok)
	}
}

func TestHardCeiling(t *testing.T) {
	for _, c := range []struct {
		person intensity.Person
		want   intensity.Ceiling
		why    string
	}{
		{intensity.Person{Resting: 60, MeasuredMax: 180},
			intensity.Ceiling{BPM: 150, SD: 2250, Source: intensity.FromReserve}, "75 % of the reserve"},
		{intensity.Person{MeasuredMax: 180},
			intensity.Ceiling{BPM: 154, SD: 2580, Source: intensity.FromMeasured}, "86 % of 180 is 154.8"},
		{intensity.Person{Age: 40, TalkTest: 141},
			intensity.Ceiling{BPM: 159, SD: 9288, Source: intensity.FromPredicted}, "86 % of 185.4 is 159.444"},
		{intensity.Person{Age: 40, TalkTest: 165},
			intensity.Ceiling{BPM: 165, SD: 5000, Source: intensity.FromTalkTest}, "never under the easy ceiling"},
	} {
		got, ok := c.person.Hard()
		require.True(t, ok, c.why)
		require.Equal(t, c.want, got, c.why)
	}
	_, ok := intensity.Person{TalkTest: 140}.Hard()
	require.False(t, ok, "a talk test alone says nothing of hard")
}

// One standard deviation of a predicted maximum moves the ceiling of somebody
// whose maximum is 180 to about 127 or 143 (computed): the reason for rule 3.4.
func TestCeilingOneDeviationLowerAndHigher(t *testing.T) {
	c := intensity.Ceiling{BPM: 135, SD: 8208}
	require.Equal(t, intensity.BPM(126), c.Low())
	require.Equal(t, intensity.BPM(143), c.High())
	whole := intensity.Ceiling{BPM: 141, SD: intensity.TalkTestSD}
	require.Equal(t, intensity.BPM(136), whole.Low())
	require.Equal(t, intensity.BPM(146), whole.High())
}

// The top of zone 1, rounded down, is the last whole rate in zone 1.
func TestEasyCeilingIsTheLastRateOfZone1(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		max := intensity.BPM(rapid.IntRange(100, 230).Draw(t, "max"))
		rest := intensity.BPM(rapid.IntRange(30, 99).Draw(t, "rest"))
		c, ok := intensity.Person{MeasuredMax: max}.Easy()
		require.True(t, ok)
		require.Equal(t, intensity.Zone1, intensity.ZoneOfMax(c.BPM.Milli(), max.Milli()))
		require.Equal(t, intensity.Zone2, intensity.ZoneOfMax((c.BPM+1).Milli(), max.Milli()))
		c, ok = intensity.Person{MeasuredMax: max, Resting: rest}.Easy()
		require.True(t, ok)
		require.Equal(t, intensity.Zone1, intensity.ZoneOfReserve(c.BPM.Milli(), rest.Milli(), max.Milli()))
		require.NotEqual(t, intensity.Zone1, intensity.ZoneOfReserve((c.BPM+1).Milli(), rest.Milli(), max.Milli()))
	})
}

func TestPredictedCeilingIsTheLastRateOfZone1(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom([]intensity.Formula{intensity.Nes, intensity.Fox, intensity.Tanaka,
			intensity.Gellish, intensity.GellishQuadratic, intensity.Zhu}).Draw(t, "formula")
		from, to := f.Ages()
		age := rapid.IntRange(from, to).Draw(t, "age")
		max, _ := f.Max(age)
		c, ok := intensity.Person{Age: age, Formula: f}.Easy()
		require.True(t, ok)
		require.Equal(t, f, c.Formula)
		require.Equal(t, intensity.Zone1, intensity.ZoneOfMax(c.BPM.Milli(), max))
		require.Equal(t, intensity.Zone2, intensity.ZoneOfMax((c.BPM+1).Milli(), max))
	})
}

func TestHardIsNeverUnderEasy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := intensity.Person{
			Age:         rapid.IntRange(18, 110).Draw(t, "age"),
			Resting:     intensity.BPM(rapid.IntRange(0, 120).Draw(t, "rest")),
			MeasuredMax: intensity.BPM(rapid.SampledFrom([]int{0, 100, 130, 180, 230}).Draw(t, "max")),
			TalkTest:    intensity.BPM(rapid.SampledFrom([]int{0, 60, 140, 220}).Draw(t, "talk test")),
		}
		easy, ok := p.Easy()
		require.True(t, ok)
		hard, ok := p.Hard()
		require.True(t, ok)
		require.GreaterOrEqual(t, hard.BPM, easy.BPM)
		require.LessOrEqual(t, easy.Low(), easy.BPM)
		require.GreaterOrEqual(t, easy.High(), easy.BPM)
	})
}

func TestNewCeilingHoldsFromItsDateOn(t *testing.T) {
	first := intensity.Ceiling{BPM: 140, SD: 8208, Source: intensity.FromPredicted}
	second := intensity.Ceiling{BPM: 133, SD: 5000, Source: intensity.FromTalkTest}
	third := intensity.Ceiling{BPM: 136, SD: 5000, Source: intensity.FromTalkTest}
	before := intensity.History{}.With(intensity.Dated{From: 100, Ceiling: first})
	h := before.With(intensity.Dated{From: 120, Ceiling: second})
	for _, c := range []struct {
		on   day.Date
		want intensity.Ceiling
		ok   bool
		why  string
	}{
		{99, intensity.Ceiling{}, false, "before the first"},
		{100, first, true, "on its date"},
		{119, first, true, "older sessions keep theirs"},
		{120, second, true, "from its date on"},
		{9999, second, true, "and ever after"},
	} {
		got, ok := h.On(c.on)
		require.Equal(t, c.ok, ok, c.why)
		require.Equal(t, c.want, got, c.why)
	}
	got, _ := before.On(9999)
	require.Equal(t, first, got, "adding one changes no other history")
	got, _ = h.With(intensity.Dated{From: 120, Ceiling: third}).On(120)
	require.Equal(t, third, got, "the last of a date holds")
	got, _ = h.With(intensity.Dated{From: 110, Ceiling: third}).On(119)
	require.Equal(t, third, got, "one told late holds from its own date")
}

func TestMaxAsItIsThought(t *testing.T) {
	for _, c := range []struct {
		person   intensity.Person
		max      intensity.Milli
		measured bool
		ok       bool
		why      string
	}{
		{intensity.Person{Age: 41}, 184_760, false, true, "211 − 0.64·41"},
		{intensity.Person{Age: 41, Formula: intensity.Fox}, 179_000, false, true, "the coach's formula"},
		{intensity.Person{Age: 55, Formula: intensity.Zhu}, 175_800, false, true, "past its ages: Nes"},
		{intensity.Person{Age: 41, MeasuredMax: 176}, 176_000, true, true, "measured before predicted, though lower"},
		{intensity.Person{MeasuredMax: 176, TalkTest: 120, Resting: 50}, 176_000, true, true, "an age is not needed"},
		{intensity.Person{TalkTest: 120, Resting: 50}, 0, false, false, "nothing says"},
	} {
		max, measured, ok := c.person.Max()
		require.Equal(t, c.ok, ok, c.why)
		require.Equal(t, c.measured, measured, c.why)
		if ok {
			require.Equal(t, c.max, max, c.why)
		}
	}
}
