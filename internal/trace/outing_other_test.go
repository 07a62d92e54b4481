package trace_test

import (
	"testing"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// others are sessions that were done while another was planned: phases of the default
// pathway, from the first with runs to the last with walks.
var others = []struct {
	name       string
	did, asked func(phase int) int
}{
	{name: "the-next", did: func(i int) int { return i + 1 }, asked: func(i int) int { return i }},
	{name: "the-one-before", did: func(i int) int { return i }, asked: func(i int) int { return i + 1 }},
	{name: "two-on", did: func(i int) int { return i + 2 }, asked: func(i int) int { return i }},
	{name: "only-running", did: func(int) int { return 14 }, asked: func(i int) int { return i }},
	{name: "only-walking", did: func(int) int { return 3 }, asked: func(i int) int { return i }},
}

// BenchmarkOtherSessions tells what is said of walks after runs of a session that was
// not done: told is settled or not, astray what is told of a walk within 20 s of whose
// beginning no walk after a run began, of all walks asked about.
func BenchmarkOtherSessions(b *testing.B) {
	phases := pathway.Default().Phases
	for _, way := range ways[:5] {
		for _, c := range others {
			b.Run(way.name+"/"+c.name, func(b *testing.B) {
				var s strayed
				for b.Loop() {
					s = strayed{}
					for i := range 90 {
						options := way.options
						options.Plan, options.May = phases[c.did(4+i%9)].Blocks, 0
						o := simulate.GoOut(uint64(kept+200_000+i), options)
						s.add(&o, phases[c.asked(4+i%9)].Blocks)
					}
				}
				b.ReportMetric(float64(s.walks), "walks")
				b.ReportMetric(100*ratio(s.told, s.walks), "told-%")
				b.ReportMetric(100*ratio(s.astray, s.walks), "astray-%")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}

// strayed counts walks after runs, those told of, and those told of that were not there.
type strayed struct{ walks, told, astray int }

func (s *strayed) add(o *simulate.Outing, plan []pathway.Block) {
	for k, b := range trace.Read(&o.Recording, plan, around(o.Ceiling)).Blocks {
		if k == 0 || b.Kind != pathway.Walk || plan[k-1].Kind != pathway.Run {
			continue
		}
		s.walks++
		if b.State == trace.NotAssessable {
			continue
		}
		s.told++
		if !walkThere(o, b.Start) {
			s.astray++
		}
	}
}

// walkThere says whether a walk after a run began within 20 s of the second.
func walkThere(o *simulate.Outing, second int) bool {
	for i := range o.Blocks {
		if b := &o.Blocks[i]; b.Judged && apart(b.Start, second) <= 20 {
			return true
		}
	}
	return false
}
