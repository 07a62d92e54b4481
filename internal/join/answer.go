package join

import (
	"context"
	"maps"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// Answer keeps the answers to one section as a draft; the same section again
// replaces what was answered to it. Faults stand at the questions' IDs; an unknown
// section is fault.NotFound. A coach may do it with the person beside them.
func (s *Service) Answer(ctx context.Context, who roster.Actor, athlete roster.AthleteID, section string, a screening.Answers) error {
	return meanwhile(func() error {
		t, err := s.State(ctx, who, athlete)
		if err != nil {
			return err
		}
		if err := t.mayAnswer(); err != nil {
			return err
		}
		i := slices.IndexFunc(t.Sections, func(one Section) bool { return one.ID == section })
		if i < 0 {
			return fault.New(fault.NotFound, "")
		}
		tidy, faults := t.Sections[i].read(t.circumstances(), a, t)
		if err := fault.At(faults...); err != nil {
			return err
		}
		return s.Store.SaveDraft(ctx, who, s.draft(who, t, section, tidy))
	})
}

// mayAnswer says that first comes the consent.
func (t *State) mayAnswer() error {
	switch {
	case !t.Athlete.LeftAt.IsZero():
		return fault.New(fault.Conflict, t.Athlete.Name+" has left the club.")
	case t.Athlete.Arrival == roster.Withdrawn || !t.Agreed:
		return fault.New(fault.Conflict, "The questions come after the consent. Please read and agree first.")
	}
	return nil
}

// read takes out the answers to the section, and says what is wrong with them.
func (one *Section) read(c screening.Circumstances, a screening.Answers, t *State) (screening.Answers, []fault.Field) {
	tidy := screening.Tidy(a)
	faults := screening.Check(c, one.ID, tidy, t.Today)
	for id := range tidy {
		if !slices.ContainsFunc(one.Questions, func(q screening.Question) bool { return q.ID == id }) {
			delete(tidy, id)
		}
	}
	return tidy, faults
}

// draft is the draft with the section answered.
func (s *Service) draft(who roster.Actor, t *State, section string, a screening.Answers) roster.HealthCheck {
	c := t.begun()
	if c.ID == 0 {
		c.BegunAt = s.Now()
	}
	for _, one := range t.Sections {
		if one.ID == section {
			for _, q := range one.Questions {
				delete(c.Answers, q.ID)
			}
		}
	}
	maps.Copy(c.Answers, a)
	if !slices.Contains(c.Sections, section) {
		c.Sections = append(c.Sections, section)
	}
	c.by(who)
	return c.HealthCheck
}

// check is a health check that is being worked on.
type check struct{ roster.HealthCheck }

// by says who fills it in.
func (c *check) by(who roster.Actor) {
	c.Source, c.ByCoach = roster.FromPhone, who.Coach
	if who.Coach != 0 {
		c.Source = roster.FromCoach
	}
}

// begun is a copy of the draft to be changed, or a new one.
func (t *State) begun() check {
	c := check{roster.HealthCheck{Athlete: t.Athlete.ID}}
	if t.draft != nil {
		c.HealthCheck = *t.draft
	}
	answers, sections := map[string][]string{}, []string(nil)
	if t.goesOn() {
		maps.Copy(answers, c.Answers)
		sections = slices.Clone(c.Sections)
	}
	c.Answers, c.Sections, c.Form, c.Fresh = answers, sections, screening.Form, t.Fresh
	return c
}

// HandIn says that the answers are whole: from then on it is the coach's turn. What
// is not answered yet is a fault at the section's ID, what is wrong one at the
// question's. Where a clearance is advised, nothing is prescribed until a coach has
// recorded that it was given. Handed in already is no error.
func (s *Service) HandIn(ctx context.Context, who roster.Actor, athlete roster.AthleteID) error {
	return meanwhile(func() error {
		t, err := s.State(ctx, who, athlete)
		switch {
		case err != nil:
			return err
		case t.draft == nil && t.Check != nil && t.Athlete.Arrival != roster.Withdrawn:
			return nil
		}
		if err := t.mayAnswer(); err != nil {
			return err
		}
		if err := fault.At(t.unfinished()...); err != nil {
			return err
		}
		return s.Store.Move(ctx, who, s.handed(who, t))
	})
}

// unfinished finds what is still to be answered before the draft can be handed in.
func (t *State) unfinished() []fault.Field {
	var faults []fault.Field
	for _, one := range t.Sections {
		if !one.Done {
			faults = append(faults, fault.Field{Place: one.ID, Message: "these questions are not answered yet"})
		}
	}
	if len(faults) > 0 {
		return faults
	}
	faults = screening.CheckAll(t.circumstances(), t.Answers, t.Today)
	if len(faults) == 0 && t.minor(t.draft) && !t.agreed(roster.Guardian) {
		faults = append(faults, fault.Field{Place: screening.BirthYear, Message: "under 18 a parent or guardian has to agree first; please go back to the page for the consent"})
	}
	return faults
}

const adult = 18 // years

// minor says whether the answers are those of somebody under age.
func (t *State) minor(c *roster.HealthCheck) bool {
	age := screening.Assess(c.Answers, t.Today).Age
	return age != 0 && age < adult
}

// handed is the step of handing the draft in.
func (s *Service) handed(who roster.Actor, t *State) Move {
	c := t.begun()
	c.by(who)
	c.HandedAt, c.HandedOn = s.Now(), t.Today
	m := Move{Change: "athlete.answer", Athlete: t.Athlete}
	a := &m.Athlete
	if result := screening.Assess(c.Answers, c.HandedOn); result.Advice != screening.NotNeeded {
		c.Advised, c.Why = true, result.Why
		if a.Held == roster.NotHeld {
			a.HeldSince = t.Today
		}
		a.Held, m.Refers = roster.Referred, true
		if a.Arrival == roster.Here || result.Advice == screening.StopAndClearance {
			m.Alarm = roster.AlarmAnswers // a newcomer who is only to ask a doctor first waits on the roster
		}
	}
	if a.Arrival == roster.Invited {
		a.Arrival, a.ArrivalSince = roster.Answered, t.Today
	}
	a.CheckSince = t.Today
	m.Check = c.HealthCheck
	return m
}
