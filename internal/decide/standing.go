package decide

import (
	"time"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// after is where the athlete stands after the decision, or what is wrong with it.
func (v *view) after(ask Ask, now time.Time) (roster.Standing, error) {
	if faults := lengths(ask); len(faults) > 0 {
		return roster.Standing{}, fault.At(faults...)
	}
	after, wrong := v.standing(ask, now)
	if wrong.Message != "" {
		return roster.Standing{}, fault.At(wrong)
	}
	if ask.Clearance != (roster.Clearance{}) || ask.Choice == roster.Cleared && v.clearable() {
		if faults := ask.Clearance.Check(v.history.AsOf); len(faults) > 0 {
			return roster.Standing{}, fault.At(faults...)
		}
	}
	if ask.Reason == "" {
		if why := v.reasonFor(ask.Choice, after); why != "" {
			return roster.Standing{}, fault.At(fault.Field{Place: "reason", Message: why})
		}
	}
	return after, nil
}

func lengths(ask Ask) (faults []fault.Field) {
	if utf8.RuneCountInString(ask.Reason) > roster.NoteLength {
		faults = append(faults, fault.Field{Place: "reason", Message: "is too long: at most 2,000 characters"})
	}
	if utf8.RuneCountInString(ask.Word) > roster.NoteLength {
		faults = append(faults, fault.Field{Place: "word", Message: "is too long: at most 2,000 characters"})
	}
	return faults
}

// standing carries out the choice.
func (v *view) standing(ask Ask, now time.Time) (roster.Standing, fault.Field) {
	after, today := v.file.Athlete.Standing, v.history.AsOf
	present := v.shelf.Find(after.Phase)
	switch ask.Choice {
	case roster.Seen:
		return after, fault.Field{}
	case roster.Pause, roster.Refer:
		if ask.Choice == roster.Pause && after.Held == roster.Referred {
			return after, wrongChoice(clearFirst)
		}
		return held(after, ask.Choice, today), fault.Field{}
	case roster.Resume, roster.Cleared:
		return v.cleared(ask, now)
	}
	if m := v.stopped(ask.Choice); m != "" {
		return after, wrongChoice(m)
	}
	switch ask.Choice {
	case roster.Hold:
		return after, fault.Field{}
	case roster.MoveUp:
		return v.up(after, present, ask.To)
	case roster.HalfStep:
		if present.Half() || len(v.shelf.HalfStep(present.Phase())) == 0 {
			return after, wrongChoice("there is no half step below this phase")
		}
		return moved(after, v.shelf.Pathway.ID(present-1), today), fault.Field{}
	case roster.EaseBack:
		return v.back(after, present, ask.To)
	}
	return after, wrongChoice("please choose what to do")
}

func wrongChoice(message string) fault.Field { return fault.Field{Place: "choice", Message: message} }

const clearFirst = "first the referral has to be cleared"

// stopped says why a choice that prescribes running cannot be made now: a
// referral and a pause end with a clearance only (rule 6.7), and nobody moves up
// while the engine asks for one.
func (v *view) stopped(choice roster.Choice) string {
	held, action := v.file.Athlete.Held, v.verdict.Action
	harder := choice == roster.MoveUp || choice == roster.HalfStep
	switch {
	case held == roster.Referred, harder && action == readiness.Refer:
		return clearFirst
	case held == roster.Paused, harder && action == readiness.Pause:
		return "first the pause has to end"
	}
	return ""
}

// held stops running. Whoever was held already stays so since then.
func held(s roster.Standing, choice roster.Choice, today day.Date) roster.Standing {
	if s.Held == roster.NotHeld {
		s.HeldSince = today
	}
	s.Held = roster.Paused
	if choice == roster.Refer {
		s.Held = roster.Referred
	}
	return s
}

// moved puts the athlete on a phase from today on.
func moved(s roster.Standing, phase string, today day.Date) roster.Standing {
	if s.Phase != phase {
		s.Phase, s.PhaseSince = phase, today
	}
	return s
}

// up leads to the phase the coach picked, else to where the engine leads, else
// to the next phase.
func (v *view) up(s roster.Standing, present pathway.Rung, to string) (roster.Standing, fault.Field) {
	target := pathway.RungOf(present.Phase())
	if !present.Half() {
		target += 2
	}
	if to == "" && v.verdict.Action == readiness.MoveUp {
		to = v.verdict.To
	}
	if to != "" {
		target = v.shelf.Find(to)
	}
	switch {
	case target == pathway.NoRung:
		return s, fault.Field{Place: "to", Message: "this phase is not on the pathway"}
	case target > v.shelf.Last():
		return s, wrongChoice("this is the last phase")
	case target <= present:
		return s, fault.Field{Place: "to", Message: "please choose a phase above the present one"}
	}
	if !present.Half() {
		s.LastPassed = s.Phase
	}
	return moved(s, v.shelf.Pathway.ID(target), v.history.AsOf), fault.Field{}
}

// back leads to the phase the coach picked, else to where the engine leads, else
// to the phase below.
func (v *view) back(s roster.Standing, present pathway.Rung, to string) (roster.Standing, fault.Field) {
	target := present.Below(1)
	if to == "" && v.verdict.Action == readiness.EaseBack {
		to = v.verdict.To
	}
	if to != "" {
		target = v.shelf.Find(to)
	}
	switch {
	case target == pathway.NoRung:
		return s, fault.Field{Place: "to", Message: "this phase is not on the pathway"}
	case target < 0:
		return s, wrongChoice("this is the first phase")
	case target >= present:
		return s, fault.Field{Place: "to", Message: "please choose a phase below the present one"}
	}
	return moved(s, v.shelf.Pathway.ID(target), v.history.AsOf), fault.Field{}
}

// cleared ends a pause or a referral, or what a fresh health check waited for. Where to begin says the coach, else the
// engine, asked again with the clearance (rules 6.7, 9.4).
func (v *view) cleared(ask Ask, now time.Time) (roster.Standing, fault.Field) {
	s := v.file.Athlete.Standing
	referred := v.referred()
	switch {
	case ask.Choice == roster.Resume && referred:
		return s, wrongChoice("a referral ends with a clearance: say who cleared it")
	case ask.Choice == roster.Cleared && v.clearable(): // it is what is asked for
	case !referred && s.Held == roster.NotHeld && v.verdict.Action != readiness.Pause:
		return s, wrongChoice("running is not stopped, so there is nothing to end")
	}
	s.Held, s.HeldSince = roster.NotHeld, 0
	s.ClearedOn, s.ClearedAt = v.history.AsOf, now
	to := ask.To
	if to == "" {
		f := v.file
		f.Athlete.Standing = s
		h := f.History(&v.shelf.Pathway, v.history.AsOf)
		if w := readiness.Assess(&h); w.Action == readiness.EaseBack {
			to = w.To
		}
	}
	if to == "" {
		return s, fault.Field{}
	}
	if v.shelf.Find(to) == pathway.NoRung {
		return s, fault.Field{Place: "to", Message: "this phase is not on the pathway"}
	}
	return moved(s, to, v.history.AsOf), fault.Field{}
}
