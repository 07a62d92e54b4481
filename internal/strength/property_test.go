package strength_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/strength"
)

func drawNow(t *rapid.T) strength.Circumstances {
	c := strength.Circumstances{
		Has:         strength.Gear(rapid.IntRange(0, 15).Draw(t, "has")),
		State:       rapid.SampledFrom([]body.State{body.Usual, body.Pregnant, body.JustBorn}).Draw(t, "state"),
		RunTomorrow: rapid.Bool().Draw(t, "run"),
	}
	for range rapid.IntRange(0, 3).Draw(t, "pains") {
		c.Pains = append(c.Pains, body.Pain{
			Words: rapid.SampledFrom([]string{"left knee", "back", "right shoulder", "wrist", "hip", "Achilles", "foot", "somewhere"}).Draw(t, "site"),
			Score: rapid.IntRange(0, 10).Draw(t, "score"),
		})
	}
	return c
}

// drawLibrary is the standard library in any order, without some of it, and with
// exercises of a coach among it, some of which carry an ID that is taken.
func drawLibrary(t *rapid.T) strength.Library {
	library := rapid.Permutation(strength.Standard()).Draw(t, "order")
	library = library[:rapid.IntRange(0, len(library)).Draw(t, "kept")]
	for range rapid.IntRange(0, 3).Draw(t, "own") {
		library = append(library, strength.Exercise{
			ID:      rapid.SampledFrom([]string{"own-1", "own-2", "squat", "plank"}).Draw(t, "id"),
			Pattern: rapid.SampledFrom(strength.Patterns()).Draw(t, "pattern"), Level: rapid.IntRange(1, 3).Draw(t, "level"),
			Needs: strength.Gear(rapid.IntRange(0, 15).Draw(t, "needs")), Loads: body.Site(rapid.IntRange(0, 1<<13-1).Draw(t, "loads")),
			Demands: body.Demand(rapid.IntRange(0, 15).Draw(t, "demands")), Hard: rapid.Bool().Draw(t, "hard"),
			Easier: rapid.SampledFrom([]string{"own-1", "own-2", "squat", "slower"}).Draw(t, "easier"),
			Harder: rapid.SampledFrom([]string{"own-1", "own-2", "plank", ""}).Draw(t, "harder"),
		})
	}
	return library
}

func drawProgram(t *rapid.T) strength.Program {
	p := strength.Default()
	for i := range p.Sessions {
		for j := range p.Sessions[i].Slots {
			slot := &p.Sessions[i].Slots[j]
			slot.Exercise = rapid.SampledFrom(append(slices.Clone(strength.Standard()), strength.Exercise{ID: "own-1"}, strength.Exercise{ID: "gone"})).Draw(t, "exercise").ID
			slot.Patterns = rapid.SliceOfNDistinct(rapid.SampledFrom(strength.Patterns()), 1, 3, func(p strength.Pattern) strength.Pattern { return p }).Draw(t, "patterns")
		}
	}
	return p
}

func TestASwapNeverViolatesTheCircumstances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		library, now, p := drawLibrary(t), drawNow(t), drawProgram(t)
		f := strength.Fit(p, now, library)
		require.Equal(t, f, strength.Fit(p, now, library), "the same is answered the same")
		require.Len(t, f.Program.Sessions, len(p.Sessions))
		spared := body.Spared(now.Pains)
		left := 0
		for i, s := range f.Program.Sessions {
			seen := map[string]bool{}
			for _, slot := range s.Slots {
				e, known := library.Find(slot.Exercise)
				require.True(t, known)
				require.Zero(t, e.Needs&^now.Has, "it needs what is not there")
				require.Zero(t, e.Loads&spared, "it loads what hurts")
				require.Zero(t, e.Demands&now.State.Forbids())
				require.False(t, now.RunTomorrow && e.Hard)
				require.False(t, seen[e.ID], "twice")
				seen[e.ID] = true
			}
			left += len(p.Sessions[i].Slots) - len(s.Slots)
		}
		for _, s := range f.Swaps {
			require.NotEmpty(t, s.Why, "every swap says why")
			require.NotEqual(t, s.From, s.To)
			slot := p.Sessions[s.Session].Slots[s.Slot]
			require.Equal(t, slot.Exercise, s.From)
			if s.To == "" {
				left--
				continue
			}
			from, known := library.Find(s.From)
			to, _ := library.Find(s.To)
			require.True(t, slices.Contains(slot.Patterns, to.Pattern) || known && from.Pattern == to.Pattern)
		}
		require.Zero(t, left, "what is left out is said")
	})
}

// What is left out has really nothing that fits, and what fits is never touched.
func TestNothingIsSwappedOrLeftOutWithoutNeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		library, now, p := drawLibrary(t), drawNow(t), drawProgram(t)
		f := strength.Fit(p, now, library)
		for i, s := range f.Swaps {
			session := f.Program.Sessions[s.Session]
			if from, known := library.Find(s.From); known && now.Fits(&from) == nil {
				require.Equal(t, strength.TwiceInHere, s.Why[0].Cause, i)
			}
			if s.To != "" {
				continue
			}
			for _, e := range library {
				first, _ := library.Find(e.ID)
				used := slices.ContainsFunc(session.Slots, func(slot strength.Slot) bool { return slot.Exercise == e.ID })
				if slices.Contains(p.Sessions[s.Session].Slots[s.Slot].Patterns, first.Pattern) && now.Fits(&first) == nil {
					require.True(t, used, "%s would have fitted", e.ID)
				}
			}
		}
	})
}

