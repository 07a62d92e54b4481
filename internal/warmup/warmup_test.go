package warmup_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/warmup"
)

func TestTheLibraryIsSound(t *testing.T) {
	seen := map[string]bool{}
	for _, m := range warmup.Standard() {
		require.False(t, seen[m.ID], m.ID)
		seen[m.ID] = true
		require.Empty(t, m.Check(), m.ID)
		require.NotContains(t, m.How, "!")
		if m.Kind == warmup.Walk || m.Kind == warmup.CoolDown {
			require.Zero(t, m.Loads, "%s: a walk is never left out", m.ID)
		}
	}
	for k := warmup.Walk; k <= warmup.CoolDown; k++ {
		back, known := warmup.ParseKind(k.String())
		require.True(t, known)
		require.Equal(t, k, back)
		require.NotEmpty(t, k.Words())
	}
	_, known := warmup.ParseKind("stretch")
	require.False(t, known)
}

// Nothing here promises what nobody has shown.
func TestNothingIsPromised(t *testing.T) {
	for _, text := range []string{warmup.Purpose, warmup.AfterPurpose, warmup.Caution} {
		require.NotContains(t, strings.ToLower(text), "prevent")
	}
	require.Contains(t, warmup.Purpose, "make the first minutes easier")
	require.Contains(t, warmup.Caution, "no medical advice")
}

func TestTheDefaultRoutine(t *testing.T) {
	library, r := warmup.Standard(), warmup.Default()
	require.Empty(t, r.Check(library))
	require.Equal(t, 300, warmup.Seconds(r.After, library), "five minutes of walking")
	without, out := warmup.Fit(r.Before, warmup.Circumstances{}, library)
	require.Len(t, out, 2, "both that need a roller")
	require.Equal(t, 300+60+60+36+24+30+20, warmup.Seconds(without, library))
	require.Equal(t, 120, warmup.Seconds(r.Before, library)-warmup.Seconds(without, library), "rolling is two minutes more")
	with, out := warmup.Fit(r.Before, warmup.Circumstances{Roller: true}, library)
	require.Equal(t, r.Before, with)
	require.Empty(t, out)
}

func TestStepsInWords(t *testing.T) {
	for _, c := range []struct {
		step  warmup.Step
		words string
	}{
		{warmup.Step{Move: "easy-walk", Count: 300}, "5 min"},
		{warmup.Step{Move: "easy-walk", Count: 150}, "2 min 30"},
		{warmup.Step{Move: "roll-calves", Count: 30}, "30 s each side"},
		{warmup.Step{Move: "leg-swings", Count: 10}, "10 times each side"},
		{warmup.Step{Move: "squat-reach", Count: 8}, "8 times"},
	} {
		require.Equal(t, c.words, c.step.Words(warmup.Standard()))
	}
	require.Zero(t, warmup.Step{Move: "gone", Count: 10}.Seconds(warmup.Standard()))
}

func TestAnEditedRoutineIsLookedAt(t *testing.T) {
	without := func(r *warmup.Routine, ids ...string) {
		r.Before = slices.DeleteFunc(r.Before, func(s warmup.Step) bool { return slices.Contains(ids, s.Move) })
	}
	add := func(r *warmup.Routine, at int, ids ...string) {
		for _, id := range ids {
			m, _ := warmup.Standard().Find(id)
			r.Before = slices.Insert(r.Before, at, warmup.Step{Move: id, Count: max(m.Usual, 1)})
		}
	}
	for _, c := range []struct {
		place, message string
		change         func(*warmup.Routine)
	}{
		{"before[3].move", "is not in the library", func(r *warmup.Routine) { r.Before[3].Move = "gone" }},
		{"before[4].move", "is there twice", func(r *warmup.Routine) { r.Before[4].Move = "leg-swings" }},
		{"before[9].move", "belongs after the session", func(r *warmup.Routine) { add(r, 9, "cool-walk") }},
		{"before[9].move", "comes too late: movements before rhythm", func(r *warmup.Routine) { add(r, 9, "bow") }},
		{"before[3].count", "must be 1 to 30, not 0", func(r *warmup.Routine) { r.Before[3].Count = 0 }},
		{"before[3].count", "must be 1 to 30, not 31", func(r *warmup.Routine) { r.Before[3].Count = 31 }},
		{"before[0].count", "must be 1 to 900, not 901", func(r *warmup.Routine) { r.Before[0].Count = 901 }},
		{"before", "must be at most 14 steps, not 15", func(r *warmup.Routine) { r.Before = append(r.Before, make([]warmup.Step, 6)...) }},
		{"before", "begin with an easy walk", func(r *warmup.Routine) { without(r, "easy-walk") }},
		{"before", "take 3 to 5 movements, not 2", func(r *warmup.Routine) { without(r, "leg-swings", "ankle-rocks") }},
		{"before", "take 3 to 5 movements, not 6", func(r *warmup.Routine) { add(r, 4, "bow", "arm-circles") }},
		{"before", "takes 3 min 55 together; 4 min to 20 min are useful", func(r *warmup.Routine) { without(r, "roll-calves", "roll-thighs", "skips"); r.Before[0].Count = 25 }},
		{"before", "takes 20 min 50 together; 4 min to 20 min are useful", func(r *warmup.Routine) { r.Before[0].Count = 900 }},
		{"after", "end with a walk", func(r *warmup.Routine) { r.After = []warmup.Step{{Move: "easy-walk", Count: 300}} }},
		{"after", "takes 2 min 59 together; 3 min to 20 min are useful", func(r *warmup.Routine) { r.After[0].Count = 179 }},
	} {
		r := warmup.Default()
		c.change(&r)
		faults := r.Check(warmup.Standard())
		require.NotEmpty(t, faults, c.message)
		require.Equal(t, c.place, faults[0].Place)
		require.Equal(t, c.message, faults[0].Message)
	}
}

