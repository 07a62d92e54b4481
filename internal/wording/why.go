package wording

import (
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
)

// Why heads a row of those to decide on.
func Why(r *morning.Row) string {
	switch r.Why {
	case morning.WhyRefer:
		return "Warning sign"
	case morning.WhyPause:
		return "Pain that stops running"
	case morning.WhyEaseBack:
		return "Ease back"
	case morning.WhyLoadJump:
		return "Load jumped"
	case morning.WhyStalling:
		return "Stalling"
	case morning.WhyPain:
		return "Pain reported"
	case morning.WhyHealthCheck:
		return "Health check"
	case morning.WhyAnswered:
		return AnsweredAnew
	case morning.WhyMoveUp:
		return "Ready to move up"
	case morning.WhyArrived:
		return "Thirty minutes"
	case morning.WhyIrregular:
		return "Irregular"
	}
	return "Steady"
}

// AnsweredAnew is said of somebody whose health answers nobody has looked at yet.
const AnsweredAnew = "Answered anew"

// Decided says a decision that was made.
func Decided(d *roster.Decision, shelf *roster.Shelf) string {
	switch d.Choice {
	case roster.MoveUp:
		return "moved up to " + PhaseNamed(shelf, d.To)
	case roster.Hold:
		return "held"
	case roster.HalfStep:
		return "given a half step"
	case roster.EaseBack:
		return "eased back to " + PhaseNamed(shelf, d.To)
	case roster.Pause:
		return "paused"
	case roster.Resume:
		return "running again"
	case roster.Refer:
		return "referred"
	case roster.Cleared:
		return "cleared"
	}
	return "seen"
}

// Next says what comes next for somebody who is going steadily.
func Next(r *morning.Row) string {
	switch n := r.Next; n.Kind {
	case morning.NextLost:
		return "The phase is not on the pathway any more"
	case morning.NextDecided:
		return "Decided: " + Decided(r.Newest, r.Shelf)
	case morning.NextFirst:
		return "First week on this phase"
	case morning.NextUnproven:
		return "An answer is missing for the gate"
	case morning.NextGate:
		if n.Count == 1 {
			return "Gate opens with one more full session"
		}
		return Capital(Number(n.Count)) + " full sessions short of the gate"
	case morning.NextSooner:
		return "Walks settling sooner each session"
	case morning.NextSettle:
		return "Walks not settled by half yet"
	case morning.NextEasier:
		return "Runs still a little hard"
	case morning.NextFull:
		return "Sessions a little short"
	case morning.NextPain:
		return "Pain to clear first"
	case morning.NextLeft:
		return Capital(Count(n.Count, "session", "sessions")) + " left this week"
	case morning.NextDone:
		return "This week is done"
	}
	return ""
}

// flags name what the engine noticed, by the flags' names in documents.
var flags = map[string]string{
	"ready":        "Ready to move up",
	"arrived":      "Thirty minutes",
	"pain":         "Pain reported",
	"warning":      "Warning sign",
	"load_jump":    "Load jumped",
	"stalling":     "Stalling",
	"irregular":    "Irregular",
	"quiet":        "No word",
	"unproven":     "Not proven",
	"mixed":        "Answers disagree",
	"learning":     "Still learning the usual load",
	"back_to_back": "Ran two days in a row",
	"health_check": "Fresh health check",
}

// Flag names what the engine noticed, by the flag's name in documents; empty: there is
// no such flag.
func Flag(name string) string { return flags[name] }
