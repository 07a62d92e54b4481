package weekplan

import (
	"fmt"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
)

// The most of a week that can be asked for.
const (
	MostSessions = 6
	MostStrength = 3
)

// mostListed keeps what is counted of a list within a byte (see cost).
const mostListed = 100

// check finds what makes no sense, each at its place.
func (w *Week) check() error {
	var faults []fault.Field
	note := func(wrong bool, place, message string) {
		if wrong {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	note(w.Monday < 1 || Monday(w.Monday) != w.Monday, "monday", "not a Monday")
	note(w.Today < 1, "today", "missing")
	note(w.Kind != Run && w.Kind != Walk, "kind", "run or walk")
	note(w.Sessions < 0 || w.Sessions > MostSessions, "sessions", fmt.Sprintf("0 to %d", MostSessions))
	note(w.Legs < 0 || w.Strength < 0 || w.Legs+w.Strength > MostStrength, "strength", fmt.Sprintf("0 to %d", MostStrength))
	note(w.Now > Evening, "now", "no part of a day")
	for i, d := range w.Days {
		note(d.Times&^AllDay != 0, fmt.Sprintf("days[%d]", i), "no times of a day")
	}
	note(len(w.Pins) > mostListed, "pins", "too many")
	for i, p := range w.Pins {
		place := fmt.Sprintf("pins[%d]", i)
		note(p.Kind > Legs || p.Part > Evening || p.By > ByCoach, place, "out of range")
		note(p.Insist && p.By != ByCoach, place, "only a coach insists")
	}
	for _, l := range w.lists() {
		note(len(l.sessions) > mostListed, l.name, "too many")
		for i, s := range l.sessions {
			place := fmt.Sprintf("%s[%d]", l.name, i)
			note(s.Kind > Other || s.Part > Evening, place, "out of range")
			note(!l.holds(s.On), place, "outside its days")
		}
	}
	return fault.At(faults...)
}

// list is a list of sessions and the dates it may hold.
type list struct {
	name     string
	sessions []Session
	holds    func(day.Date) bool
}

func (w *Week) lists() []list {
	inWeek := func(d day.Date) bool { return d >= w.Monday && d < w.Monday+7 }
	return []list{
		{"done", w.Done, func(d day.Date) bool { return inWeek(d) && d <= w.Today }},
		{"around", w.Around, func(d day.Date) bool { return !inWeek(d) && d >= w.Monday-2 && d <= w.Monday+8 }},
		{"present", w.Present, inWeek},
		{"usual", w.Usual, func(d day.Date) bool { return d > 0 }},
	}
}
