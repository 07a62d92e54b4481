package routine

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
)

// Store is what routines read and write. Every call is made for one club and sees
// nothing of another; not there is fault.NotFound. Every change writes its audit line.
type Store interface {
	// Repertoire is the club's newest routine, that of the zero ID where it never made
	// one, and its own movements in the order in which they were added.
	Repertoire(ctx context.Context, club roster.ClubID) (roster.Repertoire, error)
	// RepertoireFor is the same, and whether the athlete has a roller.
	RepertoireFor(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Repertoire, bool, error)
	// EditRoutine keeps another version where the newest is still the one it was made of,
	// else it is fault.Conflict; the same key again changes nothing and gives the ID of then.
	EditRoutine(ctx context.Context, who roster.Actor, of roster.RoutineID, r warmup.Routine, at time.Time, key roster.Key) (roster.RoutineID, error)
	// AddMovement keeps another movement; the same key again gives the number of then.
	AddMovement(ctx context.Context, who roster.Actor, m warmup.Move, at time.Time, key roster.Key) (roster.MovementID, error)
	// PutAway puts a movement away; twice is the same as once.
	PutAway(ctx context.Context, who roster.Actor, id roster.MovementID, at time.Time) error
	// SetRoller says whether the athlete has a roller.
	SetRoller(ctx context.Context, who roster.Actor, athlete roster.AthleteID, has bool) error
	// File is the athlete with the sessions the rules read.
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Checks are the athlete's answers about health, the newest first, the draft among them.
	Checks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error)
}
