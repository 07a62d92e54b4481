package lift_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// Whatever is logged, corrected, deleted and given in whatever order, what is proposed
// keeps within what strength promises: it fits, it is no great step up, and it can be
// done with what there is.
func TestWhateverIsLoggedTheProposalKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newScene(t)
		s.t = r
		s.give(strength.Default())
		for range rapid.IntRange(1, 14).Draw(r, "steps") {
			switch rapid.SampledFrom([]string{"log", "log", "log", "correct", "delete", "gear", "programme"}).Draw(r, "step") {
			case "log":
				s.logs(r)
			case "correct":
				s.corrects(r)
			case "delete":
				s.deletes(r)
			case "gear":
				s.has(strength.Gear(rapid.IntRange(0, 15).Draw(r, "gear")))
			case "programme":
				s.give(rapid.SampledFrom(lift.Templates()).Draw(r, "template").Program)
			}
			s.promises(r)
			s.days(rapid.SampledFrom([]int{1, 2, 2, 3, 15, 40}).Draw(r, "days"))
		}
	})
}

// logs does today's session, as somebody may.
func (s *scene) logs(r *rapid.T) {
	today := s.today()
	told := lift.Told{Turn: today.Turn, Planned: today.Minutes}
	for _, l := range today.Lines {
		told.Lifts = append(told.Lifts, s.draws(r, &l))
	}
	var pain []readiness.Pain
	if site := rapid.SampledFrom([]string{"", "", "left knee", "back", "right shoulder"}).Draw(r, "site"); site != "" {
		pain = append(pain, readiness.Pain{Site: site, Score: int8(rapid.IntRange(0, 5).Draw(r, "score"))})
	}
	_, err := s.log(told, func(e *entry.Entry) { e.Pain = pain })
	if len(today.Lines) > 0 && slices.ContainsFunc(told.Lifts, func(l roster.Lift) bool { return slices.Max(l.Sets) > 0 }) {
		require.NoError(r, err)
	}
}

func (s *scene) draws(r *rapid.T, l *lift.Line) roster.Lift {
	one := roster.Lift{Exercise: l.Exercise.ID, For: l.For, Grams: l.Next.Grams}
	if one.Grams == 0 && l.Exercise.Needs&strength.Dumbbells != 0 {
		one.Grams = rapid.SampledFrom([]int{1000, 4000, 10_000}).Draw(r, "grams")
	}
	for range l.Next.Target.Sets {
		one.Sets = append(one.Sets, rapid.SampledFrom([]int{0, 5, l.Count, l.Count, l.Next.Target.High + 1, l.Next.Target.High + 10}).Draw(r, "count"))
	}
	return one
}

// corrects changes the sets of a session that is there.
func (s *scene) corrects(r *rapid.T) {
	kept, err := s.store.Strength(s.ctx.Context(), s.own.Club, s.ana)
	require.NoError(r, err)
	if len(kept.Lifted) == 0 {
		return
	}
	of := rapid.SampledFrom(kept.Lifted).Draw(r, "of")
	stored, err := s.store.Session(s.ctx.Context(), s.own.Club, s.ana, of.Session)
	require.NoError(r, err)
	lifts := slices.Clone(of.Lifts)
	lifts[0].Sets = []int{rapid.IntRange(1, 40).Draw(r, "corrected")}
	require.NoError(r, s.Correct(s.ctx.Context(), s.own, s.ana, of.Session, stored.Version, lift.Told{Lifts: lifts}, nil))
}

func (s *scene) deletes(r *rapid.T) {
	if len(s.store.Logged) == 0 {
		return
	}
	of := rapid.SampledFrom(s.store.Logged).Draw(r, "of")
	require.NoError(r, s.store.Delete(s.ctx.Context(), s.own, s.ana, of.ID, of.Version))
}

// promises holds today's proposal against what strength promises.
func (s *scene) promises(r *rapid.T) {
	today := s.today()
	kit := roster.UsualKit()
	if k, told := s.store.Kits[s.ana]; told {
		kit = k
	}
	spared := body.Spared(roster.Aching(s.store.Logged, today.Date))
	seen := map[string]bool{}
	for _, l := range today.Lines {
		require.False(r, seen[l.Exercise.ID], "twice in one session")
		seen[l.Exercise.ID] = true
		require.Zero(r, l.Exercise.Needs&^kit.Has, "it needs what is not there")
		require.Zero(r, l.Exercise.Loads&spared, "it loads what hurts")
		require.NotEmpty(r, l.Words)
		t := l.Next.Target
		require.Positive(r, t.Sets)
		require.LessOrEqual(r, t.Sets, l.Target.Sets, "never more sets than the programme asks")
		step := 1
		if l.Exercise.Measure == strength.Hold {
			step = 5
		}
		require.GreaterOrEqual(r, l.Count, t.Low)
		require.LessOrEqual(r, l.Count, t.High+step)
		s.weighs(r, &l, kit.Rack)
	}
}

// weighs holds the weight against that of the last time.
func (s *scene) weighs(r *rapid.T, l *lift.Line, rack strength.Rack) {
	if l.Last == nil || l.Last.Grams == 0 {
		return
	}
	switch was, now := l.Last.Grams, l.Next.Grams; l.Next.Move {
	case strength.Heavier:
		require.Greater(r, now, was)
		require.LessOrEqual(r, 100*now, 110*was, "at most a tenth at once")
	case strength.NextBell:
		require.Contains(r, rack.Weights(), now)
		require.Equal(r, l.Next.Target.Low, l.Count, "with the fewest repetitions")
	default:
		require.LessOrEqual(r, now, was, "no other move adds weight")
	}
}
