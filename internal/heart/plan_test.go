package heart

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// both are ceilings that are known.
func both() ceilings {
	return ceilings{
		easy: intensity.Ceiling{BPM: 130, SD: 5000, Source: intensity.FromTalkTest},
		hard: intensity.Ceiling{BPM: 158, SD: 9000, Source: intensity.FromPredicted},
	}
}

// runAndWalk is a session of one run and one walk, with the reading of it.
func runAndWalk() (roster.Session, trace.Reading) {
	var s roster.Session
	s.Blocks = []readiness.Block{{Kind: pathway.Run, Planned: 120, Done: 120}, {Kind: pathway.Walk, Planned: 180, Done: 180}}
	return s, trace.Reading{Blocks: []trace.Block{
		{Kind: pathway.Run, Planned: 120, Start: 0, End: 120, Valid: 120, HardValid: 60, Hard: 20, HardLow: 30, HardHigh: 10},
		{Kind: pathway.Walk, Planned: 180, Start: 120, End: 300, Valid: 170, Easy: 120, EasyLow: 100, EasyHigh: 140, State: trace.Settled},
	}}
}

func TestWhatIsShownOfBlocks(t *testing.T) {
	run, walk := heart(60, 20, 30, 10), heart(170, 120, 100, 140)
	none := readiness.Heart{}
	for _, k := range []struct {
		why       string
		change    func(s *roster.Session, r *trace.Reading, c *ceilings)
		run, walk readiness.Heart
	}{
		{"as it was found", func(*roster.Session, *trace.Reading, *ceilings) {}, run, walk},
		{"no easy ceiling: nothing of walks", func(_ *roster.Session, _ *trace.Reading, c *ceilings) { c.easy = intensity.Ceiling{} }, run, none},
		{"no zone 2 ceiling: nothing of runs", func(_ *roster.Session, _ *trace.Reading, c *ceilings) { c.hard = intensity.Ceiling{} }, none, walk},
		{"unclear: nothing of the walk nor of the run beside it", func(_ *roster.Session, r *trace.Reading, _ *ceilings) { r.Blocks[1].Reason = trace.Unclear }, none, none},
		{"left out, says the recording", func(_ *roster.Session, r *trace.Reading, _ *ceilings) { r.Blocks[1].Reason = trace.NotDone }, run, none},
		{"the run was not found: the walk follows none", func(_ *roster.Session, r *trace.Reading, _ *ceilings) {
			r.Blocks[0].End, r.Blocks[1].Reason = 0, trace.FollowsNoRun
		}, none, none},
		{"no ceiling then", func(_ *roster.Session, r *trace.Reading, _ *ceilings) { r.Blocks[1].Reason = trace.NoCeiling }, run, none},
		{"too little of it: rule 3.3 sees that by itself", func(_ *roster.Session, r *trace.Reading, _ *ceilings) {
			r.Blocks[1].Valid, r.Blocks[1].Easy, r.Blocks[1].EasyLow, r.Blocks[1].EasyHigh, r.Blocks[1].Reason = 40, 20, 10, 30, trace.TooLittle
		}, run, heart(40, 20, 10, 30)},
		{"none of it was recorded", func(_ *roster.Session, r *trace.Reading, _ *ceilings) {
			r.Blocks[1].Valid, r.Blocks[1].Easy, r.Blocks[1].EasyLow, r.Blocks[1].EasyHigh, r.Blocks[1].Reason = 0, 0, 0, 0, trace.NotRecorded
		}, run, heart(0, 0, 0, 0)},
		{"more than was done is no more than was done", func(s *roster.Session, _ *trace.Reading, _ *ceilings) {
			s.Blocks[0].Done, s.Blocks[1].Done = 15, 90 // the reading found more
		}, heart(15, 15, 15, 10), heart(90, 60, 60, 60)},
	} {
		s, r := runAndWalk()
		c := both()
		r.Rates = make([]int16, 300)
		for i := range r.Rates {
			r.Rates[i] = 150
			if i >= 150 {
				r.Rates[i] = 120
			}
		}
		k.change(&s, &r, &c)
		told := s.Blocks[0].Done
		shown := done(s.Blocks).show(s, &r, c)
		require.Equal(t, k.run, shown.Blocks[0].Heart, "the run: %s", k.why)
		require.Equal(t, k.walk, shown.Blocks[1].Heart, "the walk: %s", k.why)
		require.Equal(t, told, shown.Blocks[0].Done)
		require.Equal(t, none, s.Blocks[1].Heart, "the session itself stays as it was")
	}
}

// A walk that went on longer than planned is judged by its planned part (rule 3.1).
func TestALongWalkIsJudgedByItsPlannedPart(t *testing.T) {
	s, r := runAndWalk()
	s.Blocks[1].Done = 600
	r.Blocks[1] = trace.Block{Kind: pathway.Walk, Planned: 600, Start: 120, End: 720, Valid: 600, Easy: 480, EasyLow: 470, EasyHigh: 490}
	for at := range 720 {
		rate := int16(160)
		switch {
		case at >= 220: // 100 s into the walk
			rate = 124
		case at >= 210:
			rate = 129
		case at >= 200:
			rate = 134
		case at >= 190:
			rate = 0
		}
		r.Rates = append(r.Rates, rate)
	}
	shown := done(s.Blocks).show(s, &r, both())
	require.Equal(t, heart(170, 90, 80, 100), shown.Blocks[1].Heart, "180 s, 10 of them without a heart rate")

	r.Blocks[1].Start, r.Blocks[1].End = 600, 1200
	shown = done(s.Blocks).show(s, &r, both())
	require.Equal(t, heart(120, 120, 120, 120), shown.Blocks[1].Heart, "the recording ends before")
	r.Blocks[1].Start, r.Blocks[1].End = -400, 200
	shown = done(s.Blocks).show(s, &r, both())
	require.Equal(t, heart(0, 0, 0, 0), shown.Blocks[1].Heart, "and begins after")
}

