package morning

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what the coach's pages read. Every call is made for one club and sees
// nothing of another; not there is fault.NotFound.
type Store interface {
	// Shelves are all pathway versions that somebody stands on, and the newest.
	Shelves(ctx context.Context, club roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error)
	// Files are all athletes who have not left, by name, each with the sessions
	// the rules read for the day asked about: those of the last 70 days, those
	// since the phase began, those that keep a pause or a referral, and the
	// newest with load and the newest run before all these. A number of queries
	// that does not depend on how many athletes there are.
	Files(ctx context.Context, club roster.ClubID, asked day.Date) ([]roster.File, error)
	// File is the same for one athlete, who may have left.
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	// Sessions are all sessions of the athlete, the newest first.
	Sessions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Session, error)
	// Decisions are all decisions about the athlete, the newest first, undone ones too.
	Decisions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Decision, error)
	// Since are the decisions of the club made at the instant or later that stand, the
	// newest first.
	Since(ctx context.Context, club roster.ClubID, at time.Time) ([]roster.Decision, error)
	// Leaves and Notes of the athlete, the newest first.
	Leaves(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Leave, error)
	Notes(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Note, error)
	// Gone are the athletes who left the club.
	Gone(ctx context.Context, club roster.ClubID) ([]roster.Athlete, error)
}
