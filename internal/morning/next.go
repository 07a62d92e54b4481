package morning

import "halfhour.app/halfhour/internal/readiness"

// NextKind says what comes next for somebody who is going steadily.
type NextKind uint8

// The kinds, the first that holds is said.
const (
	NextNothing  NextKind = iota
	NextLost              // the phase is not on the pathway any more
	NextDecided           // the coach has answered: By Choice on On
	NextFirst             // first week on this phase
	NextUnproven          // the gate waits for an answer
	NextGate              // Count more full sessions open the gate
	NextSooner            // walks settle sooner each session
	NextSettle            // walks do not settle by half yet
	NextEasier            // runs are too hard still
	NextFull              // sessions are cut short
	NextPain              // pain is not clear
	NextLeft              // Count sessions left this week
	NextDone              // the week is done
)

// Next is what comes next, with its number where it has one.
type Next struct {
	Kind  NextKind
	Count int
}

func next(r *Row) Next {
	v := &r.Verdict
	short := r.shortOf()
	unmet := func(c readiness.ConditionName) bool { return v.Conditions[c] == readiness.Unmet }
	switch {
	case r.Next.Kind == NextLost:
		return r.Next
	case r.Why != WhyNone && r.Decided:
		return Next{Kind: NextDecided}
	case r.Asked-r.Athlete.PhaseSince < 7 && short > 1:
		return Next{Kind: NextFirst}
	case v.Flags.Has(readiness.FlagUnproven):
		return Next{Kind: NextUnproven}
	case unmet(readiness.NoPain):
		return Next{Kind: NextPain}
	case unmet(readiness.Settled) && r.Settle.Falling():
		return Next{Kind: NextSooner}
	case unmet(readiness.Settled):
		return Next{Kind: NextSettle}
	case unmet(readiness.Easy):
		return Next{Kind: NextEasier}
	case unmet(readiness.InFullEach):
		return Next{Kind: NextFull}
	case unmet(readiness.Enough) && short > 0:
		return Next{Kind: NextGate, Count: short}
	case r.Done < r.Of:
		return Next{Kind: NextLeft, Count: r.Of - r.Done}
	}
	return Next{Kind: NextDone}
}

// shortOf is how many more sessions the gate asks at least: those of the week
// less those done on this phase since it began.
func (r *Row) shortOf() int {
	n := r.Of
	for i := range r.file.Sessions {
		s := &r.file.Sessions[i]
		if s.Phase == r.Athlete.Phase && s.Date >= r.Athlete.PhaseSince && s.Date <= r.Asked && s.Exposure() {
			n--
		}
	}
	return max(n, 0)
}