func TestPlanLeavesOutWhatWasNotDone(t *testing.T) {
	blocks := []readiness.Block{
		{Kind: pathway.Walk, Planned: 300, Done: 280}, {Kind: pathway.Run, Planned: 60, Done: 0}, {Kind: pathway.Walk, Planned: 60, Done: 90},
	}
	p := done(blocks)
	require.Equal(t, []pathway.Block{{Kind: pathway.Walk, Planned: 280}, {Kind: pathway.Walk, Planned: 90}}, p.blocks)
	require.Equal(t, []int{0, 2}, p.of)
	require.True(t, p.same(&trace.Reading{Blocks: []trace.Block{{Planned: 280}, {Planned: 90}}}))
	require.False(t, p.same(&trace.Reading{Blocks: []trace.Block{{Planned: 280}, {Planned: 91}}}))
	require.False(t, p.same(&trace.Reading{Blocks: []trace.Block{{Planned: 280}, {Planned: 90, Kind: pathway.Run}}}))
	require.False(t, p.same(&trace.Reading{}))
}

// Whatever a reading holds, the session stays one that the rule book takes.
func TestWhateverIsShownIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s roster.Session
		var r trace.Reading
		number := func(name string) int { return rapid.IntRange(-50, 400).Draw(t, name) }
		for range rapid.IntRange(1, 6).Draw(t, "blocks") {
			kind := pathway.Kind(rapid.IntRange(0, 1).Draw(t, "kind"))
			s.Blocks = append(s.Blocks, readiness.Block{Kind: kind, Planned: int32(rapid.IntRange(1, 300).Draw(t, "planned")), Done: int32(rapid.IntRange(0, 300).Draw(t, "done"))})
		}
		p := done(s.Blocks)
		for _, b := range p.blocks {
			r.Blocks = append(r.Blocks, trace.Block{
				Kind: b.Kind, Planned: b.Planned, Start: number("start"), End: number("end"), Valid: number("valid"),
				Easy: number("easy"), EasyLow: number("low"), EasyHigh: number("high"),
				HardValid: number("hard valid"), Hard: number("hard"), HardLow: number("hard low"), HardHigh: number("hard high"),
				Reason: rapid.SampledFrom([]trace.Reason{"", trace.TooLittle, trace.Unclear}).Draw(t, "reason"),
			})
		}
		r.Rates = rapid.SliceOfN(rapid.Int16Range(0, 200), 0, 300).Draw(t, "rates")
		shown := p.show(s, &r, both())
		for i, b := range shown.Blocks {
			valid, known := b.Heart.Valid.Get()
			seconds, low, high := b.Heart.Seconds.Or(0), b.Heart.Low.Or(0), b.Heart.High.Or(0)
			if b.Kind == pathway.Run {
				low, high = high, low
			}
			require.True(t, 0 <= low && low <= seconds && seconds <= high && high <= valid && valid <= int(b.Done), "block %d: %+v", i, b.Heart)
			require.Equal(t, known, b.Heart.Seconds.Known() && b.Heart.Low.Known() && b.Heart.High.Known())
		}
	})
}

// The phone marks every block of the plan; one that was left out began and ended at
// once, and is no part of what a recording is laid beside.
func TestMarksOfBlocksThatWereLeftOut(t *testing.T) {
	block := func(done int32) readiness.Block { return readiness.Block{Kind: pathway.Run, Planned: 60, Done: done} }
	for _, c := range []struct {
		why   string
		done  []int32
		marks []int32
		want  []int32
	}{
		{"all was done", []int32{60, 50, 60}, []int32{0, 60, 110, 170}, []int32{0, 60, 110, 170}},
		{"the second was skipped", []int32{60, 0, 60}, []int32{0, 60, 61, 121}, []int32{0, 61, 121}},
		{"stopped in the second, all marked", []int32{60, 20, 0}, []int32{0, 60, 80, 80}, []int32{0, 60, 80}},
		{"stopped in the second, marked so far", []int32{60, 20, 0}, []int32{0, 60, 80}, []int32{0, 60, 80}},
		{"the first was skipped", []int32{0, 60, 60}, []int32{5, 5, 65, 125}, []int32{5, 65, 125}},
		{"marks of another session", []int32{60, 0, 60}, []int32{0, 60}, []int32{0, 60}},
		{"no marks", []int32{60, 0, 60}, nil, nil},
		{"nothing was done", []int32{0, 0, 0}, []int32{0, 0, 0, 0}, []int32{0, 0, 0, 0}},
	} {
		var blocks []readiness.Block
		for _, d := range c.done {
			blocks = append(blocks, block(d))
		}
		require.Equal(t, c.want, done(blocks).marks(c.marks, len(blocks)), c.why)
	}
}
