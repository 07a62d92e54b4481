package heart

import (
	"context"
	"fmt"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// tries bounds how often something is written into a session that others correct
// meanwhile.
const tries = 3

// athlete reads the athlete, if the actor may act for them.
func (s *Service) athlete(ctx context.Context, who roster.Actor, id roster.AthleteID) (roster.Athlete, error) {
	if !who.For(id) {
		return roster.Athlete{}, fault.New(fault.NotFound, "")
	}
	return s.Store.Athlete(ctx, who.Club, id)
}

// coached is athlete for what only coaches do.
func (s *Service) coached(ctx context.Context, who roster.Actor, id roster.AthleteID) (roster.Athlete, error) {
	a, err := s.athlete(ctx, who, id)
	if err == nil && who.Coach == 0 {
		err = fault.New(fault.Forbidden, "Only a coach does this.")
	}
	return a, err
}

// here says why nothing is measured of somebody yet.
func here(a *roster.Athlete) error {
	if a.Arrival == roster.Here {
		return nil
	}
	return fault.New(fault.Conflict, "Heart rate comes later: first the questions are answered and a coach says where to begin.")
}

// whileCorrected does something to a session, and once more when somebody
// corrected the session meanwhile.
func whileCorrected(act func() error) (err error) {
	for range tries {
		if err = act(); fault.KindOf(err) != fault.Conflict || len(fault.FieldsOf(err)) > 0 {
			return err
		}
	}
	return &fault.Error{Kind: fault.Conflict, Message: "This session was changed somewhere else meanwhile. Please try once more.", Cause: err}
}

// checkKey says what is wrong with the key of a form.
func checkKey(key roster.Key) []fault.Field {
	if key.Sound() {
		return nil
	}
	return []fault.Field{{Place: "key", Message: "this form is not whole; please open it again"}}
}

// SetFormula picks the formula of the predicted maximum; for coaches only. A fault
// stands at formula.
func (s *Service) SetFormula(ctx context.Context, who roster.Actor, athlete roster.AthleteID, formula string) error {
	if _, err := s.coached(ctx, who, athlete); err != nil {
		return err
	}
	if _, known := intensity.ParseFormula(formula); !known {
		return fault.At(fault.Field{Place: "formula", Message: "please choose one of the formulas"})
	}
	return s.Store.SetFormula(ctx, who, athlete, formula)
}

// between says that a number lies outside of its range; empty when it does not.
func between(n, low, high int, what string) string {
	if n >= low && n <= high {
		return ""
	}
	return fmt.Sprintf("%s goes from %d to %d beats a minute, not %d", what, low, high, n)
}
