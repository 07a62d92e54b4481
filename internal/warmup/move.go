// Package warmup holds the movements before a session and the walk after it as
// data, the routine that everybody begins with, checks on an edited one, and what of
// a routine is left out with pain, in pregnancy or without a roller.
package warmup

import (
	"slices"

	"halfhour.app/halfhour/internal/body"
)

// Purpose says to people what a warm-up is for, and no more than is known: a trial
// that taught runners to warm up, cool down and stretch found no fewer injuries (van
// Mechelen and others 1993, from memory).
const Purpose = "A few minutes of moving make the first minutes easier. Nobody has shown that they keep injuries away, so there is no harm in a short one."

// AfterPurpose is the same of the walk at the end (common practice: it is there
// against dizziness when somebody stops at once).
const AfterPurpose = "Walking on for five minutes lets your breath and your head come down slowly; stopping at once makes some people dizzy."

// Caution stands over every routine.
const Caution = "Move as far as it is comfortable, never into pain. Leave out what hurts. This is no medical advice."

// Kind is what a movement is there for.
type Kind uint8

// The kinds, in the order of a routine.
const (
	Walk     Kind = iota // an easy walk to begin with
	Release              // rolling, where there is a roller
	Dynamic              // through the full range
	Rhythm               // quick and light, the last before the session
	CoolDown             // after it
	nKinds   = iota
)

var (
	kindNames = [nKinds]string{"walk", "release", "dynamic", "rhythm", "cool_down"}
	kindWords = [nKinds]string{"Easy walk", "With the roller", "Movements", "Rhythm", "Cool-down"}
)

// String is the kind's name as it is kept.
func (k Kind) String() string { return kindNames[k] }

// Words are the kind as a heading.
func (k Kind) Words() string { return kindWords[k] }

// ParseKind reads a name as String writes it; false where there is none such.
func ParseKind(name string) (Kind, bool) {
	i := slices.Index(kindNames[:], name)
	return Kind(max(i, 0)), i >= 0
}

// Move is one movement of the library, or one that a coach added.
type Move struct {
	ID      string // unique in its library
	Name    string
	Kind    Kind
	How     string // in a sentence or two
	Sides   bool   // one side after the other: seconds and repetitions are of each
	Timed   bool   // counted in seconds, not in repetitions
	Usual   int    // how many of them, where nobody says otherwise
	Loads   body.Site
	Demands body.Demand
	Figure  string // ID of a drawing; empty: none
}

// Library is a list of movements; where two have one ID the first holds.
type Library []Move

// Find is the movement of the ID; false where there is none.
func (l Library) Find(id string) (Move, bool) {
	for i := range l {
		if l[i].ID == id {
			return l[i], true
		}
	}
	return Move{}, false
}

// Standard is the library that every club has (common practice; the words and what
// each loads are ours).
func Standard() Library {
	return slices.Concat(walks(), releases(), dynamics(), rhythms())
}

func walks() Library {
	return Library{
		{ID: "easy-walk", Name: "Easy walk", Kind: Walk, Timed: true, Usual: 300, Figure: "walk",
			How: "Walk as if you had time, arms loose, a little brisker towards the end. You could chat all the while."},
		{ID: "cool-walk", Name: "Walk it down", Kind: CoolDown, Timed: true, Usual: 300, Figure: "walk",
			How: "Walk on, slower and slower, until your breath is as it was before. Do not stop at once."},
	}
}

func releases() Library {
	return Library{
		{ID: "roll-calves", Name: "Roll your calves", Kind: Release, Sides: true, Timed: true, Usual: 30, Figure: "roll-calf", Loads: body.Calf | body.Achilles | body.Wrist,
			How: "Sit on the floor, one calf on the roller, hands behind you. Roll slowly from the ankle to below the knee. Never over a calf that is swollen, warm or sore."},
		{ID: "roll-thighs", Name: "Roll your thighs", Kind: Release, Sides: true, Timed: true, Usual: 30, Figure: "roll-thigh", Loads: body.Thigh | body.Shoulder, Demands: body.OnFront,
			How: "Lie on your forearms, the front of one thigh on the roller. Roll slowly from the hip to above the knee and breathe on."},
		{ID: "roll-buttocks", Name: "Roll your buttocks", Kind: Release, Sides: true, Timed: true, Usual: 30, Figure: "roll-buttocks", Loads: body.Hip | body.Wrist,
			How: "Sit on the roller, a little to one side, hands behind you. Roll slowly over the buttock."},
	}
}

