package strength

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// Seconds that a session takes (common practice: rests of one to two minutes with
// light weights; the figures are ours).
const (
	secondsOfRep    = 4
	secondsOfRest   = 75
	secondsOfChange = 45 // from one exercise to the next
)

// Minutes is how long the session takes as planned, rounded up to whole minutes: the
// planned minutes of rule 8.3.
func (s *Session) Minutes(l Library) int {
	seconds := 0
	for i := range s.Slots {
		seconds += s.Slots[i].seconds(l) + secondsOfChange
	}
	return (seconds + 59) / 60
}

// seconds of all sets with the rests between them.
func (s *Slot) seconds(l Library) int {
	e, _ := l.Find(s.Exercise)
	set := s.Target.High
	if e.Measure != Hold {
		set *= secondsOfRep
	}
	if e.Sides {
		set *= 2
	}
	return s.Target.Sets*set + max(s.Target.Sets-1, 0)*secondsOfRest
}

// MinutesDone estimates the minutes of a session whose length was not told, by the
// sets done of the sets planned. A session of which something was done has at least
// one minute: without minutes it would be no load at all.
func MinutesDone(planned, setsDone, setsPlanned int) int {
	if setsDone <= 0 || setsPlanned <= 0 {
		return 0
	}
	return max((planned*min(setsDone, setsPlanned)+setsPlanned/2)/setsPlanned, 1)
}

// Told is a strength session as it was done.
type Told struct {
	StartedAt        time.Time
	Date             day.Date
	Minutes, Planned int             // as done and as planned
	Effort           readiness.Maybe // CR10; not known: the engine fills it (rule 8.1)
	PainAsked        bool
	Pain             []readiness.Pain
	Signs            []readiness.Sign
}

// Entry is what the engine reads of a strength session: it counts for load alone, as
// effort × minutes (rules 2.3, 8.1), and its pain and signs like any other's. What was
// planned keeps a session that was to be from looking like a jump (rule 8.3).
func (t *Told) Entry() readiness.Session {
	s := readiness.Session{
		StartedAt: t.StartedAt, Date: t.Date, Kind: readiness.Strength, Minutes: readiness.Some(t.Minutes),
		Effort: t.Effort, PainAsked: t.PainAsked, Pain: t.Pain, Signs: t.Signs,
	}
	if t.Planned > 0 {
		s.PlannedMinutes = readiness.Some(t.Planned)
	}
	return s
}
