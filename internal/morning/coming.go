package morning

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// ComingKind says how far somebody has come in who is not here yet; the order is
// the order of the list.
type ComingKind uint8

// The kinds of coming in. Arrived is here already.
const (
	Arrived   ComingKind = iota
	Waiting              // the answers are in: it is the coach's turn
	Clearing             // a doctor's word is waited for
	Withdrawn            // the consent was taken back
	Invited              // the questions are not answered yet
)

// Coming says how far somebody has come in, and since when.
type Coming struct {
	Kind  ComingKind
	Since day.Date
}

func coming(r *Row) Coming {
	a := r.Athlete
	c := Coming{Since: a.ArrivalSince}
	switch {
	case a.Arrival == roster.Here:
		return Coming{}
	case a.Arrival == roster.Withdrawn:
		c.Kind = Withdrawn
	case a.Arrival != roster.Answered:
		c.Kind = Invited
	case a.Held == roster.Referred || r.Why == WhyRefer:
		c.Kind = Clearing
	default:
		c.Kind = Waiting
	}
	return c
}
