package strength

import (
	"fmt"
	"slices"

	"halfhour.app/halfhour/internal/body"
)

// Circumstances are what a programme must fit.
type Circumstances struct {
	Has         Gear
	Pains       []body.Pain // what hurts at present
	State       body.State
	RunTomorrow bool // nothing hard on the legs
	Stopped     bool // a warning sign or a referral stands (rules 6.4, 6.5): nothing is prescribed
}

// Cause is why an exercise does not fit.
type Cause uint8

// The causes, in the order in which they are told.
const (
	Missing     Cause = iota // something that it needs is not there
	Hurts                    // it loads a place that hurts
	Forbidden                // it asks what a pregnancy or a birth rules out
	BeforeARun               // it is hard on the legs, and tomorrow is a run
	NotInThere               // the library does not have it any more
	TwiceInHere              // the session has it already
)

// Reason is one reason why an exercise does not fit.
type Reason struct {
	Cause  Cause
	Thing  Gear        // of Missing
	Site   body.Site   // of Hurts: one place
	State  body.State  // of Forbidden
	Demand body.Demand // of Forbidden
}

// Words say the reason, after the name of an exercise: "it loads the knee, which
// hurts".
func (r Reason) Words() string {
	switch r.Cause {
	case Missing:
		return "it needs " + article(r.Thing)
	case Hurts:
		return "it loads the " + r.Site.String() + ", which hurts"
	case Forbidden:
		when := "in pregnancy"
		if r.State == body.JustBorn {
			when = fmt.Sprintf("in the first %d weeks after a birth", body.RestoreWeeks)
		}
		return "it " + r.Demand.Words() + ", which is left out " + when
	case BeforeARun:
		return "it is hard on the legs, and the next run is tomorrow"
	case NotInThere:
		return "it is no longer in the library"
	}
	return "the session has it already"
}

func article(g Gear) string {
	if g == Dumbbells {
		return "dumbbells"
	}
	return "a " + g.String()
}

// Fits says why the exercise does not fit the circumstances; nil: it fits. A pain
// of 3 or more keeps away whatever loads that place (rule 6.1: 0 to 2 is clear).
func (c *Circumstances) Fits(e *Exercise) []Reason {
	var why []Reason
	for _, thing := range (e.Needs &^ c.Has).Things() {
		why = append(why, Reason{Cause: Missing, Thing: thing})
	}
	for _, site := range (e.Loads & body.Spared(c.Pains)).Each() {
		why = append(why, Reason{Cause: Hurts, Site: site})
	}
	if d := e.Demands & c.State.Forbids(); d != 0 {
		why = append(why, Reason{Cause: Forbidden, State: c.State, Demand: d})
	}
	if c.RunTomorrow && e.Hard {
		why = append(why, Reason{Cause: BeforeARun})
	}
	return why
}

// Swap is one exercise that did not fit, and what stands in its place.
type Swap struct {
	Session, Slot int    // where, in the programme that was given
	From, To      string // IDs; To empty: nothing fits, the place is left out
	Why           []Reason
}

// Need is what a person has to look at before the session is done.
type Need uint8

// The needs.
const (
	NoNeed     Need = iota
	AskCoach        // strong pain: a coach looks first
	AskWhere        // pain at a place that was not recognised: what to spare is not known
	NotCleared      // a warning sign or referral stands
)

// Words say what is needed; empty for nothing.
func (n Need) Words() string {
	switch n {
	case AskCoach:
		return "Something hurts at 6 or more out of 10. Please talk to your coach before the next strength session. This is no medical advice: with pain at rest or at night, swelling or numbness ask a doctor."
	case AskWhere:
		return "Something hurts at a place that is not recognised, so nothing could be left out for it. Leave out whatever makes it worse, and show it to your coach."
	case NotCleared:
		return "Nothing is prescribed until a doctor and your coach have looked at the warning sign."
	}
	return ""
}

// Fitted is a programme that fits.
type Fitted struct {
	Program Program // without the places at which nothing fits; no sessions when Need is NotCleared
	Swaps   []Swap  // in the order of the programme
	Need    Need
}

