package decide

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// DeputyMay says whether a deputy may make the choice where the engine proposes
// the action: what is proposed, and whatever is more careful. Anybody may stop
// somebody; that running begins again needs a coach, who has seen what was told
// about health.
func DeputyMay(choice roster.Choice, action readiness.Action) bool {
	switch choice {
	case roster.Pause, roster.Refer:
		return true
	case roster.Resume, roster.Cleared:
		return false
	}
	return careOf(choice) <= careOf(Proposed(action))
}

// careOf is how careful a choice is, counted as the engine's actions are: the most
// careful first. To have looked is as careful as to hold.
func careOf(choice roster.Choice) readiness.Action {
	switch choice {
	case roster.Refer:
		return readiness.Refer
	case roster.Pause:
		return readiness.Pause
	case roster.EaseBack:
		return readiness.EaseBack
	case roster.HalfStep:
		return readiness.HalfStep
	case roster.MoveUp:
		return readiness.MoveUp
	}
	return readiness.Stay
}

func errDeputy() error {
	return fault.New(fault.Forbidden, "This one is for a coach: a deputy decides as it is proposed, or more carefully.")
}

// asFarAs says whether the choice leads no further up than the engine does with it.
func (v *view) asFarAs(choice roster.Choice, phase string) bool {
	if choice != Proposed(v.verdict.Action) || v.leads(phase) {
		return true
	}
	led := v.shelf.Find(v.verdict.To)
	return led != pathway.NoRung && v.shelf.Find(phase) <= led
}

// MayUndo says whether somebody of the club who sees the athlete may take the
// decision back. A deputy takes back what he or she decided, unless it stops running
// or lets it begin again.
func MayUndo(who roster.Actor, d *roster.Decision) bool {
	switch d.Choice {
	case roster.Pause, roster.Resume, roster.Refer, roster.Cleared:
		return !who.Deputy
	}
	return !who.Deputy || d.Coach == who.Coach
}

// mayUndo says why the actor may not take the decision back; nil where that may be.
func (s *Service) mayUndo(ctx context.Context, who roster.Actor, d *roster.Decision) error {
	if who.OwnOnly {
		file, err := s.Store.File(ctx, who.Club, d.Athlete, roster.Latest(s.Now()))
		if err != nil {
			return err
		}
		if !who.Sees(&file.Athlete) {
			return fault.New(fault.NotFound, "")
		}
	}
	if !MayUndo(who, d) {
		return fault.New(fault.Forbidden, "A deputy takes back own decisions, and none that stops running or lets it begin again. A coach can take this one back.")
	}
	return nil
}
