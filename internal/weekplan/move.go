package weekplan

import (
	"cmp"
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
)

// Shift is the wish to have one session of the present plan on another day, or at
// another time.
type Shift struct {
	Kind   Kind
	From   day.Date // where the present plan has it; earlier than today: it was missed
	To     day.Date
	Part   Part
	By     By
	Insist bool // a coach's only
}

// Change is one session that is elsewhere than before. No From: it is new; no To:
// it is left out.
type Change struct {
	Kind     Kind
	From, To day.Date
	Was, Is  Part
}

// Moved is what became of a wish.
type Moved struct {
	Plan    Plan
	Refused Rule     // why it cannot be; then the plan is the present one, laid out anew, and nothing is to be kept
	Pin     Pin      // to be kept, so that the session stays there
	Lifted  []Pin    // not to be kept any longer: the fixed day that was moved away from, and those that had to yield
	Changes []Change // what is elsewhere now: the session itself, then what yielded or came in, by date
}

// Move lays the week out with one session of the present plan on another day. The
// others stay where they are, but for those that must yield. A wish is refused where
// it would break a rule that may not give way, or put off a fixed day of somebody
// who weighs more. A coach who insists is refused only days off, time gone by and a
// second such session on a day where one is done; the compromises say what it costs. Errors: invalid, or conflict where the
// present plan has no such session any more.
func Move(w *Week, s Shift) (Moved, error) {
	if err := w.check(); err != nil {
		return Moved{}, err
	}
	if err := s.check(w); err != nil {
		return Moved{}, err
	}
	w = w.weighed()
	from := slices.IndexFunc(w.Present, func(o Session) bool { return o.On == s.From && alike(o.Kind, s.Kind) })
	if from < 0 {
		return Moved{}, fault.New(fault.Conflict, "The week has changed meanwhile.")
	}
	refused := func(why Rule) (Moved, error) {
		return Moved{Plan: newBoard(w).plan(), Refused: why}, nil
	}
	if s.To < w.Today || s.done(w) {
		return refused(GoneBy)
	}
	if s.From != s.To && s.taken(w) {
		return refused(OneADay)
	}
	next, lifted, held := s.applied(w, from)
	if held {
		return refused(HeldByCoach)
	}
	b := newBoard(&next)
	plan := b.plan()
	pin := &next.Pins[len(next.Pins)-1]
	for _, y := range plan.Yielded {
		if y.Pin == *pin {
			return refused(y.Why)
		}
	}
	pin.moved = false
	for _, y := range plan.Yielded {
		if y.Pin.By <= s.By && y.Why < CannotThen {
			lifted = append(lifted, y.Pin)
		}
	}
	return Moved{Plan: plan, Pin: *pin, Lifted: lifted, Changes: s.changes(w, w.Present[from].Part, plan.Sessions)}, nil
}

// check finds what makes no sense in a wish.
func (s Shift) check(w *Week) error {
	var faults []fault.Field
	if s.Kind > Legs || s.Part > Evening || s.By > ByCoach || s.Insist && s.By != ByCoach {
		faults = append(faults, fault.Field{Place: "shift", Message: "out of range"})
	}
	if s.To < w.Monday || s.To >= w.Monday+7 {
		faults = append(faults, fault.Field{Place: "to", Message: "outside the week"})
	}
	return fault.At(faults...)
}

// done says whether the session was not missed but done, so that it stays.
func (s Shift) done(w *Week) bool {
	like := func(o Session) bool { return !o.Extra && alike(o.Kind, s.Kind) }
	if slices.ContainsFunc(w.Done, func(o Session) bool { return like(o) && o.On == s.From }) {
		return true
	}
	b := board{Week: w}
	return s.From < w.Today && b.missed(like) == 0
}

// taken says whether such a session is done already on the day it is to go to, or a
// coach holds the day for another of its kind.
func (s Shift) taken(w *Week) bool {
	return slices.ContainsFunc(w.Done, func(o Session) bool { return o.On == s.To && sameADay(o.Kind, s.Kind) }) ||
		s.By != ByCoach && slices.ContainsFunc(w.Pins, func(p Pin) bool {
			return p.By == ByCoach && p.On == s.To && sameADay(p.Kind, s.Kind)
		})
}