// Fit swaps out what does not fit the circumstances: for the next of the same
// pattern in the library that does, the nearest in difficulty first and of these the
// easier; then for one of the other patterns that may stand there. What is left is
// never anything that the circumstances exclude; the same is always answered the same.
func Fit(p Program, c Circumstances, l Library) Fitted {
	if c.Stopped {
		return Fitted{Program: Program{AWeek: p.AWeek}, Need: NotCleared}
	}
	f := Fitted{Program: Program{AWeek: p.AWeek}, Need: c.need()}
	for i := range p.Sessions {
		s, swaps := c.fit(i, &p.Sessions[i], l)
		f.Swaps = append(f.Swaps, swaps...)
		f.Program.Sessions = append(f.Program.Sessions, s)
	}
	return f
}

// need is what has to be looked at because of pain.
func (c *Circumstances) need() Need {
	for _, p := range c.Pains {
		if p.Score >= body.Strong {
			return AskCoach
		}
	}
	if len(body.Unknown(c.Pains)) > 0 {
		return AskWhere
	}
	return NoNeed
}

// fit fits one session.
func (c *Circumstances) fit(at int, s *Session, l Library) (Session, []Swap) {
	fitted, taken := Session{Name: s.Name}, map[string]bool{}
	keeps := make([][]Reason, len(s.Slots))
	for i, slot := range s.Slots { // what fits stays, whatever comes before it
		e, known := l.Find(slot.Exercise)
		switch {
		case !known:
			keeps[i] = []Reason{{Cause: NotInThere}}
		case taken[e.ID]:
			keeps[i] = []Reason{{Cause: TwiceInHere}}
		default:
			keeps[i] = c.Fits(&e)
		}
		if keeps[i] == nil {
			taken[e.ID] = true
		}
	}
	var swaps []Swap
	for i, slot := range s.Slots {
		if keeps[i] != nil {
			from := slot.Exercise
			slot = c.instead(slot, l, taken)
			swaps = append(swaps, Swap{Session: at, Slot: i, From: from, To: slot.Exercise, Why: keeps[i]})
		}
		if slot.Exercise != "" {
			taken[slot.Exercise] = true
			fitted.Slots = append(fitted.Slots, slot)
		}
	}
	return fitted, swaps
}

// instead is the slot with the nearest exercise that fits and is not taken; without
// an exercise when there is none.
func (c *Circumstances) instead(slot Slot, l Library, taken map[string]bool) Slot {
	from, known := l.Find(slot.Exercise)
	if !known {
		from.Level, from.Measure = 1, Reps
	}
	patterns := slot.Patterns
	if known {
		patterns = append([]Pattern{from.Pattern}, slot.Patterns...)
	}
	slot.Exercise = ""
	for _, p := range patterns {
		best := -1
		for i := range l {
			e := &l[i]
			if e.Pattern != p || taken[e.ID] || !l.holds(i) || c.Fits(e) != nil {
				continue
			}
			if best < 0 || distance(&from, e) < distance(&from, &l[best]) {
				best = i
			}
		}
		if best >= 0 {
			return slot.with(&from, &l[best])
		}
	}
	return slot
}

// distance orders what may stand in for an exercise: the nearest level first, then
// the easier.
func distance(from, e *Exercise) int {
	if e.Level > from.Level {
		return 2*(e.Level-from.Level) + 1
	}
	return 2 * (from.Level - e.Level)
}

// with is the slot with another exercise; seconds and repetitions do not carry over.
func (s Slot) with(from, e *Exercise) Slot {
	s.Exercise, s.Patterns = e.ID, slices.Clone(s.Patterns)
	if (e.Measure == Hold) != (from.Measure == Hold) {
		sets := s.Target.Sets
		if s.Target = Beginner(); e.Measure == Hold {
			s.Target = BeginnerHold()
		}
		s.Target.Sets = sets
	}
	return s
}

// Hard says whether the session is hard on the legs, so that it does not belong on
// the day before a run.
func (s *Session) Hard(l Library) bool {
	return slices.ContainsFunc(s.Slots, func(slot Slot) bool {
		e, _ := l.Find(slot.Exercise)
		return e.Hard
	})
}

// InAWeek is how many sessions a week has, and how many of these are hard on the legs,
// rounded up, as the sessions take turns. A programme without sessions has none.
func (p *Program) InAWeek(l Library) (sessions, hard int) {
	n := len(p.Sessions)
	if n == 0 {
		return 0, 0
	}
	for i := range p.Sessions {
		if p.Sessions[i].Hard(l) {
			hard++
		}
	}
	return p.AWeek, (p.AWeek*hard + n - 1) / n
}
