package trace_test

import (
	"fmt"
	"testing"

	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// kept is the first number of the outings that a reading is measured with. Nothing is ever
// tuned on them.
const kept = 9_000_000

// ways are what an aligning can go by, besides the heart rate.
var ways = []struct {
	name    string
	options simulate.OutingOptions
}{
	{"heart", simulate.OutingOptions{May: simulate.AnyTrouble}},
	{"auto-laps", simulate.OutingOptions{May: simulate.AnyTrouble, AutoLaps: true}},
	{"laps", simulate.OutingOptions{May: simulate.AnyTrouble, Laps: true}},
	{"speed", simulate.OutingOptions{May: simulate.AnyTrouble, Speed: true}},
	{"steps", simulate.OutingOptions{May: simulate.AnyTrouble, Steps: true}},
	{"marks", simulate.OutingOptions{May: simulate.AnyTrouble, Marks: true}},
}

// BenchmarkOutings reads 500 sessions whose truth is known and tells how many
// readings are right: see score. The naive reading counts planned times from the
// first row.
func BenchmarkOutings(b *testing.B) {
	for i, way := range ways {
		outings := make([]simulate.Outing, 500)
		for j := range outings {
			outings[j] = simulate.GoOut(uint64(kept+1000*i+j), way.options)
		}
		b.Run(way.name, func(b *testing.B) { measure(b, outings, read) })
		if i == 0 {
			b.Run("heart-naive", func(b *testing.B) { measure(b, outings, naive) })
		}
	}
}

// BenchmarkTroubles tells what each trouble does where it comes alone.
func BenchmarkTroubles(b *testing.B) {
	for trouble := simulate.Trouble(1); trouble <= simulate.AnyTrouble; trouble <<= 1 {
		outings := make([]simulate.Outing, 100)
		for j := range outings {
			outings[j] = simulate.GoOut(uint64(kept+100_000+j), simulate.OutingOptions{With: trouble})
		}
		b.Run(fmt.Sprint(trouble), func(b *testing.B) { measure(b, outings, read) })
	}
}

func measure(b *testing.B, outings []simulate.Outing, read func(o *simulate.Outing) []trace.Block) {
	var s score
	for b.Loop() {
		s = score{}
		for i := range outings {
			s.add(&outings[i], read(&outings[i]))
		}
	}
	b.ReportMetric(100*ratio(s.found, s.walks), "found-%")
	b.ReportMetric(100*ratio(s.asWorn, s.walks), "found-as-worn-%")
	b.ReportMetric(100*ratio(s.met, s.walks), "met-%")
	b.ReportMetric(100*ratio(s.assessed, s.walks), "assessed-%")
	b.ReportMetric(100*ratio(s.right, s.clear), "most-right-%")
	b.ReportMetric(float64(s.clear-s.right-s.unsaid), "most-wrong")
	b.ReportMetric(float64(s.told), "told-unrecorded")
	b.ReportMetric(float64(s.unseen), "sessions-unseen")
	b.ReportMetric(float64(s.unseenTold), "sessions-unseen-told")
	b.ReportMetric(s.shareError/float64(max(1, s.assessed)), "share-error")
	b.ReportMetric(s.wornError/float64(max(1, s.assessed)), "share-error-as-worn")
	b.ReportMetric(100*ratio(s.settled, s.assessed), "settle-%")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(outings))/1000, "ms/session")
	b.ReportMetric(0, "ns/op")
}