// sameADay says whether a day holds only one of the two kinds.
func sameADay(a, b Kind) bool { return a.onPath() && b.onPath() || a.lifting() && b.lifting() }

// applied is the week with the wish in it as the last of its pins, the pins it
// lifts, and whether a coach holds the session where it is.
func (s Shift) applied(w *Week, from int) (next Week, lifted []Pin, held bool) {
	next = *w
	next.Present = slices.Clone(w.Present)
	next.Present[from].On = s.To
	if s.Part != Any {
		next.Present[from].Part = s.Part
	}
	next.Pins = nil
	for _, p := range w.Pins {
		if p.On == s.From && alike(p.Kind, s.Kind) {
			held = held || p.By == ByCoach && s.By != ByCoach && s.From >= w.Today
			lifted = append(lifted, p)
			continue
		}
		next.Pins = append(next.Pins, p)
	}
	next.Pins = append(next.Pins, Pin{Kind: s.Kind, On: s.To, Part: s.Part, By: s.By, Insist: s.Insist, moved: true})
	return next, lifted, held
}

// changes compares the present plan, as far as it lies ahead, with what is to be
// done now. Of one kind, the earliest that went is set against the earliest that
// came.
func (s Shift) changes(w *Week, was Part, now []Session) []Change {
	moved := Change{Kind: s.Kind, From: s.From, To: s.To, Was: was}
	list := []Change{moved}
	for _, k := range []Kind{Run, Legs, Strength} {
		is := func(o Session) bool { return alike(o.Kind, k) }
		went, came := ahead(w, is), tallied(now, is)
		if alike(s.Kind, k) {
			went, _ = without(went, s.From)
			came, list[0].Is = without(came, s.To)
		}
		var other []Change
		went, came, other = unmoved(went, came)
		list = append(append(list, other...), paired(went, came)...)
	}
	rest := list[1:]
	slices.SortStableFunc(rest, func(x, y Change) int { return cmp.Compare(max(x.From, x.To), max(y.From, y.To)) })
	return list
}

// tallied are the sessions of a list that meet a condition, in order.
func tallied(list []Session, is func(Session) bool) (some []Session) {
	for _, s := range list {
		if is(s) {
			some = append(some, s)
		}
	}
	slices.SortStableFunc(some, byTime)
	return some
}

// ahead are the sessions of the present plan that lie ahead.
func ahead(w *Week, is func(Session) bool) []Session {
	return tallied(w.Present, func(s Session) bool {
		done := func(o Session) bool { return is(o) && o.On == s.On }
		return is(s) && s.On >= w.Today && !slices.ContainsFunc(w.Done, done)
	})
}

// without leaves out the first session on a date, and says at which time it was.
func without(list []Session, on day.Date) ([]Session, Part) {
	i := slices.IndexFunc(list, func(s Session) bool { return s.On == on })
	if i < 0 {
		return list, Any
	}
	p := list[i].Part
	return slices.Delete(list, i, i+1), p
}

// unmoved leaves out what stays on its day, and says what of it is at another time.
func unmoved(went, came []Session) (gone, fresh []Session, other []Change) {
	for _, s := range came {
		i := slices.IndexFunc(went, func(o Session) bool { return o.On == s.On })
		if i < 0 {
			fresh = append(fresh, s)
			continue
		}
		if was := went[i].Part; was != s.Part && was != Any {
			other = append(other, Change{s.Kind, s.On, s.On, was, s.Part})
		}
		went = slices.Delete(went, i, i+1)
	}
	return went, fresh, other
}

// paired sets what went against what came, in order.
func paired(went, came []Session) (list []Change) {
	for i := range max(len(went), len(came)) {
		var c Change
		if i < len(went) {
			c.Kind, c.From, c.Was = went[i].Kind, went[i].On, went[i].Part
		}
		if i < len(came) {
			c.Kind, c.To, c.Is = came[i].Kind, came[i].On, came[i].Part
		}
		list = append(list, c)
	}
	return list
}
