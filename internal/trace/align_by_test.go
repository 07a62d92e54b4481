package trace_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

const sixRepeats = "walk 5:00, 6x(run 2:00, walk 3:00), walk 4:00"

// outing is a session of an ordinary heart, as planned.
func outing(t *testing.T, seed uint64, plan string, o simulate.OutingOptions) simulate.Outing {
	t.Helper()
	o.Plan, o.Heart, o.Ceiling = planOf(t, plan), plain, 135
	return simulate.GoOut(8_610_000+seed, o)
}

func boundsOf(r *trace.Reading) (bounds []int) {
	for _, b := range r.Blocks {
		bounds = append(bounds, b.Start)
	}
	return append(bounds, r.Blocks[len(r.Blocks)-1].End)
}

func trueBounds(o *simulate.Outing) (bounds []int) {
	for _, b := range o.Blocks {
		bounds = append(bounds, b.Start)
	}
	return append(bounds, o.Blocks[len(o.Blocks)-1].End)
}

// near says that each of the bounds is at most so many seconds from where it was.
func near(t *testing.T, want, got []int, most float64, why string) {
	t.Helper()
	require.Len(t, got, len(want), why)
	for i := range want {
		require.InDelta(t, want[i], got[i], most, "%s: bound %d", why, i)
	}
}

func TestMarksAreTakenAsTheyAre(t *testing.T) {
	o := outing(t, 1, sixRepeats, simulate.OutingOptions{})
	right := make([]int32, 0, 15)
	for _, at := range trueBounds(&o) {
		right = append(right, int32(at))
	}
	wrong := []int32{-40, 10, 20, 20, 500, 600, 700, 800, 900, 1000, 1100, 1200, 1300, 1400, 5000}
	for _, c := range []struct {
		why   string
		marks []int32
		by    trace.Alignment
	}{
		{"where blocks really began", right, trace.ByMarks},
		{"wherever they lie", wrong, trace.ByMarks},
		{"not with one missing", right[:14], trace.ByHeart},
		{"not with one too many", append(right[:15:15], 3000), trace.ByHeart},
		{"not where they go back", append([]int32{300}, right[:14]...), trace.ByHeart},
	} {
		o.Recording.Marks = c.marks
		r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.Equal(t, c.by, r.By, c.why)
		if c.by == trace.ByMarks {
			for i, at := range boundsOf(&r) {
				require.Equal(t, int(c.marks[i]), at, c.why)
			}
		}
	}
}

// A sensor that is late is made up for where the marks tell when walks began, if it is
// plain by how much, and never by much more (evidence, section 19.9: 5 to 15 s).
func TestALateSensorIsMadeUpFor(t *testing.T) {
	const late, seeds = 15, 20
	madeUpFor := 0
	for seed := range uint64(seeds) {
		o := outing(t, seed, sixRepeats, simulate.OutingOptions{Marks: true})
		onTime := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.Zero(t, onTime.Lag, "seed %d", seed)
		for i := len(o.Recording.Samples) - 1; i >= late; i-- {
			o.Recording.Samples[i].BPM = o.Recording.Samples[i-late].BPM
		}
		r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.LessOrEqual(t, r.Lag, late+3, "seed %d", seed)
		if r.Lag < late-3 {
			continue
		}
		madeUpFor++
		require.Contains(t, r.Warnings[len(r.Warnings)-1], "late")
		for i, b := range r.Blocks[:len(r.Blocks)-1] {
			require.InDelta(t, onTime.Blocks[i].Easy, b.Easy, 4, "seed %d block %d", seed, i)
		}
	}
	require.GreaterOrEqual(t, 10*madeUpFor, 8*seeds)
}

func TestLapsAreTakenWhereTheyFit(t *testing.T) {
	for seed := range uint64(10) {
		o := outing(t, seed, sixRepeats, simulate.OutingOptions{Laps: true, With: simulate.OffBeat | simulate.ShiftedStart})
		r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.Equal(t, len(o.Recording.Laps) >= 11, r.By == trace.ByLaps, "seed %d: %d of 14 pressed", seed, len(o.Recording.Laps))
		walksBegin(t, &o, &r, 12)
		o = outing(t, seed, sixRepeats, simulate.OutingOptions{AutoLaps: true, With: simulate.OffBeat})
		r = trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		require.Equal(t, trace.ByHeart, r.By, "seed %d: laps of a distance have nothing to do with the plan", seed)
		o.Recording.Laps = nil
		without := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		near(t, boundsOf(&without), boundsOf(&r), 6, "laps of a distance change next to nothing")
	}
}

// walksBegin says that each recorded walk after a run begins at most so many seconds
// from where it really did.
func walksBegin(t *testing.T, o *simulate.Outing, r *trace.Reading, most float64) {
	t.Helper()
	for i, b := range o.Blocks {
		if counts(&b) && b.Start > 0 {
			require.InDelta(t, b.Start, r.Blocks[i].Start, most, "%v: block %d", o.Troubles, i)
		}
	}
}

func TestSpeedAndSteps(t *testing.T) {
	bySpeed := 0
	for seed := range uint64(20) {
		for _, troubles := range []simulate.Trouble{simulate.ShiftedStart | simulate.OffBeat, simulate.LeftOut, simulate.Wrist} {
			o := outing(t, seed, sixRepeats, simulate.OutingOptions{Steps: true, With: troubles})
			r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
			require.Equal(t, trace.BySpeed, r.By, "nobody walks with the steps of a run")
			walksBegin(t, &o, &r, 8)
		}
		o := outing(t, seed, sixRepeats, simulate.OutingOptions{Speed: true, With: simulate.ShiftedStart | simulate.OffBeat})
		r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
		walksBegin(t, &o, &r, 12)
		if r.By == trace.BySpeed {
			bySpeed++
		} else {
			require.Equal(t, trace.ByHeart, r.By, "some run hardly faster than they walk")
		}
	}
	require.GreaterOrEqual(t, bySpeed, 16)
}

