package simulate

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// settledFor is how many seconds in a row at or under the ceiling mean that a heart
// has settled (the rule book's documents).
const settledFor = 10

// truth is what became of each block.
func truth(t *trip, beats []float64, v *device, ceiling int) []TrueBlock {
	genuine := v.genuine()
	blocks := make([]TrueBlock, len(t.plan))
	for i, p := range t.plan {
		b := TrueBlock{
			Kind: p.Kind, Planned: p.Planned, Done: t.ends[i] - t.starts[i],
			Start: v.clock(t.starts[i]), End: max(v.clock(t.starts[i]), v.clock(t.ends[i])), // a clock may jump back by more than a block lasted
			Settle: trace.None, WornSettle: trace.None,
		}
		b.Judged = i > 0 && p.Kind == pathway.Walk && b.Done > 0 &&
			blocks[i-1].Kind == pathway.Run && blocks[i-1].Done > 0
		if b.Judged {
			from := t.starts[i] - t.from
			to := from + b.Window()
			b.Share, b.Settle = under(beats[from:to], ceiling)
			b.WornShare, b.WornSettle = under(v.worn[from:to], ceiling)
			for _, good := range genuine[from:to] {
				if good {
					b.Valid++
				}
			}
			b.Recorded = 100*b.Valid >= 80*b.Window()
		}
		blocks[i] = b
	}
	return blocks
}

// under is the share of the seconds at or under the ceiling, in whole beats, and the
// first of ten of them in a row.
func under(rates []float64, ceiling int) (share float64, settle int) {
	settle = trace.None
	easy, row := 0, 0
	for i, rate := range rates {
		if int(math.Round(rate)) > ceiling {
			row = 0
			continue
		}
		easy++
		row++
		if row == settledFor && settle == trace.None {
			settle = i - settledFor + 1
		}
	}
	return float64(easy) / float64(len(rates)), settle
}

// genuine says for every second whether a row stands for it that was not made up: its
// own, or the newest before it, at most ten seconds old.
func (v *device) genuine() []bool {
	good := make([]bool, len(v.made))
	for n, at := range v.written {
		i := at - v.trip.from
		to := min(i+trace.Hold, len(good), v.trip.off-v.trip.from+1)
		if n+1 < len(v.written) {
			to = min(to, v.written[n+1]-v.trip.from)
		}
		for j := i; j < to; j++ {
			good[j] = v.made[i] == "" && v.made[j] == ""
		}
	}
	return good
}
