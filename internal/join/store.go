package join

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what coming in reads and writes. Every call is made for one club and
// sees nothing of another; not there is fault.NotFound. Every change writes its
// audit lines.
type Store interface {
	Club(ctx context.Context, id roster.ClubID) (roster.Club, error)
	// NewestShelf is the pathway version that newcomers begin on, Shelf any other.
	NewestShelf(ctx context.Context, club roster.ClubID) (*roster.Shelf, error)
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	// File is the athlete with the sessions the rules read (as on the roster).
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Consents of the athlete, the newest first, those taken back too.
	Consents(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Consent, error)
	// Checks of the athlete, the newest first, the draft among them.
	Checks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error)
	// SaveDraft stores a draft: a new one (ID 0), if there is none yet, or in place
	// of the one of the same version. Else it is fault.Conflict. The answers are
	// changed, and nothing of the athlete.
	SaveDraft(ctx context.Context, who roster.Actor, c roster.HealthCheck) error
	// Move carries out a step, all or nothing. Where the athlete or the check is not
	// of the version given any more, it is fault.Conflict.
	Move(ctx context.Context, who roster.Actor, m Move) error
}

// Move is a step of coming in, as it is stored.
type Move struct {
	Change      string             // what the audit calls it: athlete.agree, athlete.confirm, …
	Athlete     roster.Athlete     // as afterwards; its Version is the one of before
	Alarm       roster.Alarm       // what coaches are to be told of at once; deputies are not, since it is about answers
	Refers      bool               // it stops running until a clearance, which has a line of its own in the audit
	Check       roster.HealthCheck // as afterwards; its Version is the one of before; ID 0 with a BegunAt adds it; zero: none changes
	Consents    []roster.Consent   // added; each ends one of its kind that stands
	WithdrawnAt time.Time          // every consent that stands is taken back; zero: none is
	Measured    roster.Measurement // zero: nothing is; the same key again changes nothing
}
