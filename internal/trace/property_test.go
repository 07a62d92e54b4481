package trace_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// drawOuting is a session of any troubles, with or without what an alignment may go by.
func drawOuting(t *rapid.T) simulate.Outing {
	return simulate.GoOut(rapid.Uint64Range(1, 1_000_000).Draw(t, "seed"), simulate.OutingOptions{
		Plan: drawPlan(t), With: simulate.Trouble(1) << rapid.IntRange(0, 18).Draw(t, "with"), May: simulate.AnyTrouble,
		Speed: rapid.IntRange(0, 3).Draw(t, "speed") == 0, Steps: rapid.IntRange(0, 3).Draw(t, "steps") == 0,
		Laps: rapid.IntRange(0, 3).Draw(t, "laps") == 0, Marks: rapid.IntRange(0, 3).Draw(t, "marks") == 0,
	})
}

// drawPlan is a plan of runs and walks in any order.
func drawPlan(t *rapid.T) []pathway.Block {
	kind := rapid.SampledFrom([]pathway.Kind{pathway.Run, pathway.Walk})
	seconds := rapid.OneOf(rapid.Map(rapid.IntRange(2, 20), func(n int) int { return 15 * n }), rapid.IntRange(1, 400))
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) pathway.Block {
		return pathway.Block{Kind: kind.Draw(t, "kind"), Planned: seconds.Draw(t, "seconds")}
	}), 1, 9).Draw(t, "plan")
}

func around(easy int) trace.Ceilings {
	e := intensity.BPM(easy)
	return trace.Ceilings{Easy: e, EasyLow: e - 5, EasyHigh: e + 5, Hard: e + 20, HardLow: e + 14, HardHigh: e + 26}
}

func TestAReadingHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOuting(t)
		r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		soundReading(t, &r, len(o.Recording.Samples), o.Plan)
	})
}

// soundReading says what holds of any reading.
func soundReading(t require.TestingT, r *trace.Reading, samples int, plan []pathway.Block) {
	require.Len(t, r.Rates, r.Seconds)
	require.LessOrEqual(t, r.Seconds, trace.LongestTime)
	require.Equal(t, samples, r.Samples)
	require.True(t, r.Coverage >= 0 && r.Coverage <= 1, "coverage %v", r.Coverage)
	require.True(t, r.Peak >= 0 && r.Peak <= 250)
	taken := make([]bool, r.Seconds)
	for i, a := range r.Artefacts {
		require.True(t, 0 <= a.From && a.From < a.To && a.To <= r.Seconds, "%v", a)
		require.True(t, i == 0 || r.Artefacts[i-1].To <= a.From, "artefacts in order, none in another")
		for second := a.From; second < a.To; second++ {
			taken[second] = true
		}
	}
	for second, rate := range r.Rates {
		require.Equal(t, taken[second], rate == 0, "a second without a rate has its reason, and only such a one: %d", second)
	}
	require.Len(t, r.Blocks, len(plan))
	for i := range r.Blocks {
		require.Equal(t, plan[i].Kind, r.Blocks[i].Kind)
		require.Equal(t, plan[i].Planned, r.Blocks[i].Planned)
		soundBlock(t, r, i)
	}
	if len(plan) > 0 {
		require.Equal(t, r.Offset, r.Blocks[0].Start)
	}
}

func soundBlock(t require.TestingT, r *trace.Reading, i int) {
	b := &r.Blocks[i]
	require.LessOrEqual(t, b.Start, b.End)
	afterRun := i > 0 && r.Blocks[i-1].Kind == pathway.Run && r.Blocks[i-1].End > r.Blocks[i-1].Start
	if i > 0 {
		require.Equal(t, r.Blocks[i-1].End, b.Start, "ends meet starts")
	}
	if b.Kind == pathway.Run {
		require.Equal(t, trace.NoState, b.State)
		require.Equal(t, trace.NoReason, b.Reason)
		require.True(t, 0 <= b.HardHigh && b.HardHigh <= b.Hard && b.Hard <= b.HardLow && b.HardLow <= b.HardValid, "%+v", *b)
		require.True(t, b.HardValid <= b.Valid && b.HardValid <= max(0, b.End-b.Start-60), "%+v", *b)
		require.LessOrEqual(t, b.Valid, b.End-b.Start)
		return
	}
	window := b.End - b.Start
	if afterRun {
		window = min(window, b.Planned)
	}
	require.True(t, 0 <= b.EasyLow && b.EasyLow <= b.Easy && b.Easy <= b.EasyHigh && b.EasyHigh <= b.Valid && b.Valid <= window, "%+v", *b)
	require.Zero(t, b.HardValid+b.Hard+b.HardLow+b.HardHigh)
	require.Contains(t, []trace.State{trace.Settled, trace.NotSettled, trace.NotAssessable}, b.State)
	require.Equal(t, b.State == trace.NotAssessable, b.Reason != trace.NoReason, "what is not told has a reason, and only that")
	require.True(t, b.Settle == trace.None || b.Settle >= 0 && b.Settle <= window-10, "%+v", *b)
	if b.State == trace.NotAssessable {
		return
	}
	require.True(t, afterRun && window >= 30 && 100*b.Valid >= 80*window, "%+v", *b)
	require.True(t, b.Start+r.Lag < r.Seconds && b.End > 0, "what was not recorded is never told")
	require.Equal(t, b.State == trace.Settled, 2*b.Easy > b.Valid)
}

func TestWhenTheClockBeganDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOuting(t)
		want := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		by := rapid.Int32Range(-900_000_000, 900_000_000).Draw(t, "by")
		for i := range o.Recording.Samples {
			o.Recording.Samples[i].At += by
		}
		for _, seconds := range [][]int32{o.Recording.Laps, o.Recording.Marks} {
			for i := range seconds {
				seconds[i] += by
			}
		}
		require.Equal(t, want, trace.Read(&o.Recording, o.Plan, around(o.Ceiling)))
	})
}

// Ten beats more, for a heart and its ceilings, are the same session: where no steps
// are known, to which a sensor might have locked, and nothing lies at the edge of what
// is a heart rate.
func TestAQuickerHeartUnderAHigherCeilingIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		plan := drawPlan(t)
		o := simulate.GoOut(rapid.Uint64Range(1, 1_000_000).Draw(t, "seed"), simulate.OutingOptions{
			Plan: plan, May: simulate.AnyTrouble &^ (simulate.DryStrap | simulate.Spikes), Speed: rapid.Bool().Draw(t, "speed"),
		})
		want := trace.Read(&o.Recording, plan, around(o.Ceiling))
		by := rapid.Int16Range(-10, 10).Draw(t, "by")
		for i := range o.Recording.Samples {
			if s := &o.Recording.Samples[i]; s.BPM > 0 && s.BPM < 255 {
				s.BPM += by
			}
		}
		got := trace.Read(&o.Recording, plan, around(o.Ceiling+int(by)))
		require.Equal(t, want.Artefacts, got.Artefacts)
		for i := range plan { // in a gap, where it hardly matters, two ends may be as likely as each other
			require.Equal(t, want.Blocks[i].State, got.Blocks[i].State, "block %d", i)
		}
	})
}

func TestALowerCeilingSettlesNobody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOuting(t)
		low := o.Ceiling - rapid.IntRange(1, 30).Draw(t, "lower")
		high := trace.Read(&o.Recording, o.Plan, around(o.Ceiling)).Blocks
		for i, b := range trace.Read(&o.Recording, o.Plan, around(low)).Blocks {
			require.False(t, high[i].State == trace.NotSettled && b.State == trace.Settled, "block %d", i)
			require.LessOrEqual(t, b.Easy, high[i].Easy)
			require.Equal(t, [2]int{high[i].Start, high[i].End}, [2]int{b.Start, b.End}, "a ceiling finds no blocks")
		}
	})
}

// Lines of one second may come in any order, where they do not contradict each other.
func TestTheOrderOfLinesAtOneSecondDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOuting(t)
		dice := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "dice"), 1))
		var lines, shuffled []trace.Sample
		for _, s := range o.Recording.Samples {
			group := []trace.Sample{s}
			for range dice.IntN(4) / 2 {
				group = append(group, s, trace.Sample{At: s.At, Speed: trace.Unknown, Steps: trace.Unknown})
			}
			lines = append(lines, group...)
			dice.Shuffle(len(group), func(i, j int) { group[i], group[j] = group[j], group[i] })
			shuffled = append(shuffled, group...)
		}
		one, other := o.Recording, o.Recording
		one.Samples, other.Samples = lines, shuffled
		require.Equal(t, trace.Read(&one, o.Plan, around(o.Ceiling)), trace.Read(&other, o.Plan, around(o.Ceiling)))
	})
}

func TestReadChangesNothingOfWhatItReads(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawOuting(t)
		before := trace.Recording{Samples: slices.Clone(o.Recording.Samples), Laps: slices.Clone(o.Recording.Laps), Marks: slices.Clone(o.Recording.Marks)}
		once := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.Equal(t, before, o.Recording)
		require.Equal(t, once, trace.Read(&o.Recording, o.Plan, around(o.Ceiling)), "twice is the same")
	})
}
