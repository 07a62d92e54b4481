package roster

import "time"

// For says whether the actor may act for the athlete: the athlete, or a coach of
// the club (which keeps a store to its own athletes).
func (w Actor) For(athlete AthleteID) bool {
	return w.Club != 0 && athlete != 0 && (w.Coach != 0 || w.Athlete == athlete)
}

// Sees says whether the athlete is one whom the actor may know of: an athlete of
// the same club, and for a coach who sees only own athletes one of those or one of
// nobody's. Whom somebody does not see is not found.
func (w Actor) Sees(a *Athlete) bool {
	switch {
	case w.Club == 0 || a.Club != w.Club:
		return false
	case w.Coach == 0:
		return w.Athlete != 0 && w.Athlete == a.ID
	}
	return !w.OwnOnly || a.Of(w.Coach)
}

// Of says whether the athlete is one of the coach's: handed over to the coach, or
// everybody's.
func (a *Athlete) Of(coach CoachID) bool { return a.Coach == 0 || a.Coach == coach }

// Handed is an athlete who was handed over to a coach and whom the coach has not
// taken note of yet.
type Handed struct {
	Athlete AthleteID
	Name    string // the athlete's
	By      string // the name of the coach who handed over
	At      time.Time
}
