package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/weekplan"
)

// PinID, GroupID and HolidayID are unique within a club; 0 is none.
type (
	PinID     int64
	GroupID   int64
	HolidayID int64
)

// Pin is a wish about an athlete's week as it is kept: a session of the kind on one
// date, or on a weekday from now on. Of a week nothing else is kept: it is laid out
// when it is read.
type Pin struct {
	ID       PinID
	Athlete  AthleteID
	Key      Key
	Kind     weekplan.Kind // Run (of the pathway, also where that is a walk), Strength or Legs
	On       day.Date      // the one date; zero: every Weekday
	Weekday  time.Weekday
	Part     weekplan.Part
	ByCoach  CoachID   // 0: the athlete's own
	Insist   bool      // a coach's only: it stays whatever gives way
	From     day.Date  // of one date: where the session was before; zero: it was not moved
	MadeAt   time.Time // its instant
	MadeOn   day.Date  // on the athlete's date
	LiftedAt time.Time // when it ceased to hold; zero: it holds
	LiftedOn day.Date  // on the athlete's date
	Undone   Key       // with which a move was taken back at once, as if it had not been made; empty: it was not
}

// Standing says whether it is for a weekday and not for one date.
func (p *Pin) Standing() bool { return p.On == 0 }

// By is whose wish it is.
func (p *Pin) By() weekplan.By {
	if p.ByCoach != 0 {
		return weekplan.ByCoach
	}
	return weekplan.ByAthlete
}

// Group is a number of athletes who meet on fixed days.
type Group struct {
	ID      GroupID
	Name    string
	Meets   [7]readiness.Maybe // from Monday: minutes after midnight where the club is; not known: it does not meet then
	People  int                // how many who have not left are in it
	Version int                // counts changes
}

// Holiday are dates on which nothing is planned for anybody in the club.
type Holiday struct {
	ID HolidayID
	day.Span
	Name string
}

// PartAt is the part of the day of a time, in minutes after midnight. That the
// morning lasts until eleven and midday until four is ours.
func PartAt(minutes int) weekplan.Part {
	switch {
	case minutes < 11*60:
		return weekplan.Morning
	case minutes < 16*60:
		return weekplan.Midday
	}
	return weekplan.Evening
}

// AWeek is how many sessions of the pathway the athlete's week has: three unless set
// (rule 7).
func (a *Athlete) AWeek() int {
	if a.SessionsAWeek == 0 {
		return 3
	}
	return a.SessionsAWeek
}