// Speed that is the same in runs and in walks, as of somebody on a treadmill, says
// nothing: the heart does.
func TestSpeedThatTellsNothing(t *testing.T) {
	o := outing(t, 3, sixRepeats, simulate.OutingOptions{})
	for i := range o.Recording.Samples {
		o.Recording.Samples[i].Speed = int16(170 + i%20)
	}
	r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
	require.Equal(t, trace.ByHeart, r.By)
	near(t, trueBounds(&o)[:14], boundsOf(&r)[:14], 10, "by the heart")
}

// Where the heart shows no changes, the plan's own times are taken, and nothing is
// said that would be otherwise had the plan begun up to 150 s before or after.
func TestAFlatHeart(t *testing.T) {
	plan := planOf(t, "walk 5:00, 6x(run 2:00, walk 3:00), walk 5:00")
	recorded := func(rate func(second int) int16) trace.Recording {
		var r trace.Recording
		for second := range 2401 {
			r.Samples = append(r.Samples, trace.Sample{At: int32(second), BPM: rate(second), Speed: trace.Unknown, Steps: trace.Unknown})
		}
		return r
	}
	wave := func(second int) int16 { return int16(second / 3 % 2) }
	for _, c := range []struct {
		why  string
		rate func(second int) int16
	}{
		{"under the ceiling all the time", func(s int) int16 { return 120 + wave(s) }},
		{"above it all the time", func(s int) int16 { return 140 + wave(s) }},
		{"over it from the middle on", func(s int) int16 { return 133 + 3*int16(s/1200) + wave(s) }},
	} {
		r := recorded(c.rate)
		read := trace.Read(&r, plan, around(135))
		require.Equal(t, trace.ByPlan, read.By, c.why)
		require.Zero(t, read.Offset, c.why)
		require.Len(t, read.Warnings, 1, c.why)
		require.Contains(t, read.Warnings[0], "plan's own times")
		for i := 2; i < 14; i += 2 {
			b := read.Blocks[i]
			require.Equal(t, trace.NotAssessable, b.State, "%s: whose heart is as calm in runs as in walks did something else", c.why)
			require.Equal(t, trace.Unclear, b.Reason, c.why)
		}
	}
}

// With hardly a heart rate there is nothing to find blocks by.
func TestAHeartThatIsHardlyKnown(t *testing.T) {
	o := outing(t, 4, sixRepeats, simulate.OutingOptions{})
	for i := range o.Recording.Samples {
		if i%600 > 270 {
			o.Recording.Samples[i].BPM = 0
		}
	}
	r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
	require.Equal(t, trace.ByPlan, r.By)
	require.Less(t, r.Coverage, 0.5)
}

// A plan of one kind has nothing to find.
func TestAPlanOfOneKind(t *testing.T) {
	o := outing(t, 5, sixRepeats, simulate.OutingOptions{})
	for _, plan := range [][]pathway.Block{planOf(t, "walk 30:00"), planOf(t, "run 12:00, run 18:00")} {
		r := trace.Read(&o.Recording, plan, around(o.Ceiling))
		require.Equal(t, trace.ByPlan, r.By)
		require.Empty(t, r.Warnings)
		require.Zero(t, r.Blocks[0].Start)
		require.Equal(t, 1800, r.Blocks[len(plan)-1].End)
	}
	require.Empty(t, trace.Read(&o.Recording, nil, around(o.Ceiling)).Blocks, "no plan, no blocks")
}

// A plan longer than any recording is not looked for: it would take long.
func TestAPlanOfDays(t *testing.T) {
	o := outing(t, 6, sixRepeats, simulate.OutingOptions{Steps: true})
	r := trace.Read(&o.Recording, planOf(t, "3x(run 120:00, walk 120:00)"), around(o.Ceiling))
	require.NotEqual(t, trace.ByPlan, r.By, "twelve hours are")
	r = trace.Read(&o.Recording, planOf(t, "3x(run 120:00, walk 120:00), run 1"), around(o.Ceiling))
	require.Equal(t, trace.ByPlan, r.By)
}

// Where more than half is lost, the plan's own times are taken, and a walk is told
// only if it would be told the same had the plan begun up to 150 s earlier or later.
func TestAWalkByThePlanAlone(t *testing.T) {
	plan := planOf(t, "walk 5:00, run 2:00, walk 1:00, walk 10:00")
	for _, c := range []struct {
		why      string
		from, to int // seconds above the ceiling; the walk begins at 420
		state    trace.State
	}{
		{"none", 0, 0, trace.NotAssessable}, // begun 60 s later it would have been lost
		{"where it would be, begun 90 to 120 s early", 320, 360, trace.NotAssessable},
		{"lost to the end, yet the same whenever it began", 0, 0, trace.Settled},
	} {
		var r trace.Recording
		last := 520
		if c.state == trace.Settled {
			last = 640
		}
		for second := range 1400 {
			rate := int16(133 + second/3%2)
			switch {
			case second < 100:
				rate -= int16(25 - second/4)
			case second >= c.from && second < c.to:
				rate += 10
			case second > last:
				rate = 0
			}
			r.Samples = append(r.Samples, trace.Sample{At: int32(second), BPM: rate, Speed: trace.Unknown, Steps: trace.Unknown})
		}
		read := trace.Read(&r, plan, around(135))
		require.Equal(t, trace.ByPlan, read.By, c.why)
		require.Equal(t, c.state, read.Blocks[2].State, c.why)
	}
}
