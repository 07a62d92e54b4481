package strength

import (
	"fmt"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/fault"
)

// Target is how often something is done: sets × repetitions, or seconds where the
// exercise is held.
type Target struct {
	Sets      int
	Low, High int // repetitions of a set, or seconds; of each side where the exercise has sides
	Reserve   int // repetitions that could still have been done, at the end of each set
}

// Slot is one place of a session.
type Slot struct {
	Patterns []Pattern // what may stand here, the first before the others
	Exercise string    // its ID
	Target   Target
}

// Session is one strength session.
type Session struct {
	Name  string
	Slots []Slot
}

// Program is what is trained: its sessions take turns.
type Program struct {
	Sessions []Session
	AWeek    int // 2 or 3
}

// Limits of what a coach may set. Adults who begin: 1 to 3 sets of 8 to 12, two or
// three days a week (American College of Sports Medicine, Med Sci Sports Exerc
// 2009;41:687–708, found at second hand); the outer bounds are ours.
const (
	MostSlots    = 8
	MostSets     = 5
	MostReps     = 30
	MostSeconds  = 120
	MostReserve  = 5
	FewestAWeek  = 1
	MostAWeek    = 3
	MostSessions = 4
)

// Beginner is what somebody new to strength training begins with: 2 sets of 8 to 12
// with 2 to 4 repetitions in reserve (common practice for novices), of which the
// lower bound is asked. One set is enough to begin with; the second is ours.
func Beginner() Target { return Target{Sets: 2, Low: 8, High: 12, Reserve: 2} }

// BeginnerHold is the same for what is held: 15 to 30 seconds (common practice).
func BeginnerHold() Target { return Target{Sets: 2, Low: 15, High: 30, Reserve: 2} }

// Default is the programme that everybody begins with: three short whole-body
// sessions a week, each of squat, hinge, single leg, pull, and two of press and
// core (common practice). Dumbbells are all that it needs.
func Default() Program {
	return Program{AWeek: 3, Sessions: []Session{
		session("A", "chair-squat", "hip-hinge", "balance-reach", "one-arm-row", "seated-press", "arm-leg-reach"),
		session("B", "sit-to-stand", "deadlift", "split-squat", "one-arm-row", "carry", "floor-press"),
		session("C", "squat", "bridge", "heel-raise", "wall-pull", "wall-slide", "dead-bug"),
	}}
}

// session is a session of the default programme.
func session(name string, exercises ...string) Session {
	library := Standard()
	patterns := [][]Pattern{{Squat}, {Hinge}, {SingleLeg}, {Pull}, {VerticalPress, Core}, {HorizontalPress, Core}}
	s := Session{Name: name}
	for i, id := range exercises {
		e, _ := library.Find(id)
		target := Beginner()
		if e.Measure == Hold {
			target = BeginnerHold()
		}
		s.Slots = append(s.Slots, Slot{Patterns: patterns[i], Exercise: id, Target: target})
	}
	return s
}

// Check finds what is wrong with an edited programme; places are paths such as
// sessions[0].slots[2].sets. Nothing wrong is nil.
func (p *Program) Check(l Library) []fault.Field {
	var faults []fault.Field
	if p.AWeek < FewestAWeek || p.AWeek > MostAWeek {
		faults = append(faults, outOf("a_week", FewestAWeek, MostAWeek, p.AWeek))
	}
	if len(p.Sessions) < 1 || len(p.Sessions) > MostSessions {
		faults = append(faults, outOf("sessions", 1, MostSessions, len(p.Sessions)))
	}
	for i := range p.Sessions {
		faults = append(faults, p.Sessions[i].check(fmt.Sprintf("sessions[%d]", i), l)...)
	}
	return faults
}

func (s *Session) check(place string, l Library) []fault.Field {
	var faults []fault.Field
	if strings.TrimSpace(s.Name) == "" {
		faults = append(faults, fault.Field{Place: place + ".name", Message: "needs a name"})
	}
	if len(s.Slots) < 1 || len(s.Slots) > MostSlots {
		faults = append(faults, outOf(place+".slots", 1, MostSlots, len(s.Slots)))
	}
	seen := map[string]bool{}
	for i, slot := range s.Slots {
		at := fmt.Sprintf("%s.slots[%d]", place, i)
		faults = append(faults, slot.check(at, l)...)
		if seen[slot.Exercise] {
			faults = append(faults, fault.Field{Place: at + ".exercise", Message: "is in this session twice"})
		}
		seen[slot.Exercise] = true
	}
	return faults
}

func (s *Slot) check(place string, l Library) []fault.Field {
	e, known := l.Find(s.Exercise)
	if !known {
		return []fault.Field{{Place: place + ".exercise", Message: "is not in the library"}}
	}
	var faults []fault.Field
	if !slices.Contains(s.Patterns, e.Pattern) {
		faults = append(faults, fault.Field{Place: place + ".exercise", Message: "is a " + e.Pattern.Words() + ", which does not belong here"})
	}
	most := MostReps
	if e.Measure == Hold {
		most = MostSeconds
	}
	t := s.Target
	for _, c := range []struct {
		name             string
		least, most, got int
	}{
		{"sets", 1, MostSets, t.Sets}, {"low", 1, most, t.Low}, {"high", max(t.Low, 1), most, t.High}, {"reserve", 0, MostReserve, t.Reserve},
	} {
		if c.got < c.least || c.got > c.most {
			faults = append(faults, outOf(place+"."+c.name, c.least, c.most, c.got))
		}
	}
	return faults
}

func outOf(place string, least, most, got int) fault.Field {
	return fault.Field{Place: place, Message: fmt.Sprintf("must be %d to %d, not %d", least, most, got)}
}

// Limits of an exercise that a coach adds.
const (
	LongestName = 60  // letters
	LongestText = 200 // of a cue, a form or a caution
	MostCues    = 6
)

// Check finds what is wrong with an exercise that a coach adds. Without a place that
// it loads it could not be left out when that place hurts, so one is asked for.
func (e *Exercise) Check() []fault.Field {
	var faults []fault.Field
	wrong := func(when bool, place, message string) {
		if when {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	name := len([]rune(strings.TrimSpace(e.Name)))
	wrong(name == 0, "name", "needs a name")
	wrong(name > LongestName, "name", fmt.Sprintf("must be at most %d letters", LongestName))
	wrong(e.Pattern >= nPatterns, "pattern", "is not one of the patterns")
	wrong(e.Measure > Hold, "measure", "is not one of the measures")
	wrong(e.Level < 1 || e.Level > 3, "level", "must be 1 to 3")
	wrong(len(e.Cues) == 0, "cues", "say in a sentence or two how it is done")
	wrong(len(e.Cues) > MostCues, "cues", fmt.Sprintf("must be at most %d", MostCues))
	for i, cue := range e.Cues {
		length := len([]rune(strings.TrimSpace(cue)))
		wrong(length == 0 || length > LongestText, fmt.Sprintf("cues[%d]", i), fmt.Sprintf("must be 1 to %d letters", LongestText))
	}
	for place, text := range map[string]string{"easier": e.Easier, "harder": e.Harder, "caution": e.Caution} {
		wrong(len([]rune(text)) > LongestText, place, fmt.Sprintf("must be at most %d letters", LongestText))
	}
	wrong(e.Loads == 0, "loads", "say what it loads, so that it can be left out when that hurts")
	slices.SortStableFunc(faults, func(a, b fault.Field) int { return strings.Compare(a.Place, b.Place) })
	return faults
}
