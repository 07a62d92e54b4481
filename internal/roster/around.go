package roster

import (
	"time"

	"halfhour.app/halfhour/internal/warmup"
)

// RoutineID and MovementID are unique within a club and never used again; 0 is none.
type (
	RoutineID  int64
	MovementID int64
)

// Around says what became of the warm-up or the cool-down of a session.
type Around string

// What may be told of it.
const (
	AroundNotTold Around = ""
	AroundDone    Around = "done"
	AroundSkipped Around = "skipped"
)

// Known says whether it is one of them.
func (a Around) Known() bool {
	return a == AroundNotTold || a == AroundDone || a == AroundSkipped
}

// Routine is one version of what a club does before and after a session; the zero ID
// is the one that everybody begins with.
type Routine struct {
	ID RoutineID
	warmup.Routine
	At time.Time // when it was made; zero: of the zero ID
	By string    // the coach's name
}

// Movement is one that a coach added to the club's library.
type Movement struct {
	Number MovementID
	warmup.Move
	AwayAt time.Time // when it was put away; zero: it can be chosen
}

// Repertoire is what a club has around a session: its newest routine and its own movements, those
// put away among them.
type Repertoire struct {
	Routine   Routine
	Movements []Movement // in the order in which they were added
}

// Library is the standard library with the club's own movements. Those that were put
// away are in it only where the routine has them.
func (r *Repertoire) Library() warmup.Library {
	all := warmup.Standard()
	for i := range r.Movements {
		m := &r.Movements[i]
		if m.AwayAt.IsZero() || r.has(m.ID) {
			all = append(all, m.Move)
		}
	}
	return all
}

// has says whether the routine has the movement.
func (r *Repertoire) has(id string) bool {
	for _, steps := range [][]warmup.Step{r.Routine.Before, r.Routine.After} {
		for _, s := range steps {
			if s.Move == id {
				return true
			}
		}
	}
	return false
}
