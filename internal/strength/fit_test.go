package strength_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/strength"
)

// one is a programme of one session with one place for each exercise, open to its own
// pattern and what is named besides.
func one(exercises ...string) strength.Program {
	s := strength.Session{Name: "A"}
	for _, id := range exercises {
		e, _ := strength.Standard().Find(id)
		s.Slots = append(s.Slots, strength.Slot{Patterns: []strength.Pattern{e.Pattern}, Exercise: id, Target: strength.Beginner()})
	}
	return strength.Program{AWeek: 2, Sessions: []strength.Session{s}}
}

func exercises(s strength.Session) []string {
	var ids []string
	for _, slot := range s.Slots {
		ids = append(ids, slot.Exercise)
	}
	return ids
}

func TestTheDefaultProgramme(t *testing.T) {
	library, p := strength.Standard(), strength.Default()
	require.Empty(t, p.Check(library))
	require.Len(t, p.Sessions, 3)
	for _, s := range p.Sessions {
		require.GreaterOrEqual(t, s.Minutes(library), 20, "short, but not too short")
		require.LessOrEqual(t, s.Minutes(library), 30)
		require.True(t, s.Hard(library))
		for _, slot := range s.Slots {
			require.GreaterOrEqual(t, slot.Target.Reserve, 2, "novices leave 2 to 4 in reserve")
			require.LessOrEqual(t, slot.Target.Reserve, 4)
		}
	}
	f := strength.Fit(p, strength.Circumstances{Has: strength.Dumbbells}, library)
	require.Equal(t, p, f.Program, "dumbbells are all that it needs")
	require.Empty(t, f.Swaps)
	require.Equal(t, strength.NoNeed, f.Need)
}

func TestWhatDoesNotFitIsSwapped(t *testing.T) {
	dumbbells := strength.Dumbbells
	for _, c := range []struct {
		name     string
		exercise string
		now      strength.Circumstances
		to       string
		words    string
	}{
		{"the nearest that is easier comes before one as far that is harder", "goblet-squat", strength.Circumstances{}, "squat", "Goblet squat: it needs dumbbells. Instead: Squat."},
		{"a place at 3 of 10", "deadlift", strength.Circumstances{Has: dumbbells, Pains: []body.Pain{{Words: "back", Score: 3}}}, "bridge", "Romanian deadlift: it loads the back, which hurts. Instead: Bridge."},
		{"left and right are the same place", "balance-reach", strength.Circumstances{Pains: []body.Pain{{Words: "left knee", Score: 4}}}, "side-leg-raise", "Reach on one leg: it loads the knee, which hurts. Instead: Leg raise lying on your side."},
		{"a pregnancy", "floor-press", strength.Circumstances{Has: dumbbells, State: body.Pregnant}, "table-press-up", "Press lying on the floor: it lies on the back, which is left out in pregnancy. Instead: Press-up on a worktop."},
		{"after a birth", "plank", strength.Circumstances{Has: dumbbells, State: body.JustBorn}, "carry", "Plank on the forearms: it strains the belly, which is left out in the first 12 weeks after a birth. Instead: Carry on one side."},
		{"before a run", "split-squat", strength.Circumstances{Has: dumbbells, RunTomorrow: true}, "side-leg-raise", "Split squat: it is hard on the legs, and the next run is tomorrow. Instead: Leg raise lying on your side."},
		{"two reasons", "deadlift", strength.Circumstances{RunTomorrow: true}, "hip-hinge", "Romanian deadlift: it needs dumbbells; it is hard on the legs, and the next run is tomorrow. Instead: Hip hinge."},
		{"nothing is left", "squat", strength.Circumstances{Pains: []body.Pain{{Words: "right knee", Score: 5}}}, "", "Squat: it loads the knee, which hurts. Nothing that fits is left in its place, so it is left out."},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := strength.Fit(one(c.exercise), c.now, strength.Standard())
			require.Len(t, f.Swaps, 1)
			require.Equal(t, c.to, f.Swaps[0].To)
			require.Equal(t, c.words, f.Swaps[0].Words(strength.Standard()))
			if c.to == "" {
				require.Empty(t, f.Program.Sessions[0].Slots)
			} else {
				require.Equal(t, []string{c.to}, exercises(f.Program.Sessions[0]))
			}
		})
	}
}

