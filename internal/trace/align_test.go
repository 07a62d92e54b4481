package trace_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// plain is an ordinary heart: it goes up by 48 beats in a run, wanders and is noisy.
var plain = simulate.Heart{Stand: 85, Walk: 112, Run: 160, Up: 32, Down: 65, Drift: 0.15, Vary: 2, Wander: 1, Noise: 1.5, Breath: 1}

func planOf(t *testing.T, text string) []pathway.Block {
	t.Helper()
	plan, err := pathway.Parse(text)
	require.NoError(t, err)
	return plan
}

// later is the outing as recorded from so many seconds later on.
func later(o simulate.Outing, by int) simulate.Outing {
	r := &o.Recording
	r.Samples = slices.DeleteFunc(slices.Clone(r.Samples), func(s trace.Sample) bool { return int(s.At) < by })
	for i := range r.Samples {
		r.Samples[i].At -= int32(by)
	}
	o.Blocks = slices.Clone(o.Blocks)
	for i := range o.Blocks {
		o.Blocks[i].Start -= by
		o.Blocks[i].End -= by
	}
	return o
}

// without is the outing with a first block that nobody planned: a walk there.
func without(o simulate.Outing, blocks int) simulate.Outing {
	o.Plan, o.Blocks = o.Plan[blocks:], o.Blocks[blocks:]
	return o
}

// What was done otherwise than planned is found by the heart rate alone: each walk
// after a run, its beginning and its end.
func TestBlocksAreFoundByTheHeartAlone(t *testing.T) {
	const usual = "walk 5:00, 6x(run 2:00, walk 3:00), walk 4:00"
	done := func(changed map[int]int) []int {
		lengths := []int{300, 120, 180, 120, 180, 120, 180, 120, 180, 120, 180, 120, 180, 240}
		for i, seconds := range changed {
			lengths[i] = seconds
		}
		return lengths
	}
	for _, c := range []struct {
		why, plan string
		options   simulate.OutingOptions
		change    func(simulate.Outing) simulate.Outing
	}{
		{"as planned", usual, simulate.OutingOptions{}, nil},
		{"the first block left out", usual, simulate.OutingOptions{Done: done(map[int]int{0: 0})}, nil},
		{"the last block left out", usual, simulate.OutingOptions{Done: done(map[int]int{13: 0})}, nil},
		{"the last three left out", usual, simulate.OutingOptions{Done: done(map[int]int{11: 0, 12: 0, 13: 0})}, nil},
		{"a run cut short", usual, simulate.OutingOptions{Done: done(map[int]int{5: 60})}, nil},
		{"a walk cut short", usual, simulate.OutingOptions{Done: done(map[int]int{6: 90})}, nil},
		{"a walk made longer", usual, simulate.OutingOptions{Done: done(map[int]int{6: 255})}, nil},
		{"recorded from 150 s on", usual, simulate.OutingOptions{}, func(o simulate.Outing) simulate.Outing { return later(o, 150) }},
		{"recorded from 150 s on, in the middle of a walk", "6x(run 2:00, walk 3:00)", simulate.OutingOptions{}, func(o simulate.Outing) simulate.Outing { return later(o, 150) }},
		{"begun 150 s after the recording, having walked there", "walk 2:30, 6x(run 2:00, walk 3:00)", simulate.OutingOptions{}, func(o simulate.Outing) simulate.Outing { return without(o, 1) }},
		{"a plan in odd seconds", "walk 3:47, 7x(run 1:33, walk 2:41), walk 1:59", simulate.OutingOptions{}, nil},
		{"a plan of unlike blocks", "walk 3:00, run 1:10, walk 2:05, run 3:20, walk 2:50, run 5:05, walk 3:10, run 2:15, walk 4:00", simulate.OutingOptions{}, nil},
	} {
		for seed := range uint64(8) {
			c.options.Plan, c.options.Heart, c.options.Ceiling = planOf(t, c.plan), plain, 135
			o := simulate.GoOut(8_600_000+seed, c.options)
			if c.change != nil {
				o = c.change(o)
			}
			r := trace.Read(&o.Recording, o.Plan, around(o.Ceiling))
			require.Equal(t, trace.ByHeart, r.By, c.why)
			for i := range o.Blocks {
				if !counts(&o.Blocks[i]) {
					continue
				}
				require.InDelta(t, o.Blocks[i].Start, r.Blocks[i].Start, 10, "%s, seed %d: start of block %d", c.why, seed, i)
				require.InDelta(t, o.Blocks[i].Start+o.Blocks[i].Window(), r.Blocks[i].Start+min(r.Blocks[i].Planned, r.Blocks[i].End-r.Blocks[i].Start), 12, "%s, seed %d: end of block %d", c.why, seed, i)
				if o.Blocks[i].Start < 0 {
					continue // the share is that of the whole walk
				}
				require.InDelta(t, o.Blocks[i].Share, ratio(r.Blocks[i].Easy, r.Blocks[i].Valid), 0.1, "%s, seed %d: share of block %d", c.why, seed, i)
			}
		}
	}
}
