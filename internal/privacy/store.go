package privacy

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Table is a table with rows about athletes.
type Table struct {
	Name    string
	About   string // what it holds, as the database says it; may be empty
	Number  string // the column that numbers its rows; empty: none, and they are few
	Columns string // those that are given, as they stand in a statement
	Wide    bool   // a row may be large
}

// Store is what privacy reads and writes. Every call but EveryClub is made for one club
// and sees nothing of another; not there is fault.NotFound. Every change writes its
// audit line, but for looks, which are such lines themselves.
type Store interface {
	Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error)
	// Club is the club itself.
	Club(ctx context.Context, id roster.ClubID) (roster.Club, error)
	// Coaches of the club, by name.
	Coaches(ctx context.Context, club roster.ClubID) ([]roster.Coach, error)
	// Gone are the athletes who left the club, by name.
	Gone(ctx context.Context, club roster.ClubID) ([]roster.Athlete, error)
	// Waiting are those who are coming in, have not left and never trained, by name: the
	// first walk that is offered while coming in does not count.
	Waiting(ctx context.Context, club roster.ClubID) ([]Waiter, error)
	// Sessions are all sessions of the athlete, the newest first.
	Sessions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Session, error)
	// Recordings are all of the athlete, the newest first, without bodies.
	Recordings(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Recording, error)
	// Recording is that of a session, with its body.
	Recording(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, session roster.SessionID) (roster.Recording, error)

	// Consents of the athlete, the newest first, those taken back too.
	Consents(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Consent, error)

	// Look notes that a coach looked; for an athlete of nobody it is fault.NotFound.
	Look(ctx context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, what What, on day.Date, at time.Time) error
	// Looks at the athlete, the newest day first.
	Looks(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]Look, error)

	// Tables are all that hold rows about athletes, that of athletes first.
	Tables(ctx context.Context, club roster.ClubID) ([]Table, error)
	// Counts says how many rows each of them holds about the athlete, where there are any.
	Counts(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]Count, error)
	// Rows gives some of the rows about the athlete as JSON objects, without what
	// LeftOut names, and from where to go on; 0: these were the last.
	Rows(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, table Table, from int64) (rows [][]byte, next int64, err error)
	// Lines are the audit lines of what the athlete did, and of what was done with
	// rows about the athlete, the oldest first.
	Lines(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([][]byte, error)

	// Asked is when the athlete asked to be erased; zero: did not.
	Asked(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (time.Time, error)
	// Asking are all of the club who asked, the longest waiting first.
	Asking(ctx context.Context, club roster.ClubID) ([]Asking, error)
	// AskErasure keeps that the athlete asked; asked again, the first time stays.
	AskErasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, at time.Time) error
	// TakeBackErasure forgets that the athlete asked.
	TakeBackErasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID) error
	// Erase removes every row about the athlete, all or nothing, and counts what may
	// be counted for the year.
	Erase(ctx context.Context, who roster.Actor, athlete roster.AthleteID, year int) error
	// EraseDue is the same for the program itself, as long as the reason still holds:
	// whoever took it back, or came back, at the last moment is fault.NotFound.
	EraseDue(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, year int, why Reason) error

	// Own is what is kept of a coach, as JSON.
	Own(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]byte, error)
	// Erased are the marks of those who were erased in the club, the oldest first.
	Erased(ctx context.Context, club roster.ClubID) ([]Gone, error)
	// Marked are the athletes of the club for whom one of the marks is.
	Marked(ctx context.Context, club roster.ClubID, marks []Mark) ([]roster.AthleteID, error)

	// Keeping is how long those who left are kept.
	Keeping(ctx context.Context, club roster.ClubID) (Keeping, error)
	// SetKeeping changes it.
	SetKeeping(ctx context.Context, who roster.Actor, k Keeping) error
	// Tallies are the counts of those who were erased, the oldest year first.
	Tallies(ctx context.Context, club roster.ClubID) ([]Tally, error)
	// EveryClub gives the numbers of all clubs, for the daily errand.
	EveryClub(ctx context.Context) ([]roster.ClubID, error)
}
