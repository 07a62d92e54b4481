package join

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// Asked takes somebody in who trains already and whom a coach asked the health
// questions on paper. Faults stand at asked_on and asked_by, and where Confirm has
// them. A referral that stands has to be cleared first.
func (s *Service) Asked(ctx context.Context, who roster.Actor, athlete roster.AthleteID, p roster.Paper, c Confirmation) error {
	if err := onlyCoach(who); err != nil {
		return err
	}
	t, err := s.State(ctx, who, athlete)
	if err != nil {
		return err
	}
	p.By = roster.Clean(p.By)
	if t.Check != nil && t.Check.AskedOn == p.On && t.Check.AskedBy == p.By && t.confirmedBy(who, c) {
		return nil
	}
	if t.Athlete.Arrival == roster.Invited {
		t.Athlete.Arrival = roster.Answered // by the paper
	}
	if err := t.mayConfirm(); err != nil {
		return err
	}
	if err := fault.At(append(p.Check(t.Today), c.check(t)...)...); err != nil {
		return err
	}
	t.Check = nil // what was answered earlier is no part of it
	m := t.placed(c)
	m.Change, m.Athlete.Version = "athlete.confirm", c.Version
	now := s.Now()
	m.Check = roster.HealthCheck{
		Athlete: athlete, Form: screening.Form, Source: roster.FromPaper, ByCoach: who.Coach, AskedOn: p.On, AskedBy: p.By,
		BegunAt: now, HandedAt: now, HandedOn: t.Today, SeenAt: now, SeenBy: who.Coach,
	}
	return quicker(s.Store.Move(ctx, who, m), t)
}

// Look says that a coach has looked at the answers of a fresh check, and whether
// heart rate counts from now on. Looked at already is no error. What the answers ask
// for stays: a referral ends with a clearance only.
func (s *Service) Look(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.CheckID, heartUsable bool) error {
	if err := onlyCoach(who); err != nil {
		return err
	}
	return meanwhile(func() error {
		t, err := s.State(ctx, who, athlete)
		switch {
		case err != nil:
			return err
		case t.Check == nil || t.Check.ID != id:
			return fault.New(fault.Conflict, "There are newer answers from "+t.Athlete.Name+". Please look again.")
		case t.Athlete.Arrival != roster.Here:
			return fault.New(fault.Conflict, t.Athlete.Name+" is still coming in: looking is part of confirming.")
		case !t.Check.SeenAt.IsZero():
			return nil
		}
		m := Move{Change: "athlete.look", Athlete: t.Athlete, Check: *t.Check}
		m.Athlete.CheckSince, m.Athlete.HeartUsable = 0, heartUsable
		m.Check.SeenAt, m.Check.SeenBy = s.Now(), who.Coach
		return s.Store.Move(ctx, who, m)
	})
}