func TestAPainOfTwoIsClear(t *testing.T) {
	f := strength.Fit(one("squat"), strength.Circumstances{Pains: []body.Pain{{Words: "left knee", Score: 2}}}, strength.Standard())
	require.Empty(t, f.Swaps)
	require.Equal(t, strength.NoNeed, f.Need)
}

func TestASessionHasEveryExerciseOnce(t *testing.T) {
	f := strength.Fit(one("goblet-squat", "squat", "squat"), strength.Circumstances{}, strength.Standard())
	require.Equal(t, []string{"sit-to-stand", "squat"}, exercises(f.Program.Sessions[0]), "what fits stays where it is")
	require.Equal(t, strength.TwiceInHere, f.Swaps[1].Why[0].Cause)
	require.Empty(t, f.Swaps[1].To)
	require.Equal(t, 2, f.Swaps[1].Slot, "the place in the programme that was given")
}

func TestAnotherPatternMayStandIn(t *testing.T) {
	p := one("seated-press")
	p.Sessions[0].Slots[0].Patterns = []strength.Pattern{strength.VerticalPress, strength.Core}
	now := strength.Circumstances{Has: strength.Dumbbells, Pains: []body.Pain{{Words: "shoulder", Score: 3}}}
	f := strength.Fit(p, now, strength.Standard())
	require.Equal(t, []string{"dead-bug"}, exercises(f.Program.Sessions[0]))

	now.State = body.JustBorn
	f = strength.Fit(p, now, strength.Standard())
	require.Equal(t, []string{"side-breath"}, exercises(f.Program.Sessions[0]))
}

func TestSecondsAndRepetitionsDoNotCarryOver(t *testing.T) {
	p := one("plank")
	p.Sessions[0].Slots[0].Target = strength.Target{Sets: 3, Low: 20, High: 40, Reserve: 3}
	pregnant := strength.Circumstances{State: body.Pregnant}
	f := strength.Fit(p, pregnant, strength.Standard())
	require.Equal(t, []string{"side-breath"}, exercises(f.Program.Sessions[0]))
	require.Equal(t, strength.Target{Sets: 3, Low: 8, High: 12, Reserve: 2}, f.Program.Sessions[0].Slots[0].Target)
}

func TestWhatTheLibraryLost(t *testing.T) {
	p := one("squat")
	p.Sessions[0].Slots[0].Exercise = "own-7"
	f := strength.Fit(p, strength.Circumstances{}, strength.Standard())
	require.Equal(t, []string{"sit-to-stand"}, exercises(f.Program.Sessions[0]))
	require.Equal(t, "An exercise of before: it is no longer in the library. Instead: Sit to stand.", f.Swaps[0].Words(strength.Standard()))
}

func TestWhatSomebodyHasToLookAt(t *testing.T) {
	pains := func(words string, score int) []body.Pain { return []body.Pain{{Words: words, Score: score}} }
	for _, c := range []struct {
		now  strength.Circumstances
		need strength.Need
		why  string
	}{
		{strength.Circumstances{Pains: pains("left knee", 6)}, strength.AskCoach, "6 pauses running, too (rule 6.1)"},
		{strength.Circumstances{Pains: pains("left knee", 5)}, strength.NoNeed, "what loads it is left out"},
		{strength.Circumstances{Pains: pains("behind", 3)}, strength.AskWhere, "nobody knows what to leave out"},
		{strength.Circumstances{Pains: pains("behind", 2)}, strength.NoNeed, "clear"},
		{strength.Circumstances{Stopped: true, Pains: pains("left knee", 6)}, strength.NotCleared, "a warning sign outranks (rule 6.6)"},
	} {
		f := strength.Fit(strength.Default(), c.now, strength.Standard())
		require.Equal(t, c.need, f.Need, c.why)
		require.Equal(t, c.need == strength.NoNeed, f.Need.Words() == "", c.why)
		require.Equal(t, c.need == strength.NotCleared, len(f.Program.Sessions) == 0, c.why)
	}
}

