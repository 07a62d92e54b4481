package strength

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
