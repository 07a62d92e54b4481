package roster

import "halfhour.app/halfhour/internal/day"

// LeaveKind says why somebody is away, as far as it matters for coming back.
type LeaveKind string

// The kinds of time away.
const (
	OnHoliday LeaveKind = "away" // holiday, work, whatever it is
	Ill       LeaveKind = "illness"
	Injured   LeaveKind = "injury" // its first day is the athlete's InjuredOn too
)

// Known says whether it is one of the kinds.
func (k LeaveKind) Known() bool { return k.care() > 0 }

// care orders the kinds: the higher, the more careful.
func (k LeaveKind) care() int {
	switch k {
	case OnHoliday:
		return 1
	case Ill:
		return 2
	case Injured:
		return 3
	}
	return 0
}

// Leave is a time away, both dates included; To of zero is not over yet.
type Leave struct {
	ID      LeaveID
	Athlete AthleteID
	Kind    LeaveKind
	day.Span
	Why string // holiday, a cold, …; may be empty
}

// LeaveOn is the time away that holds on the date, of several the one that asks for
// the most care; the zero value where none does.
func (f *File) LeaveOn(date day.Date) Leave {
	var found Leave
	for _, l := range f.Leave {
		if l.Holds(date) && (found.From == 0 || l.Kind.care() > found.Kind.care()) {
			found = l
		}
	}
	return found
}

// spans are the dates of all times away, as the rules read them.
func (f *File) spans() []day.Span {
	if len(f.Leave) == 0 {
		return nil
	}
	spans := make([]day.Span, len(f.Leave))
	for i, l := range f.Leave {
		spans[i] = l.Span
	}
	return spans
}
