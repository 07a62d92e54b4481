package postgres

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// anHour is an hour of walks and runs at one sample a second, as a strap or, with
// speed and steps, as a watch writes it down.
func anHour(moving bool) trace.Recording {
	random := rand.New(rand.NewPCG(3, 6))
	r := trace.Recording{Start: time.Date(2026, 4, 14, 7, 0, 0, 0, time.UTC)}
	rate := 90.0
	for t := range int32(3600) {
		target, s := 112.0, trace.Sample{At: t, Speed: trace.Unknown, Steps: trace.Unknown}
		running := t%300 < 120
		if running {
			target = 158
		}
		rate += (target - rate) / 45
		s.BPM = int16(math.Round(rate + 1.5*random.NormFloat64()))
		if moving {
			s.Speed, s.Steps = int16(150+8*random.NormFloat64()), int16(118+2*random.NormFloat64())
		}
		if moving && running {
			s.Speed, s.Steps = int16(250+10*random.NormFloat64()), int16(164+2*random.NormFloat64())
		}
		r.Samples = append(r.Samples, s)
	}
	return r
}

// TestAnHourTakesUpLittleOfTheTable measures what recording.go says: all pages of
// the table with its indexes and what lies beside it, by the recording.
func TestAnHourTakesUpLittleOfTheTable(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	const many = 100
	for moving, most := range map[bool]int{false: 6 << 10, true: 12 << 10} {
		_, err := b.admin.Exec(t.Context(), "truncate recording")
		require.NoError(t, err)
		recorded := anHour(moving)
		plan := []pathway.Block{}
		for range 12 {
			plan = append(plan, pathway.Block{Kind: pathway.Run, Planned: 120}, pathway.Block{Kind: pathway.Walk, Planned: 180})
		}
		reading := trace.Read(&recorded, plan, trace.Ceilings{Easy: 130, EasyLow: 125, EasyHigh: 135, Hard: 150, HardLow: 141, HardHigh: 159})
		for n := range many {
			r := b.recording(a)
			r.Body, r.Reading = trace.Pack(&recorded), reading
			ago := n + 1
			if moving {
				ago += many
			}
			b.attach(t, c, r, b.log(t, c, b.session(a, ago)))
		}
		size := value[int](t, b, "select pg_total_relation_size('recording')::int") / many
		t.Logf("an hour, speed and steps too: %t: %d bytes of the table, of which %d packed", moving, size, len(trace.Pack(&recorded)))
		require.Less(t, size, most)
	}
}
