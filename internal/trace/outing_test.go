package trace_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// Floors lie a little below what was measured, in parts of a hundred; nothing was tuned
// on these outings. The benchmark beside this says more.
func TestOutingsAreRead(t *testing.T) {
	for _, c := range []struct {
		name                                       string
		options                                    simulate.OutingOptions
		found, asWorn, met, assessed, most, settle int
		share                                      float64 // off by so much at most, in the mean
	}{
		{"heart", simulate.OutingOptions{May: simulate.AnyTrouble}, 84, 91, 98, 96, 97, 86, 0.0195},
		{"speed", simulate.OutingOptions{May: simulate.AnyTrouble, Speed: true}, 98, 99, 99, 99, 99, 91, 0.023},
		{"marks", simulate.OutingOptions{May: simulate.AnyTrouble, Marks: true}, 100, 100, 100, 100, 99, 91, 0.0135},
	} {
		var s, plain score
		for seed := range uint64(120) {
			o := simulate.GoOut(8_500_000+seed, c.options)
			s.add(&o, read(&o))
			plain.add(&o, naive(&o))
		}
		t.Logf("%s: read %+v, naive %+v", c.name, s, plain)
		for what, part := range map[string][3]int{
			"found": {s.found, s.walks, c.found}, "found as worn": {s.asWorn, s.walks, c.asWorn}, "met": {s.met, s.walks, c.met},
			"assessed": {s.assessed, s.walks, c.assessed}, "most settled": {s.right, s.clear, c.most}, "settle time": {s.settled, s.assessed, c.settle},
		} {
			require.GreaterOrEqual(t, 100*part[0], part[2]*part[1], "%s: %s %d of %d", c.name, what, part[0], part[1])
		}
		require.LessOrEqual(t, s.shareError/float64(s.assessed), c.share, c.name)
		require.LessOrEqual(t, 100*s.told, s.walks, "%s: told although there was nothing to tell", c.name)
		require.Greater(t, s.found, plain.found, c.name)
		require.Less(t, s.told, plain.told, c.name)
	}
}

// read is the reading that is tried.
func read(o *simulate.Outing) []trace.Block {
	easy := intensity.BPM(o.Ceiling)
	return trace.Read(&o.Recording, o.Plan, trace.Ceilings{Easy: easy, EasyLow: easy - 5, EasyHigh: easy + 5}).Blocks
}

// naive counts planned times from the first row, and rows.
func naive(o *simulate.Outing) []trace.Block {
	blocks := make([]trace.Block, len(o.Plan))
	at := 0
	for i, p := range o.Plan {
		b := trace.Block{Kind: p.Kind, Planned: p.Planned, Start: at, End: at + p.Planned, Settle: trace.None}
		at = b.End
		if i > 0 && p.Kind == pathway.Walk && o.Plan[i-1].Kind == pathway.Run {
			count(o, &b)
		}
		blocks[i] = b
	}
	return blocks
}

// count counts rows at or under the ceiling, whatever they hold.
func count(o *simulate.Outing, b *trace.Block) {
	row := 0
	for _, s := range o.Recording.Samples {
		if int(s.At) < b.Start || int(s.At) >= b.End || s.BPM == 0 {
			continue
		}
		b.Valid++
		if int(s.BPM) > o.Ceiling {
			row = 0
			continue
		}
		b.Easy++
		if row++; row == 10 && b.Settle == trace.None {
			b.Settle = int(s.At) - 9 - b.Start
		}
	}
	switch {
	case b.Valid == 0:
		b.State, b.Reason = trace.NotAssessable, trace.NotRecorded
	case 2*b.Easy > b.Valid:
		b.State = trace.Settled
	default:
		b.State = trace.NotSettled
	}
}
