package readiness_test

import (
	"slices"
	"testing"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// twelveWeeks is an athlete of twelve weeks with 41 sessions and 267 blocks:
// three planned sessions a week, some strength, the newest five weeks on L3
// without the walks settling, so that the gate is asked again for each of the last
// 14 days.
func twelveWeeks() readiness.History {
	p := pathway.Default()
	h := readiness.History{
		AsOf: asked, Place: time.UTC, Pathway: p, Phase: "L3", PhaseSince: asked - 34, HeartUsable: true, SessionsAWeek: 3,
	}
	for week := 11; week >= 0; week-- {
		phase := p.Phases[max(0, min(6, 11-week))]
		for _, ago := range [...]int{5, 3, 1} {
			date := asked - day.Date(7*week+ago)
			s := readiness.Session{
				StartedAt: date.UTC().Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: phase.ID,
				Effort: readiness.Some(4), Talk: readiness.Sentence, PainAsked: true,
			}
			for _, b := range phase.Blocks {
				block := readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)}
				if b.Kind == pathway.Walk {
					block.Settle = readiness.Some(b.Planned * 6 / 10)
				}
				s.Blocks = append(s.Blocks, block)
			}
			h.Sessions = append(h.Sessions, s)
		}
		if week%2 == 0 && week > 1 {
			date := asked - day.Date(7*week+2)
			h.Sessions = append(h.Sessions, readiness.Session{
				StartedAt: date.UTC().Add(18 * time.Hour), Date: date, Kind: readiness.Strength,
				Minutes: readiness.Some(25), PlannedMinutes: readiness.Some(25), Effort: readiness.Some(5),
			})
		}
	}
	slices.SortFunc(h.Sessions, func(a, b readiness.Session) int { return a.StartedAt.Compare(b.StartedAt) })
	return h
}

// The whole rule book for one athlete of twelve weeks, without words; the floor is
// the bare sum of the same loads.
func BenchmarkAssess(b *testing.B) {
	h := twelveWeeks()
	b.Run("rule book", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			readiness.Assess(&h)
		}
	})
	b.Run("with words", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			v := readiness.Assess(&h)
			v.Sentence()
			v.Evidence()
		}
	})
	b.Run("floor bare sums", func(b *testing.B) {
		b.ReportAllocs()
		var sums [12]int
		for b.Loop() {
			for i := range h.Sessions {
				s := &h.Sessions[i]
				seconds := 0
				for j := range s.Blocks {
					seconds += int(s.Blocks[j].Done)
				}
				sums[(h.AsOf-s.Date)/7] += seconds / 60 * s.Effort.Or(0)
			}
		}
	})
}
