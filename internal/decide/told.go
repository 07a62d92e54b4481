package decide

import (
	"context"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Told is what an athlete hears of a decision.
type Told struct {
	Athlete  roster.Athlete
	Decision roster.Decision // zero: that a coach took the athlete in
	Shelf    *roster.Shelf
	Plan     []pathway.Block // of the phase on which the athlete stands; nil: it is not on the pathway any more
	Holds    bool            // it still is as it was decided; else there is nothing to tell
}

// Told gives what the athlete hears of the decision, or with 0 of being taken in, as
// things stand now. A decision that was taken back, or that a newer one led on from,
// does not hold.
func (s *Service) Told(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, id roster.DecisionID) (Told, error) {
	file, err := s.Store.File(ctx, club, athlete, roster.Latest(s.Now()))
	if err != nil {
		return Told{}, err
	}
	t := Told{Athlete: file.Athlete}
	if t.Shelf, err = s.Store.Shelf(ctx, club, t.Athlete.Pathway); err != nil {
		return Told{}, err
	}
	if rung := t.Shelf.Find(t.Athlete.Phase); rung != pathway.NoRung {
		t.Plan = t.Shelf.Blocks(rung)
	}
	if id == 0 {
		t.Holds = t.Athlete.Arrival == roster.Here && t.Athlete.Held == roster.NotHeld
		return t, nil
	}
	if t.Decision, err = s.Store.Decision(ctx, club, id); err != nil {
		return Told{}, err
	}
	t.Holds = t.Decision.Athlete == athlete && t.Decision.Holds(&t.Athlete)
	return t, nil
}
