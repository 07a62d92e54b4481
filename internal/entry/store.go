package entry

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what an athlete's phone reads and writes.
type Store interface {
	// Shelf is one version of a pathway.
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	// File is the athlete with the sessions the rules read (as on the roster).
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Sessions are all sessions of the athlete, the newest first.
	Sessions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Session, error)
	// Session is one session of the athlete, or fault.NotFound.
	Session(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error)
	// Log stores the session with its audit line and its lifts in one round trip and
	// gives its ID. A key the athlete has used before changes nothing and gives the ID of
	// the session stored then (again is true). Another session of the same
	// instant and kind is fault.Conflict. With an alarm the coaches to be told of it
	// at once are written to, in the same transaction.
	Log(ctx context.Context, who roster.Actor, s roster.Session, alarm roster.Alarm) (id roster.SessionID, again bool, err error)
	// Correct replaces the session if its version is still s.Version, else
	// fault.Conflict; the version counts up. The alarm is what the correction brings
	// that was not told before; whoever was written to of it about this session is
	// not written to again.
	Correct(ctx context.Context, who roster.Actor, s roster.Session, alarm roster.Alarm) error
	// Delete removes the session if its version is still the one given, else
	// fault.Conflict.
	Delete(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int) error
}
