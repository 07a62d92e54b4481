package strength_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/strength"
)

func TestTheLibraryIsSound(t *testing.T) {
	library := strength.Standard()
	seen := map[string]bool{}
	for _, e := range library {
		require.False(t, seen[e.ID], "%s is there twice", e.ID)
		seen[e.ID] = true
		if e.Loads == 0 { // one may load nothing: it is what is left when everything hurts
			require.Equal(t, "side-breath", e.ID)
			e.Loads = body.Hip
		}
		require.Empty(t, e.Check(), e.ID)
		require.GreaterOrEqual(t, len(e.Cues), 2, e.ID)
		require.LessOrEqual(t, len(e.Cues), 4, e.ID)
		require.NotEmpty(t, e.Easier, e.ID)
		require.NotEmpty(t, e.Harder, e.ID)
		if e.Measure == strength.Weight {
			require.NotZero(t, e.Needs&strength.Dumbbells, "%s: a weight comes from somewhere", e.ID)
		}
	}
}

func TestEveryPatternHasThreeExercisesAndOneForEverybody(t *testing.T) {
	for _, p := range strength.Patterns() {
		of := strength.Standard().Of(p)
		require.GreaterOrEqual(t, len(of), 3, p)
		for _, c := range []struct {
			now strength.Circumstances
			why string
		}{
			{strength.Circumstances{}, "nothing at home"},
			{strength.Circumstances{State: body.Pregnant}, "pregnant with nothing at home"},
			{strength.Circumstances{State: body.JustBorn, RunTomorrow: true}, "after a birth, with a run tomorrow"},
		} {
			left := 0
			for _, e := range of {
				if c.now.Fits(&e) == nil {
					left++
				}
			}
			require.NotZero(t, left, "%s: %s", p, c.why)
		}
	}
}

// An easier form that is an exercise is of the same pattern and no harder; following
// the forms ends in words.
func TestFormsLeadSomewhere(t *testing.T) {
	library := strength.Standard()
	for _, e := range library {
		if f, known := library.Find(e.Easier); known {
			require.Equal(t, e.Pattern, f.Pattern, e.ID)
			require.LessOrEqual(t, f.Level, e.Level, e.ID)
		}
		if f, known := library.Find(e.Harder); known {
			require.Equal(t, e.Pattern, f.Pattern, e.ID)
			require.GreaterOrEqual(t, f.Level, e.Level, e.ID)
		}
		for _, next := range []func(strength.Exercise) string{
			func(e strength.Exercise) string { return e.Easier }, func(e strength.Exercise) string { return e.Harder },
		} {
			at, known, steps := e, true, 0
			for ; known; steps++ {
				require.Less(t, steps, len(library), "%s leads in a circle", e.ID)
				at, known = library.Find(next(at))
			}
		}
	}
}

func TestNamesAreReadBack(t *testing.T) {
	for _, p := range strength.Patterns() {
		back, known := strength.ParsePattern(p.String())
		require.True(t, known)
		require.Equal(t, p, back)
		require.NotEmpty(t, p.Words())
	}
	_, known := strength.ParsePattern("jump")
	require.False(t, known)
	all := strength.Dumbbells | strength.Band | strength.Bench | strength.Step
	require.Len(t, all.Things(), 4)
	for _, g := range all.Things() {
		back, known := strength.ParseGear(g.String())
		require.True(t, known)
		require.Equal(t, g, back)
	}
	_, known = strength.ParseGear("barbell")
	require.False(t, known)
	require.Equal(t, "nothing", strength.Gear(0).String())
	_, known = strength.Standard().Find("barbell-squat")
	require.False(t, known)
}

func TestAnOwnExerciseIsLookedAt(t *testing.T) {
	good := strength.Exercise{Name: "Sled push", Pattern: strength.Squat, Measure: strength.Reps, Level: 2, Cues: []string{"Push."}, Loads: body.Knee}
	require.Empty(t, good.Check())
	for _, c := range []struct {
		place  string
		change func(*strength.Exercise)
		why    string
	}{
		{"name", func(e *strength.Exercise) { e.Name = "  " }, "spaces are no name"},
		{"name", func(e *strength.Exercise) { e.Name = string(make([]rune, 61)) }, "one letter too many"},
		{"pattern", func(e *strength.Exercise) { e.Pattern = 7 }, "no such pattern"},
		{"measure", func(e *strength.Exercise) { e.Measure = 3 }, "no such measure"},
		{"level", func(e *strength.Exercise) { e.Level = 0 }, "not graded"},
		{"level", func(e *strength.Exercise) { e.Level = 4 }, "beyond hard"},
		{"cues", func(e *strength.Exercise) { e.Cues = nil }, "nobody would know how"},
		{"cues", func(e *strength.Exercise) { e.Cues = make([]string, 7) }, "too many to read"},
		{"cues[1]", func(e *strength.Exercise) { e.Cues = []string{"Push.", ""} }, "an empty one"},
		{"caution", func(e *strength.Exercise) { e.Caution = string(make([]rune, 201)) }, "too long"},
		{"loads", func(e *strength.Exercise) { e.Loads = 0 }, "it could not be left out when something hurts"},
	} {
		e := good
		c.change(&e)
		faults := e.Check()
		require.NotEmpty(t, faults, c.why)
		require.Equal(t, c.place, faults[0].Place, c.why)
	}
}
