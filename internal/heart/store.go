package heart

import (
	"context"

	"halfhour.app/halfhour/internal/roster"
)

// Store is what heart-rate evidence reads and writes. Every call is made for one
// club and sees nothing of another; not there is fault.NotFound. Every change
// writes its audit line.
type Store interface {
	Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error)
	// Shelf is one version of a pathway.
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	// Session is one session of the athlete.
	Session(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error)
	// Recording is that of a session, with its body.
	Recording(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, session roster.SessionID) (roster.Recording, error)
	// Recordings are all of the athlete, the newest first, without bodies.
	Recordings(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Recording, error)
	// Attach stores the recording, takes away the one the session had before, and
	// writes what it showed into the blocks of the session, whose version counts up,
	// all or nothing. A session of another version is fault.Conflict.
	Attach(ctx context.Context, who roster.Actor, r roster.Recording, s roster.Session) (roster.RecordingID, error)
	// Detach removes the recording of the session and what it showed of the blocks.
	Detach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, s roster.Session) error
	// Measurements of the athlete, the oldest date first.
	Measurements(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Measurement, error)
	// Measure stores one; the same key again changes nothing and gives the ID of then.
	Measure(ctx context.Context, who roster.Actor, m roster.Measurement) (roster.MeasurementID, error)
	// Unmeasure takes one back.
	Unmeasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.MeasurementID) error
	// PassOver says that the peak of a recording is not to be offered again.
	PassOver(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.RecordingID) error
	// SetFormula picks the formula of the predicted maximum.
	SetFormula(ctx context.Context, who roster.Actor, athlete roster.AthleteID, formula string) error
}
