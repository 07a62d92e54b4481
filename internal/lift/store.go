package lift

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// Store is what strength training reads and writes. Every call is made for one club and
// sees nothing of another; not there is fault.NotFound. Every change writes its audit
// line.
type Store interface {
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	// File is the athlete with the sessions the rules read (as on the roster).
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Checks of the athlete, the newest first, the draft among them.
	Checks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error)
	// Strength is everything kept of the athlete's strength training.
	Strength(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Strength, error)
	// Exercises are the club's own, in the order in which they were added, those put
	// away among them.
	Exercises(ctx context.Context, club roster.ClubID) ([]roster.OwnExercise, error)
	// GiveProgram keeps another version where the newest is still the one it was made
	// of (0: there is none), else fault.Conflict; the athlete's weeks have as many
	// sessions of strength from then on. The same key again changes nothing
	// and gives the number of then.
	GiveProgram(ctx context.Context, who roster.Actor, of roster.ProgramID, p roster.Program, key roster.Key) (roster.ProgramID, error)
	// SetKit says what the athlete has; the last word holds.
	SetKit(ctx context.Context, who roster.Actor, k roster.Kit) error
	// Relift replaces what was done in a strength session whose version still is the
	// one given, else fault.Conflict; the version counts up.
	Relift(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int, lifts []roster.Lift, at time.Time) error
	// AddExercise keeps another exercise; the same key again gives the number of then.
	AddExercise(ctx context.Context, who roster.Actor, e strength.Exercise, at time.Time, key roster.Key) (roster.ExerciseID, error)
	// ChangeExercise replaces an exercise of the version given, else fault.Conflict.
	ChangeExercise(ctx context.Context, who roster.Actor, e roster.OwnExercise) error
}