func drawCase(t *rapid.T) *strength.Case {
	library := drawLibrary(t)
	c := &strength.Case{
		Exercise: rapid.SampledFrom(append(slices.Clone(library), strength.Standard()...)).Draw(t, "exercise"),
		Target:   strength.Target{Sets: rapid.IntRange(1, 3).Draw(t, "sets"), Low: rapid.IntRange(1, 12).Draw(t, "low"), Reserve: rapid.IntRange(0, 4).Draw(t, "reserve")},
		Now:      drawNow(t), Library: library, AsOf: asOf,
	}
	c.Target.High = c.Target.Low + rapid.IntRange(0, 6).Draw(t, "range")
	if rapid.Bool().Draw(t, "list") {
		c.Rack.List = rapid.SliceOfN(rapid.IntRange(100, 40_000), 1, 12).Draw(t, "rack")
	} else {
		c.Rack = strength.Rack{Least: rapid.IntRange(100, 5000).Draw(t, "least"), Most: rapid.IntRange(5000, 40_000).Draw(t, "most"), Step: rapid.IntRange(100, 5000).Draw(t, "step")}
	}
	weights := append(c.Rack.Weights(), 0, 7777)
	same := rapid.SampledFrom(weights).Draw(t, "weight")
	for range rapid.IntRange(0, 4).Draw(t, "sessions") {
		d := strength.Done{Date: asOf - day.Date(rapid.IntRange(-1, 20).Draw(t, "ago")), Grams: same}
		if rapid.IntRange(0, 3).Draw(t, "other") == 0 {
			d.Grams = rapid.SampledFrom(weights).Draw(t, "weight then")
		}
		d.Reps = rapid.SliceOfN(rapid.IntRange(max(c.Target.Low-2, 0), c.Target.High+20), 0, 3).Draw(t, "reps")
		if rapid.Bool().Draw(t, "asked") {
			d.Reserve = readiness.Some(rapid.IntRange(0, 6).Draw(t, "left"))
		}
		d.Pain = max(rapid.IntRange(-12, 5).Draw(t, "pain"), 0)
		c.History = append(c.History, d)
	}
	return c
}

// newest is the newest session that counts.
func newest(c *strength.Case) (strength.Done, bool) {
	var last strength.Done
	found := false
	for _, d := range c.History {
		if d.Date <= c.AsOf && len(d.Reps) > 0 && (!found || d.Date > last.Date) {
			last, found = d, true
		}
	}
	return last, found
}

func TestALoadRisesOnlyWhereItMay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t)
		n := strength.Progress(c)
		require.NotEmpty(t, n.Words(c))
		last, found := newest(c)
		if !found {
			require.Equal(t, strength.Begin, n.Move)
			return
		}
		harder := n.Grams > last.Grams || n.Move == strength.HarderForm
		if n.Grams > last.Grams {
			require.Contains(t, c.Rack.Weights(), n.Grams, "a dumbbell that is there")
			if n.Move == strength.NextBell {
				// By Epley's rule the new weight, with the fewest repetitions of the range,
				// asks no more than was done twice.
				left := 30 + c.Target.Reserve
				require.LessOrEqual(t, n.Grams*(left+c.Target.Low), last.Grams*(left+slices.Min(last.Reps)))
			} else {
				require.LessOrEqual(t, 100*n.Grams, 110*last.Grams, "at most 10 %% at once")
			}
		}
		if slices.Min(last.Reps) < c.Target.Low {
			require.False(t, harder, "after a session under the bottom")
		}
		if last.Pain > 0 {
			require.False(t, harder, "after pain")
		}
		for _, p := range c.Now.Pains {
			if p.Score > 0 && body.SiteOf(p.Words)&c.Exercise.Loads != 0 {
				require.False(t, harder, "with pain")
			}
		}
		if left, asked := last.Reserve.Get(); asked && left < c.Target.Reserve {
			require.False(t, harder, "with less than the wanted reserve")
		}
		require.LessOrEqual(t, n.Target.Sets, c.Target.Sets)
	})
}

func TestAFormNeverViolatesTheCircumstances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t)
		if e, known := c.Library.Find(strength.Progress(c).Form); known {
			require.Nil(t, c.Now.Fits(&e))
			require.NotEqual(t, c.Exercise.ID, e.ID)
		}
	})
}

// More repetitions never lead to less weight.
func TestMoreIsNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCase(t)
		before := strength.Progress(c)
		better := *c
		better.History = slices.Clone(c.History)
		for i := range better.History {
			better.History[i].Reps = slices.Clone(better.History[i].Reps)
			for j := range better.History[i].Reps {
				better.History[i].Reps[j]++
			}
		}
		after := strength.Progress(&better)
		require.GreaterOrEqual(t, after.Grams, before.Grams)
	})
}
