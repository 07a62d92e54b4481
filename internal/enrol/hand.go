package enrol

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// HandOver gives the athlete to a coach of the club, or to everybody (0). The coach
// reads of it on the roster until it is seen, unless it is the one who hands over.
// To the coach whose athlete it is already nothing changes. A fault stands at coach
// where the coach is not there any more or is a deputy.
func (s *Service) HandOver(ctx context.Context, who roster.Actor, id roster.AthleteID, to roster.CoachID) error {
	if who.Coach == 0 || who.Deputy {
		return fault.New(fault.Forbidden, "Only a coach hands somebody over.")
	}
	a, err := s.Store.Athlete(ctx, who.Club, id)
	switch {
	case err != nil:
		return err
	case !who.Sees(&a):
		return fault.New(fault.NotFound, "")
	case a.Coach == to:
		return nil
	}
	err = s.Store.HandOver(ctx, who, id, to, s.Now())
	if fault.KindOf(err) == fault.NotFound {
		err = fault.At(fault.Field{Place: "coach", Message: "please choose a coach of the club; a deputy has no athletes"})
	}
	return err
}

// Handed are the athletes who were handed over to the coach and not seen to yet,
// the newest first.
func (s *Service) Handed(ctx context.Context, who roster.Actor) ([]roster.Handed, error) {
	return s.Store.Handed(ctx, who.Club, who.Coach)
}

// TakeOver says that the coach has seen that the athlete is his or hers now; seen
// already is no error.
func (s *Service) TakeOver(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	a, err := s.Store.Athlete(ctx, who.Club, id)
	if err == nil && !who.Sees(&a) {
		err = fault.New(fault.NotFound, "")
	}
	if err != nil {
		return err
	}
	return s.Store.TakeOver(ctx, who, id)
}
