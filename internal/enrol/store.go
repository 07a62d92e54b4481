package enrol

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what keeping the list of athletes reads and writes. Every change
// writes its audit line.
type Store interface {
	Club(ctx context.Context, id roster.ClubID) (roster.Club, error)
	// NewestShelf is the pathway version that newcomers begin on.
	NewestShelf(ctx context.Context, club roster.ClubID) (*roster.Shelf, error)
	Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error)
	// Gone are the athletes who left the club, by name.
	Gone(ctx context.Context, club roster.ClubID) ([]roster.Athlete, error)
	// Leaves of the athlete, the newest first.
	Leaves(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Leave, error)
	// Add stores a new athlete, and that a coach asked the health questions on paper
	// where asked says when (AskedOn, AskedBy, HandedAt); the same key again gives
	// the ID of then. Where coaches see only their own, it is one of the coach who adds.
	Add(ctx context.Context, who roster.Actor, a roster.Athlete, asked roster.HealthCheck, key roster.Key) (roster.AthleteID, error)
	// Change replaces name, e-mail, birth year, zone, sessions a week, use of
	// heart rate, the coach's word and the date of an injury, if the version still
	// is a.Version, else fault.Conflict.
	Change(ctx context.Context, who roster.Actor, a roster.Athlete) error
	// Leave marks the athlete as gone at the instant (zero: is back) and ends
	// their logins.
	Leave(ctx context.Context, who roster.Actor, id roster.AthleteID, at time.Time) error
	// AddLeave stores a time away; the same key again gives the ID of then. The
	// first day of an injury becomes the athlete's InjuredOn, unless that is later.
	AddLeave(ctx context.Context, who roster.Actor, l roster.Leave, key roster.Key) (roster.LeaveID, error)
	// EndLeave sets the last day away; before the first is fault.Invalid.
	EndLeave(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID, last day.Date) error
	// RemoveLeave takes a time away out again; with an injury, InjuredOn is what it
	// was before.
	RemoveLeave(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID) error
	// HandOver gives the athlete to the coach (0: to everybody), to be told since the
	// instant unless it is the actor; an athlete who is not there, or a coach who has
	// left or is a deputy, is fault.NotFound.
	HandOver(ctx context.Context, who roster.Actor, id roster.AthleteID, to roster.CoachID, at time.Time) error
	// Handed are those handed over to the coach and not seen to yet, the newest first.
	Handed(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]roster.Handed, error)
	// TakeOver says that the coach has seen it; where there is nothing to see, too.
	TakeOver(ctx context.Context, who roster.Actor, id roster.AthleteID) error
	AddNote(ctx context.Context, who roster.Actor, n roster.Note, key roster.Key) (roster.NoteID, error)
}
