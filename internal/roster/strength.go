package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/strength"
)

// ProgramID and ExerciseID are unique within a club and never used again; 0 is none.
type (
	ProgramID  int64
	ExerciseID int64
)

// Program is one version of what an athlete trains for strength. The newest holds; one
// without sessions ends it.
type Program struct {
	ID      ProgramID
	Athlete AthleteID
	strength.Program
	At      time.Time
	ByCoach CoachID
	By      string // the coach's name
	Hard    int    // when it is given: how many of a week's sessions are hard on the legs; not kept with it
}

// Kit is what an athlete has to lift with.
type Kit struct {
	Athlete AthleteID
	Has     strength.Gear
	Rack    strength.Rack
	At      time.Time // when it was told; zero: it was not, and UsualKit stands in
}

// UsualKit stands in where nobody told what there is: dumbbells by the kilogram (ours).
func UsualKit() Kit {
	return Kit{Has: strength.Dumbbells, Rack: strength.Rack{Least: 1000, Most: 20_000, Step: 1000}}
}

// Lift is what was done of one exercise in a session.
type Lift struct {
	Exercise string          // its ID
	For      string          // the exercise of the programme in whose place it was done; the same where it was that one
	Grams    int             // of one dumbbell; 0: none
	Sets     []int           // repetitions of each set, or seconds; empty: left out
	Reserve  readiness.Maybe // repetitions still left after the hardest set; not known: not told
}

// Lifted is what was done in one session of kind strength, with what of the session it
// is read with.
type Lifted struct {
	Session   SessionID
	Date      day.Date
	StartedAt time.Time
	Turn      string // the name of the programme's session; empty: of none
	Lifts     []Lift
	Pain      []readiness.Pain
}

// OwnExercise is one that a coach added to the club's library.
type OwnExercise struct {
	Number ExerciseID
	strength.Exercise
	AwayAt  time.Time // when it was put away; zero: it can be chosen
	Version int       // counts changes
}

// Strength is everything kept of an athlete's strength training.
type Strength struct {
	Program Program // the newest version; zero: none was ever given
	Kit     Kit
	Lifted  []Lifted      // the newest first
	Own     []OwnExercise // of the club, in the order they were added, those put away among them
}

// Library is what can be chosen: the standard library, and the club's own exercises
// that were not put away.
func Library(own []OwnExercise) strength.Library {
	all := strength.Standard()
	for i := range own {
		if own[i].AwayAt.IsZero() {
			all = append(all, own[i].Exercise)
		}
	}
	return all
}

// Known are all exercises there ever were, for the names of what was done.
func Known(own []OwnExercise) strength.Library {
	all := strength.Standard()
	for i := range own {
		all = append(all, own[i].Exercise)
	}
	return all
}
