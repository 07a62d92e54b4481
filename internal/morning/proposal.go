package morning

import (
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Proposal is what the coach is offered: the choice that follows the verdict and
// its alternative.
type Proposal struct {
	First  roster.Choice
	To     string // where First leads; empty where it moves nobody
	Second roster.Choice
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
	case WhyStalling:
		if v.Action == readiness.HalfStep {
			return Proposal{First: roster.HalfStep, To: v.To, Second: roster.Hold}
		}
	}
	return Proposal{First: roster.Hold, Second: roster.Seen}
}
