package trace

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// twelve is the plan of outingOfAnHour.
func twelve() (plan []pathway.Block) {
	for range 12 {
		plan = append(plan, pathway.Block{Kind: pathway.Run, Planned: 120}, pathway.Block{Kind: pathway.Walk, Planned: 180})
	}
	return plan
}

// stopped is an outing of an hour with a minute of standing put into the sixth run,
// in which the heart falls as in a walk, and rises again after it.
func stopped() Recording {
	r := outingOfAnHour(false)
	const at, long = 1560, 60
	for i := len(r.Samples) - 1; i >= at+long; i-- {
		r.Samples[i].BPM = r.Samples[i-long].BPM
	}
	for i := range long {
		r.Samples[at+i].BPM = r.Samples[at-1].BPM - int16(i)/2
	}
	for i := range 30 {
		r.Samples[at+long+i].BPM -= int16(30-i) / 2
	}
	return r
}

func TestAnHourIsRead(t *testing.T) {
	for why, c := range map[string]struct {
		recording Recording
		late      int // seconds by which the second half lies behind
	}{"as planned": {outingOfAnHour(false), 0}, "with steps": {outingOfAnHour(true), 0}, "with a stop": {stopped(), 60}} {
		read := Read(&c.recording, twelve(), at(135))
		for i, b := range read.Blocks {
			want := 150*i - i%2*30
			if i > 10 {
				want += c.late
			}
			require.InDelta(t, want, b.Start, 8, "%s: block %d", why, i)
		}
	}
}

// The goal: an hour aligned and judged in under 10 ms.
func BenchmarkRead(b *testing.B) {
	for name, r := range map[string]Recording{"heart": outingOfAnHour(false), "steps": outingOfAnHour(true), "stop": stopped()} {
		plan := twelve()
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Read(&r, plan, at(135))
			}
		})
	}
}

// What of that goes into laying out and cleaning, and into judging.
func BenchmarkParts(b *testing.B) {
	r := outingOfAnHour(true)
	b.Run("chart", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			chart(&r)
		}
	})
	b.Run("clean", func(b *testing.B) {
		c := chart(&r)
		rates := append([]int16(nil), c.rates...)
		b.ReportAllocs()
		for b.Loop() {
			copy(c.rates, rates)
			c.clean()
		}
	})
	b.Run("judge", func(b *testing.B) {
		c := chart(&r)
		blocks := between(inTime(twelve()), twelve())
		b.ReportAllocs()
		for b.Loop() {
			judge(blocks, c.rates, at(135))
		}
	})
}