func dynamics() Library {
	return Library{
		{ID: "leg-swings", Name: "Leg swings to front and back", Kind: Dynamic, Sides: true, Usual: 10, Figure: "leg-swing", Loads: body.Hip | body.Thigh,
			How: "Hold on to a wall or a tree. Let one leg swing forward and back, a little higher each time, trunk quiet."},
		{ID: "ankle-rocks", Name: "Knee over toes", Kind: Dynamic, Sides: true, Usual: 10, Figure: "ankle-rock", Loads: body.Ankle | body.Achilles | body.Calf,
			How: "Hands on a wall, one foot in front. Push that knee forward over the toes and back; the heel stays down."},
		{ID: "lunge-reach", Name: "Step back and reach up", Kind: Dynamic, Sides: true, Usual: 6, Figure: "lunge-reach", Loads: body.Knee | body.Hip | body.Shoulder | body.Foot,
			How: "Step back with one leg, bend both knees a little and reach up with both arms. Come back to standing."},
		{ID: "squat-reach", Name: "Squat and reach forward", Kind: Dynamic, Usual: 8, Figure: "squat-reach", Loads: body.Knee | body.Hip,
			How: "Sit down as far as it is comfortable, arms forward, heels on the ground. Stand up tall."},
		{ID: "side-swings", Name: "Leg swings to the side", Kind: Dynamic, Sides: true, Usual: 10, Figure: "side-swing", Loads: body.Hip,
			How: "Face a wall, both hands on it. Let one leg swing out to the side and across in front of you."},
		{ID: "knee-circles", Name: "Knee lifts, opening the hip", Kind: Dynamic, Sides: true, Usual: 8, Figure: "knee-lift", Loads: body.Hip,
			How: "Stand tall, a hand on the wall if you like. Lift one knee, turn it out to the side, put the foot down."},
		{ID: "bow", Name: "Bow with a long back", Kind: Dynamic, Usual: 8, Figure: "hinge", Loads: body.Back | body.Thigh,
			How: "Hands on your thighs, knees soft. Push the hips back, back long, until the backs of your thighs pull. Come up."},
		{ID: "heels-and-toes", Name: "Heels up, toes up", Kind: Dynamic, Usual: 12, Figure: "heel-raise", Loads: body.Calf | body.Achilles | body.Foot | body.Shin,
			How: "Finger tips on a wall. Rise onto your toes, come down, lift the fronts of your feet. Slowly."},
		{ID: "arm-circles", Name: "Arm circles", Kind: Dynamic, Usual: 8, Figure: "arm-circle", Loads: body.Shoulder,
			How: "Stand tall and draw large circles with both arms, forward, then back."},
	}
}

func rhythms() Library {
	return Library{
		{ID: "march", Name: "March on the spot", Kind: Rhythm, Timed: true, Usual: 30, Figure: "march", Loads: body.Hip | body.Foot,
			How: "Knees up to where it is comfortable, arms along, quick and quiet feet."},
		{ID: "skips", Name: "Easy skips", Kind: Rhythm, Timed: true, Usual: 20, Figure: "skip", Loads: body.Foot | body.Ankle | body.Achilles | body.Calf | body.Shin | body.Knee, Demands: body.Hops,
			How: "Skip forward as children do, low and loose. Land softly on the front of the foot."},
		{ID: "quick-feet", Name: "Quick feet", Kind: Rhythm, Timed: true, Usual: 20, Figure: "quick-feet", Loads: body.Foot | body.Ankle | body.Achilles | body.Calf,
			How: "Tiny fast steps on the spot. One foot always touches the ground; heels are light."},
	}
}