func TestAnEditedProgrammeIsLookedAt(t *testing.T) {
	for _, c := range []struct {
		place  string
		change func(*strength.Program)
	}{
		{"a_week", func(p *strength.Program) { p.AWeek = 4 }},
		{"sessions", func(p *strength.Program) { p.Sessions = nil }},
		{"sessions[0].name", func(p *strength.Program) { p.Sessions[0].Name = " " }},
		{"sessions[1].slots", func(p *strength.Program) { p.Sessions[1].Slots = nil }},
		{"sessions[0].slots[2].exercise", func(p *strength.Program) { p.Sessions[0].Slots[2].Exercise = "jump" }},
		{"sessions[0].slots[0].exercise", func(p *strength.Program) { p.Sessions[0].Slots[0].Exercise = "plank" }},
		{"sessions[0].slots[0].sets", func(p *strength.Program) { p.Sessions[0].Slots[0].Target.Sets = 6 }},
		{"sessions[0].slots[0].low", func(p *strength.Program) { p.Sessions[0].Slots[0].Target.Low = 0 }},
		{"sessions[0].slots[0].high", func(p *strength.Program) { p.Sessions[0].Slots[0].Target.High = 7 }},
		{"sessions[0].slots[0].high", func(p *strength.Program) { p.Sessions[0].Slots[0].Target.High = 31 }},
		{"sessions[0].slots[0].reserve", func(p *strength.Program) { p.Sessions[0].Slots[0].Target.Reserve = 6 }},
	} {
		p := strength.Default()
		c.change(&p)
		faults := p.Check(strength.Standard())
		require.Len(t, faults, 1, c.place)
		require.Equal(t, c.place, faults[0].Place)
	}
	p := strength.Default()
	p.Sessions[0].Slots = append(p.Sessions[0].Slots, p.Sessions[0].Slots[0])
	require.Equal(t, "sessions[0].slots[6].exercise", p.Check(strength.Standard())[0].Place, "twice in one session")
	p = strength.Default()
	p.Sessions[1].Slots[4].Target.High = 120
	require.Empty(t, p.Check(strength.Standard()), "what is held is counted in seconds")
}

// Nothing promises what nobody has shown, and what can hurt says whom to ask.
func TestWhatIsSaidOfIt(t *testing.T) {
	require.Contains(t, strength.Purpose, "may help")
	require.NotContains(t, strength.Purpose, "prevent")
	require.Contains(t, strength.Caution, "no medical advice")
	for _, state := range []body.State{body.Pregnant, body.JustBorn} {
		now := strength.Circumstances{State: state}
		require.Len(t, now.Cautions(), 2)
		require.Contains(t, now.Cautions()[1], "midwife")
	}
	usual := strength.Circumstances{}
	require.Nil(t, usual.Cautions())
}

func TestHowMuchOfAWeekIsHard(t *testing.T) {
	light, hard := strength.Session{Slots: []strength.Slot{{Exercise: "bridge"}}}, strength.Session{Slots: []strength.Slot{{Exercise: "goblet-squat"}}}
	for _, k := range []struct {
		sessions   []strength.Session
		aWeek      int
		week, hard int
		why        string
	}{
		{nil, 2, 0, 0, "an ended one"},
		{[]strength.Session{light, light}, 2, 2, 0, "none is"},
		{[]strength.Session{hard, light}, 2, 2, 1, "every other"},
		{[]strength.Session{hard, light}, 3, 3, 2, "they take turns: two in every other week"},
		{[]strength.Session{hard, hard, light}, 1, 1, 1, "most are"},
		{[]strength.Session{hard}, 3, 3, 3, "all are"},
	} {
		p := strength.Program{Sessions: k.sessions, AWeek: k.aWeek}
		week, hard := p.InAWeek(strength.Standard())
		require.Equal(t, [2]int{k.week, k.hard}, [2]int{week, hard}, k.why)
	}
}
