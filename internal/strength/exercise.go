// Package strength holds the exercises of a short whole-body session as data, fits
// a programme to what somebody has and to what hurts, and says by rule with how much
// to go on. Strength training asks little time and may help to keep runners whole
// (Lauersen and others, Br J Sports Med 2014;48:871–877, found: few trials, mostly
// of team sports), so nothing here promises more than that.
package strength

import (
	"slices"

	"halfhour.app/halfhour/internal/body"
)

// Pattern is the sort of movement that an exercise trains.
type Pattern uint8

// The patterns, in the order of a session.
const (
	Squat Pattern = iota
	Hinge
	SingleLeg
	Pull
	VerticalPress
	HorizontalPress
	Core
	nPatterns = iota
)

var (
	patternNames = [nPatterns]string{"squat", "hinge", "single_leg", "pull", "vertical_press", "horizontal_press", "core"}
	patternWords = [nPatterns]string{"squat", "hinge", "single leg", "pull", "press overhead", "press forward", "core"}
)

// Patterns are all patterns in the order of a session.
func Patterns() []Pattern {
	all := make([]Pattern, nPatterns)
	for i := range all {
		all[i] = Pattern(i)
	}
	return all
}

// String is the pattern's name as it is kept.
func (p Pattern) String() string { return patternNames[p] }

// Words are the pattern as people say it.
func (p Pattern) Words() string { return patternWords[p] }

// ParsePattern reads a name as String writes it; false where there is none such.
func ParsePattern(name string) (Pattern, bool) {
	i := slices.Index(patternNames[:], name)
	return Pattern(max(i, 0)), i >= 0
}

// Gear is a set of things that an exercise needs beside the floor, a wall and a
// chair.
type Gear uint8

// The things, as bits.
const (
	Dumbbells Gear = 1 << iota
	Band
	Bench
	Step
	nGear = iota
)

var gearNames = [nGear]string{"dumbbells", "band", "bench", "step"}

// Things are the single things of the set.
func (g Gear) Things() []Gear {
	var all []Gear
	for i := range nGear {
		if one := Gear(1) << i; g&one != 0 {
			all = append(all, one)
		}
	}
	return all
}

// String names one thing: "dumbbells"; of several the first, of none "nothing".
func (g Gear) String() string {
	for i, name := range gearNames {
		if g&(1<<i) != 0 {
			return name
		}
	}
	return "nothing"
}

// ParseGear reads the name of one thing; false where there is no such thing.
func ParseGear(name string) (Gear, bool) {
	i := slices.Index(gearNames[:], name)
	if i < 0 {
		return 0, false
	}
	return 1 << i, true
}

// Measure is what is counted.
type Measure uint8

// The measures.
const (
	Weight Measure = iota // repetitions with a weight in the hands
	Reps                  // repetitions with nothing but the body, or a band
	Hold                  // seconds
)

// Exercise is one exercise of the library, or one that a coach added.
type Exercise struct {
	ID      string // unique in its library
	Name    string
	Pattern Pattern
	Needs   Gear // zero: nothing beside the floor, a wall or a chair
	Measure Measure
	Sides   bool     // one side after the other: each counts
	Level   int      // 1 easy to 3 hard, within the pattern
	Cues    []string // two to four, in the order of doing
	Easier  string   // the ID of an exercise, or words; empty: there is none
	Harder  string   // likewise
	Caution string   // empty: nothing of its own
	Loads   body.Site
	Demands body.Demand
	Hard    bool   // hard on the legs: not on the day before a run
	Figure  string // ID of a drawing; empty: none
}

// Library is a list of exercises; where two have one ID the first holds.
type Library []Exercise

// Find is the exercise of the ID; false where there is none.
func (l Library) Find(id string) (Exercise, bool) {
	for i := range l {
		if l[i].ID == id {
			return l[i], true
		}
	}
	return Exercise{}, false
}

// HardOnLegs are the IDs of those that are hard on the legs.
func (l Library) HardOnLegs() []string {
	var ids []string
	for i := range l {
		if l[i].Hard && l.holds(i) {
			ids = append(ids, l[i].ID)
		}
	}
	return ids
}

// holds says whether the exercise at i is the first of its ID.
func (l Library) holds(i int) bool {
	return slices.IndexFunc(l, func(e Exercise) bool { return e.ID == l[i].ID }) == i
}

// Of are the exercises of the pattern, in the order of the library.
func (l Library) Of(p Pattern) Library {
	var of Library
	for i := range l {
		if l[i].Pattern == p {
			of = append(of, l[i])
		}
	}
	return of
}

// Standard is the library that every club has. Which exercise trains what is common
// practice; the words, the grading and what each loads are ours.
func Standard() Library {
	return slices.Concat(squats(), hinges(), singleLegs(), pulls(), verticalPresses(), horizontalPresses(), cores())
}
