package decide

import (
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Proposed is the choice that follows the engine's action.
func Proposed(a readiness.Action) roster.Choice {
	switch a {
	case readiness.Refer:
		return roster.Refer
	case readiness.Pause:
		return roster.Pause
	case readiness.EaseBack:
		return roster.EaseBack
	case readiness.HalfStep:
		return roster.HalfStep
	case readiness.MoveUp:
		return roster.MoveUp
	}
	return roster.Hold
}

// reasonFor says why the choice needs the coach's reason; empty where it does
// not: where it follows the proposal, or changes nothing and the engine asks for
// no stop. A clearance always says who gave it.
func (v *view) reasonFor(choice roster.Choice, after roster.Standing) string {
	stop := v.verdict.Action == readiness.Refer || v.verdict.Action == readiness.Pause
	before := v.file.Athlete.Held
	switch {
	case choice == roster.Cleared && v.clearable():
		return "" // who cleared it stands with it
	case choice == roster.Resume && before != roster.NotHeld:
		return ""
	case choice == roster.Seen && (!stop || before != roster.NotHeld):
		return ""
	case choice == Proposed(v.verdict.Action) && v.leads(after.Phase):
		return ""
	}
	return "this is not what is proposed; please say why"
}

// referred says whether a referral stands, of the coach or of the engine.
func (v *view) referred() bool {
	return v.file.Athlete.Held == roster.Referred || v.verdict.Action == readiness.Refer
}

// clearable says whether there is something that only a clearance ends: a referral,
// or a fresh health check that is asked for (rule 9.4).
func (v *view) clearable() bool {
	return v.referred() || v.verdict.Flags.Has(readiness.FlagHealthCheck)
}

// leads says whether the phase is the one the engine leads to.
func (v *view) leads(phase string) bool { return v.verdict.To == "" || v.verdict.To == phase }
