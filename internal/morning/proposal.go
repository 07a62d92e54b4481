package morning

import (
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Proposal is what the coach is offered: the choice that follows the verdict and
// its alternative.
type Proposal struct {
	First  roster.Choice
	To     string        // where First leads; empty where it moves nobody
	Second roster.Choice // empty: none
}

// Departs says whether a choice goes against the verdict, so that it needs a
// reason: all but what is proposed, and looking at what asks for no stop.
func (r *Row) Departs(c roster.Choice) bool {
	switch r.Verdict.Action {
	case readiness.Refer:
		return c != roster.Refer
	case readiness.Pause:
		return c != roster.Pause
	case readiness.Stay, readiness.Arrived:
		return c != roster.Hold && c != roster.Seen
	}
	return c != roster.Seen && c != r.Proposal.First
}

func proposal(v *readiness.Verdict, why Why) Proposal {
	switch why {
	case WhyRefer:
		return Proposal{First: roster.Refer, Second: roster.Cleared}
	case WhyPause:
		return Proposal{First: roster.Pause, Second: roster.Refer}
	case WhyEaseBack:
		return Proposal{First: roster.EaseBack, To: v.To, Second: roster.Hold}
	case WhyMoveUp:
		return Proposal{First: roster.MoveUp, To: v.To, Second: roster.Hold}
	case WhyPain:
		return Proposal{First: roster.Hold, Second: roster.Pause}
	case WhyHealthCheck:
		return Proposal{First: roster.Cleared, Second: roster.Seen}
	case WhyAnswered:
		return Proposal{First: roster.Seen}
	case WhyIrregular:
		return Proposal{First: roster.Seen}
	case WhyArrived:
		return Proposal{First: roster.Hold}
	case WhyStalling:
		if v.Action == readiness.HalfStep {
			return Proposal{First: roster.HalfStep, To: v.To, Second: roster.Hold}
		}
	}
	return Proposal{First: roster.Hold, Second: roster.Seen}
}
