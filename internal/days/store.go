package days

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what laying out weeks reads and writes. Every call is made for one club
// and sees nothing of another; not there is fault.NotFound. Every change writes its
// audit line.
type Store interface {
	Club(ctx context.Context, id roster.ClubID) (roster.Club, error)
	Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error)
	// Shelf is one version of a pathway, Shelves all on which somebody stands.
	Shelf(ctx context.Context, club roster.ClubID, id roster.PathwayID) (*roster.Shelf, error)
	Shelves(ctx context.Context, club roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error)
	// File is the athlete with the sessions the rules read; Files are those of all
	// who have not left, by name.
	File(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, asked day.Date) (roster.File, error)
	Files(ctx context.Context, club roster.ClubID, asked day.Date) ([]roster.File, error)

	// Wanted are the groups and holidays of the club, and the pins of the athlete, or
	// of everybody for athlete 0: those that still hold or held on the date or later,
	// without those for single dates before it, in the order in which they were made;
	// which strength done since then was hard on the legs; and since when there is a
	// programme for it.
	Wanted(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, since day.Date) (Wishes, error)
	// AddPin stores a pin and lifts others of the athlete at the same instant, if the
	// athlete's WeekVersion still is the one given, else fault.Conflict; it counts up.
	// A key the athlete has used before changes nothing and gives the ID of then.
	AddPin(ctx context.Context, who roster.Actor, p roster.Pin, lifted []roster.PinID, version int) (roster.PinID, error)
	// LiftPin ends a pin that holds, at the instant and on the date of LiftedAt and
	// LiftedOn; one that is not there, or has ended, is fault.NotFound.
	LiftPin(ctx context.Context, who roster.Actor, p roster.Pin) error
	// UndoPin takes a move back as if it had not been made: what it lifted holds again.
	// If the athlete's WeekVersion is another, or it holds no more, fault.Conflict.
	UndoPin(ctx context.Context, who roster.Actor, p roster.Pin, key roster.Key, version int) error
	// SetHabits replaces when the athlete can train, how many strength sessions a week
	// there are, and the group; another's group is fault.NotFound.
	SetHabits(ctx context.Context, who roster.Actor, athlete roster.AthleteID, h Habits) error

	// SaveGroup stores a new group (ID 0), the same key once, or replaces the one of
	// its version, else fault.Conflict.
	SaveGroup(ctx context.Context, who roster.Actor, g roster.Group, key roster.Key) (roster.GroupID, error)
	// RemoveGroup takes a group away; whoever was in it is in none.
	RemoveGroup(ctx context.Context, who roster.Actor, id roster.GroupID) error
	AddHoliday(ctx context.Context, who roster.Actor, h roster.Holiday, key roster.Key) (roster.HolidayID, error)
	RemoveHoliday(ctx context.Context, who roster.Actor, id roster.HolidayID) error
}

// Wishes are what a club and its athletes want of weeks, and what else a week is laid
// out by.
type Wishes struct {
	Pins     []roster.Pin
	Groups   []roster.Group                 // by name
	Holidays []roster.Holiday               // by date
	Given    map[roster.AthleteID]time.Time // when each was given a programme for strength first
	Legs     map[roster.SessionID]bool      // strength whose exercises are known: whether one of those done is hard on the legs
}

// Habits are what of an athlete's weeks is the same each week.
type Habits struct {
	Available roster.Available // 0: any time will do
	Strength  int              // strength sessions a week, 0 to 3
	Legs      int              // how many of these are hard on the legs
	Group     roster.GroupID   // 0: none
}
