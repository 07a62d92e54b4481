package warmup

import "halfhour.app/halfhour/internal/body"

// Circumstances are what a routine must fit.
type Circumstances struct {
	Roller bool
	Pains  []body.Pain // what hurts at present
	State  body.State
}

// Cause is why a movement is left out.
type Cause uint8

// The causes, in the order in which they are asked.
const (
	Fits Cause = iota
	NotInThere
	NoRoller
	Hurts   // it moves or loads a place at 3 or more (rule 6.1)
	Rolling // rolling in pregnancy or soon after a birth
	Forbidden
)

// Out is a movement that is left out, and what takes its place.
type Out struct {
	At      int    // where, in the steps that were given
	Move    string // its ID
	Cause   Cause
	Site    body.Site   // of Hurts
	Demand  body.Demand // of Forbidden
	Instead string      // the ID of another movement; empty: nothing
}

// Words say why, after the name of the movement: "left out: it moves the knee, which
// hurts".
func (o *Out) Words() string {
	switch o.Cause {
	case NotInThere:
		return "left out: it is no longer in the library"
	case NoRoller:
		return "left out: there is no roller"
	case Hurts:
		return "left out: it moves or loads the " + o.Site.String() + ", which hurts"
	case Rolling:
		return "left out in pregnancy and soon after a birth, to be gentle with the veins"
	case Forbidden:
		return "left out: it " + o.Demand.Words()
	}
	return ""
}

// why says why a movement does not fit. That rolling is left out in pregnancy and
// after a birth, when clots are more likely, is ours.
func (c *Circumstances) why(m *Move) Out {
	spared, forbidden := m.Loads&body.Spared(c.Pains), m.Demands&c.State.Forbids()
	switch {
	case m.Kind == Release && !c.Roller:
		return Out{Cause: NoRoller}
	case spared != 0:
		return Out{Cause: Hurts, Site: spared}
	case m.Kind == Release && c.State != body.Usual:
		return Out{Cause: Rolling}
	case forbidden != 0:
		return Out{Cause: Forbidden, Demand: forbidden}
	}
	return Out{}
}

// Fit leaves out what does not fit the circumstances. While fewer movements through
// the full range are left than a routine should have, or no rhythm, the next of the
// library that fits takes the place; a walk is never left out: whoever cannot walk
// without pain does not run.
func Fit(steps []Step, c Circumstances, l Library) ([]Step, []Out) {
	var fitted []Step
	var out []Out
	n, taken := kinds(nil, l), map[string]bool{}
	causes := make([]Out, len(steps))
	for i, s := range steps {
		m, known := l.Find(s.Move)
		if causes[i] = c.why(&m); !known {
			causes[i] = Out{Cause: NotInThere}
		}
		if causes[i].Cause == Fits {
			n[m.Kind]++
			taken[m.ID] = true
		}
	}
	for i, s := range steps {
		o := causes[i]
		if o.Cause == Fits {
			fitted = append(fitted, s)
			continue
		}
		o.At, o.Move = i, s.Move
		m, _ := l.Find(s.Move)
		if m.Kind == Dynamic && n[Dynamic] < FewestDynamic || m.Kind == Rhythm && n[Rhythm] == 0 {
			if other, found := c.instead(m.Kind, l, taken); found {
				o.Instead = other.ID
				fitted = append(fitted, Step{other.ID, other.Usual})
				n[m.Kind]++
				taken[other.ID] = true
			}
		}
		out = append(out, o)
	}
	return fitted, out
}

// instead is the first movement of the kind that fits and is not taken.
func (c *Circumstances) instead(k Kind, l Library, taken map[string]bool) (Move, bool) {
	for i := range l {
		m := &l[i]
		if first, _ := l.Find(m.ID); m.Kind == k && first.Kind == k && !taken[m.ID] && c.why(&first).Cause == Fits {
			return first, true
		}
	}
	return Move{}, false
}
