package decide

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what decisions read and write.
type Store interface {
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Sessions are all sessions of the athlete, the newest first.
	Sessions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Session, error)
	// Keep stores the decision, the athlete's standing after it, the coach's word
	// where one is given, and the audit line, together, if the athlete's version
	// is still the one given, else fault.Conflict. The same key again changes
	// nothing and gives the ID of then; fault.Conflict where it was taken back since.
	Keep(ctx context.Context, who roster.Actor, d roster.Decision, version int) (roster.DecisionID, error)
	// Decision is one decision of the club, or fault.NotFound.
	Decision(ctx context.Context, club roster.ClubID, id roster.DecisionID) (roster.Decision, error)
	// Undo marks the decision undone at the instant and puts the standing before
	// it back, with the coach's word that it replaced unless a newer one was
	// written, if it is the athlete's newest decision that stands and the standing
	// is still the one after it, else fault.Conflict. Undone already is no error.
	Undo(ctx context.Context, who roster.Actor, id roster.DecisionID, at time.Time) error
}
