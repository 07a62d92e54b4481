package join

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Agreement is what somebody agrees to, in the present words.
type Agreement struct {
	Kinds    []roster.ConsentKind // what was ticked
	Guardian string               // the guardian's name, with Guardian among the kinds
}

// tries bounds how often a step is taken anew when somebody else changed something
// about the athlete meanwhile.
const tries = 3

// meanwhile takes a step, and takes it once more from what is there then when it
// found something changed.
func meanwhile(step func() error) (err error) {
	for range tries {
		if err = step(); fault.KindOf(err) != fault.Conflict || fault.MessageOf(err) != "" {
			return err
		}
	}
	return &fault.Error{Kind: fault.Conflict, Message: "Something was changed somewhere else meanwhile. Please try once more.", Cause: err}
}

// Agree keeps consents: all that are needed, or none. Faults stand at the kinds
// (keeping, health, adult) and at guardian. What stands already in the same words
// stays as it is. Whoever had taken theirs back is taken up where they were: it is
// the coach's turn once more if their answers are there, else theirs.
func (s *Service) Agree(ctx context.Context, who roster.Actor, athlete roster.AthleteID, g Agreement) error {
	g.Guardian = roster.Clean(g.Guardian)
	return meanwhile(func() error {
		t, err := s.State(ctx, who, athlete)
		if err != nil {
			return err
		}
		if err := fault.At(g.check(t)...); err != nil {
			return err
		}
		m := Move{Change: "athlete.agree", Athlete: t.Athlete, Consents: s.consents(who, t, g)}
		if t.Athlete.Arrival == roster.Withdrawn {
			t.takeUp(&m.Athlete)
		}
		if len(m.Consents) == 0 && m.Athlete == t.Athlete {
			return nil
		}
		return s.Store.Move(ctx, who, m)
	})
}

// check finds what is missing.
func (g Agreement) check(t *State) []fault.Field {
	var faults []fault.Field
	note := func(place roster.ConsentKind, message string) {
		faults = append(faults, fault.Field{Place: string(place), Message: message})
	}
	has := func(kind roster.ConsentKind) bool { return slices.Contains(g.Kinds, kind) || t.agreed(kind) }
	for _, kind := range [...]roster.ConsentKind{roster.ToKeeping, roster.ToHealth} {
		if !has(kind) {
			note(kind, "without this there is no beginning; please tick it, or speak with your coach")
		}
	}
	guarded := slices.Contains(g.Kinds, roster.Guardian)
	switch {
	case guarded && !t.Minors:
		note(roster.Guardian, "this club takes people from 18 on")
	case guarded && slices.Contains(g.Kinds, roster.IsAdult):
		note(roster.Guardian, "please tick either this or being 18 or older")
	case guarded && g.Guardian == "":
		note(roster.Guardian, "please give the name of the parent or guardian")
	case guarded:
		if m := roster.CheckName(g.Guardian); m != "" {
			note(roster.Guardian, m)
		}
	case !has(roster.IsAdult) && !(t.Minors && has(roster.Guardian)):
		note(roster.IsAdult, "please say whether you are 18 or older")
	}
	return faults
}

// consents are those to be added.
func (s *Service) consents(who roster.Actor, t *State, g Agreement) []roster.Consent {
	var added []roster.Consent
	for _, text := range Texts(t.Minors) {
		stands := t.consent(text.Kind)
		same := stands != nil && stands.Text >= TextVersion && (text.Kind != roster.Guardian || stands.Guardian == g.Guardian)
		if same || !slices.Contains(g.Kinds, text.Kind) {
			continue
		}
		c := roster.Consent{Athlete: t.Athlete.ID, Kind: text.Kind, Text: TextVersion, On: t.Today, At: s.Now(), ByCoach: who.Coach}
		if text.Kind == roster.Guardian {
			c.Guardian = g.Guardian
		}
		added = append(added, c)
	}
	return added
}

// takeUp is where somebody stands who agrees again after having taken it back.
func (t *State) takeUp(a *roster.Athlete) {
	a.Arrival, a.ArrivalSince, a.CheckSince = roster.Invited, t.Today, 0
	if t.Check != nil {
		a.Arrival, a.CheckSince = roster.Answered, t.Today
	}
}

// Withdraw takes every consent back. Nothing is prescribed from then on; the coach
// sees that it was taken back. What is kept stays until it is erased. Taken back
// already is no error.
func (s *Service) Withdraw(ctx context.Context, who roster.Actor, athlete roster.AthleteID) error {
	return meanwhile(func() error {
		t, err := s.State(ctx, who, athlete)
		if err != nil {
			return err
		}
		if t.Athlete.Arrival == roster.Withdrawn {
			return nil
		}
		m := Move{Change: "athlete.withdraw", Athlete: t.Athlete, WithdrawnAt: s.Now()}
		m.Athlete.Arrival, m.Athlete.ArrivalSince = roster.Withdrawn, t.Today
		return s.Store.Move(ctx, who, m)
	})
}
