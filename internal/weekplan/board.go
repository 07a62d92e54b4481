package weekplan

import (
	"cmp"
	"slices"

	"halfhour.app/halfhour/internal/day"
)

// The board is eleven days: two before the week, the seven, two after.
const (
	before = 2
	span   = 11
)

// board is a week made ready for the search.
type board struct {
	*Week
	past  [span]load // what is done, and what stands around the week
	given [span]load // the same, with what a coach insists on

	insisted []Session       // by time
	first    int             // the first day of the week that can be used, 0 to 7
	times    [7][Other]Times // at which a kind may be placed
	pins     []Pin           // that can be kept or not: of days to come
	late     []Yielded
	repeats  bool // nothing is known of the week after, so it may be as this one

	// What is still to be placed. For those that are due others may be moved; close is
	// for how many sessions two runs may stand on days in a row.
	need, due, close     int // sessions of the pathway
	legs, strength       int
	dueLegs, dueStrength int

	options [7][len(contents)]option
	found   placement
}

func newBoard(w *Week) *board {
	b := &board{Week: w, first: min(max(int(w.Today-w.Monday), 0), 7)}
	for _, s := range slices.Concat(w.Done, w.Around) {
		b.past[b.at(s.On)] |= loadOf(s)
	}
	b.given = b.past
	b.repeats = !slices.ContainsFunc(w.Around, func(s Session) bool { return s.On > w.Monday })
	b.sortPins()
	b.openTimes()
	b.insist()
	b.count()
	return b
}

// at is where on the board a date lies.
func (b *board) at(d day.Date) int { return int(d-b.Monday) + before }

// on is the day of the week, 0 to 6, of a date in it.
func (b *board) on(d day.Date) (int, bool) {
	i := int(d - b.Monday)
	return i, i >= 0 && i < 7
}

// sortPins tells those that can be kept from those that came too late.
func (b *board) sortPins() {
	for _, p := range b.Pins {
		i, inWeek := b.on(p.On)
		switch {
		case !inWeek || i < b.first:
		case b.Days[i].Off:
			b.late = append(b.late, Yielded{p, DayOff})
		case !b.left(i).Has(p.Part):
			b.late = append(b.late, Yielded{p, GoneBy})
		default:
			b.pins = append(b.pins, p)
		}
	}
}

// left are the parts of a day that have not gone by: of today, none before what is
// done already.
func (b *board) left(i int) Times {
	switch {
	case i < b.first:
		return 0
	case b.Monday+day.Date(i) > b.Today:
		return AllDay
	}
	now := max(b.Now, Morning)
	for _, s := range b.Done {
		if s.On == b.Today {
			now = max(now, s.Part)
		}
	}
	return AllDay &^ (1<<(now-1) - 1)
}

// openTimes are the times at which something may be placed. An athlete's fixed day
// adds to those of its own kind only.
func (b *board) openTimes() {
	for i, d := range b.Days {
		for k := range b.times[i] {
			if !d.Off {
				b.times[i][k] = d.Times & b.left(i)
			}
		}
	}
	for _, p := range b.pins {
		if p.By != ByAthlete {
			continue
		}
		i, _ := b.on(p.On)
		for k := range b.times[i] {
			if times := &b.times[i][k]; alike(Kind(k), p.Kind) && !times.Has(p.Part) {
				*times = times.With(p.Part) & b.left(i)
			}
		}
	}
}

// onPath says whether the kind is one of the sessions of the pathway.
func (k Kind) onPath() bool { return k == Run || k == Walk }

// lifting says whether the kind is strength.
func (k Kind) lifting() bool { return k == Strength || k == Legs }

// insist sets what stays whatever gives way. Several coaches who insist on the
// same mean one session.
func (b *board) insist() {
	for _, p := range b.pins {
		if !p.Insist {
			continue
		}
		s := b.session(p.Kind, p.On, p.Part)
		if p.Part == Any {
			s.Part = b.someTime(s)
		}
		same := func(o Session) bool { return o.Kind == s.Kind && o.On == s.On }
		if slices.ContainsFunc(b.insisted, same) || slices.ContainsFunc(b.Done, same) {
			continue
		}
		b.insisted = append(b.insisted, s)
		b.given[b.at(s.On)] |= loadOf(s)
	}
	slices.SortStableFunc(b.insisted, byTime)
}

// session is a session to be placed; of the pathway it is what the phase asks for.
func (b *board) session(k Kind, on day.Date, p Part) Session {
	if k.onPath() {
		k = b.Kind
	}
	return Session{Kind: k, On: on, Part: p, Hard: k == Legs || k == Run && b.HardRuns}
}

// someTime is the first time at which the athlete can, else the first that is left.
func (b *board) someTime(s Session) Part {
	i, _ := b.on(s.On)
	if times := b.times[i][s.Kind]; times != 0 {
		return firstOf(times)
	}
	return firstOf(b.left(i))
}

// firstOf is the earliest of the times; Any of none.
func firstOf(t Times) Part {
	for p := Morning; p <= Evening; p++ {
		if t.Has(p) {
			return p
		}
	}
	return Any
}

// byTime is the order of a day: what comes first, the run before the strength.
func byTime(a, b Session) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Kind, b.Kind))
}

// tally counts the sessions of a list that are asked for, and meet a condition.
func tally(list []Session, is func(Session) bool) (n int) {
	for _, s := range list {
		if !s.Extra && is(s) {
			n++
		}
	}
	return n
}

func onPath(s Session) bool     { return s.Kind.onPath() }
func onLegs(s Session) bool     { return s.Kind == Legs }
func sparesLegs(s Session) bool { return s.Kind == Strength }

// count works out what is left to place, and what of it was missed.
func (b *board) count() {
	fixed := slices.Concat(b.Done, b.insisted)
	done := tally(fixed, onPath)
	b.need = max(0, b.Sessions-done)
	b.due = b.owed(b.need, onPath)
	enough := b.Sessions
	if enough == 3 {
		enough = 2
	}
	b.close = max(0, min(enough-done, b.due))

	b.legs = b.Legs - tally(fixed, onLegs)
	b.strength = b.Strength - tally(fixed, sparesLegs)
	b.strength += min(b.legs, 0) // one kind done in place of the other
	b.legs += min(b.strength, 0)
	b.legs, b.strength = max(b.legs, 0), max(b.strength, 0)
	b.dueLegs, b.dueStrength = b.owed(b.legs, onLegs), b.owed(b.strength, sparesLegs)
}

// owed is for how many sessions others may be moved: all, until something of the
// week is missed; from then on those that still lie ahead in the present plan. So
// the room that a missed session leaves is not filled at the cost of what stands.
func (b *board) owed(need int, is func(Session) bool) int {
	if b.missed(onPath)+b.missed(onLegs)+b.missed(sparesLegs) == 0 {
		return need
	}
	on := func(s Session) bool { return is(s) && s.On == b.Today }
	later := func(s Session) bool { return is(s) && s.On > b.Today }
	return min(need, tally(b.Present, later)+max(0, tally(b.Present, on)-tally(b.Done, on)))
}

// missed is how many sessions of the plan as it was have passed undone. What was
// done on another day, or today beyond what today holds, counts for them.
func (b *board) missed(is func(Session) bool) int {
	on := func(s Session) bool { return is(s) && s.On == b.Today }
	gone := func(s Session) bool { return is(s) && s.On < b.Today }
	late := max(0, tally(b.Done, on)-tally(b.Present, on))
	return max(0, tally(b.Present, gone)-tally(b.Done, gone)-late)
}