func TestAnOwnMovementIsLookedAt(t *testing.T) {
	good := warmup.Move{Name: "Shoulder rolls", Kind: warmup.Dynamic, How: "Roll them.", Usual: 8, Loads: body.Shoulder}
	require.Empty(t, good.Check())
	for _, c := range []struct {
		place  string
		change func(*warmup.Move)
	}{
		{"name", func(m *warmup.Move) { m.Name = " " }},
		{"kind", func(m *warmup.Move) { m.Kind = 9 }},
		{"how", func(m *warmup.Move) { m.How = strings.Repeat("a", 301) }},
		{"usual", func(m *warmup.Move) { m.Usual = 31 }},
		{"loads", func(m *warmup.Move) { m.Loads = 0 }},
	} {
		m := good
		c.change(&m)
		require.Equal(t, c.place, m.Check()[0].Place)
	}
}

func TestWhatIsLeftOut(t *testing.T) {
	hurts := func(words string, score int) []body.Pain { return []body.Pain{{Words: words, Score: score}} }
	for _, c := range []struct {
		name  string
		now   warmup.Circumstances
		out   map[string]string // movement: what takes its place
		words string            // of the first
	}{
		{"no roller", warmup.Circumstances{}, map[string]string{"roll-calves": "", "roll-thighs": ""}, "left out: there is no roller"},
		{
			"a calf", warmup.Circumstances{Roller: true, Pains: hurts("left calf", 3)},
			map[string]string{"roll-calves": "", "ankle-rocks": "", "skips": ""}, "left out: it moves or loads the calf, which hurts",
		},
		{"a calf at 2 is clear", warmup.Circumstances{Roller: true, Pains: hurts("left calf", 2)}, nil, ""},
		{
			"a hip: other movements and another rhythm", warmup.Circumstances{Roller: true, Pains: hurts("hip", 4)},
			map[string]string{"leg-swings": "bow", "lunge-reach": "heels-and-toes", "squat-reach": "", "march": ""}, "left out: it moves or loads the hip, which hurts",
		},
		{
			"a pregnancy", warmup.Circumstances{Roller: true, State: body.Pregnant},
			map[string]string{"roll-calves": "", "roll-thighs": "", "skips": ""}, "left out in pregnancy and soon after a birth, to be gentle with the veins",
		},
		{
			"after a birth", warmup.Circumstances{State: body.JustBorn},
			map[string]string{"roll-calves": "", "roll-thighs": "", "skips": ""}, "left out: there is no roller",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, out := warmup.Fit(warmup.Default().Before, c.now, warmup.Standard())
			got := map[string]string{}
			for _, o := range out {
				got[o.Move] = o.Instead
				require.NotEmpty(t, o.Words())
			}
			require.Len(t, got, len(c.out))
			for move, instead := range c.out {
				require.Equal(t, instead, got[move], move)
			}
			if c.words != "" {
				require.Equal(t, c.words, out[0].Words())
			}
		})
	}
}

func TestFitting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		library := warmup.Standard()
		steps := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) warmup.Step {
			return warmup.Step{Move: rapid.SampledFrom(append(slices.Clone(library), warmup.Move{ID: "gone"})).Draw(t, "move").ID, Count: rapid.IntRange(1, 30).Draw(t, "count")}
		}), 0, 12).Draw(t, "steps")
		now := warmup.Circumstances{
			Roller: rapid.Bool().Draw(t, "roller"),
			State:  rapid.SampledFrom([]body.State{body.Usual, body.Pregnant, body.JustBorn}).Draw(t, "state"),
		}
		for range rapid.IntRange(0, 3).Draw(t, "pains") {
			now.Pains = append(now.Pains, body.Pain{Words: rapid.SampledFrom([]string{"knee", "hip", "calf", "back", "shoulder", "foot"}).Draw(t, "site"), Score: rapid.IntRange(0, 10).Draw(t, "score")})
		}
		fitted, out := warmup.Fit(steps, now, library)
		again, _ := warmup.Fit(steps, now, library)
		require.Equal(t, fitted, again)
		replaced := 0
		for _, o := range out {
			require.Equal(t, steps[o.At].Move, o.Move)
			require.NotEqual(t, warmup.Fits, o.Cause)
			if o.Instead != "" {
				replaced++
			}
		}
		require.Len(t, fitted, len(steps)-len(out)+replaced)
		for _, s := range fitted {
			m, known := library.Find(s.Move)
			require.True(t, known)
			require.Zero(t, m.Loads&body.Spared(now.Pains))
			require.Zero(t, m.Demands&now.State.Forbids())
			require.False(t, m.Kind == warmup.Release && (!now.Roller || now.State != body.Usual))
		}
		for _, s := range steps {
			if m, _ := library.Find(s.Move); m.Kind == warmup.Walk && m.ID != "" {
				require.Contains(t, fitted, s, "a walk stays")
			}
		}
	})
}
