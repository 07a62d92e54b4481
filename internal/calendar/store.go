package calendar

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Store is what calendars elsewhere read and write. Not there is fault.NotFound.
type Store interface {
	// CalendarOf is the address of the actor's own calendar, zero where there is none.
	CalendarOf(ctx context.Context, who roster.Actor) (Address, error)
	// MakeCalendar keeps the hash as what opens the actor's calendar, and writes an
	// audit line unless it did already.
	MakeCalendar(ctx context.Context, who roster.Actor, hash Hash, at time.Time) error
	// EndCalendar lets nothing open the actor's calendar any more; the names of its
	// events stay. One that is not there is fault.NotFound.
	EndCalendar(ctx context.Context, who roster.Actor) error
	// Calendar finds the one that the hash opens, in whichever club. A coach who has
	// left has none.
	Calendar(ctx context.Context, hash Hash) (Subscription, error)
	// RenewCalendar hands what is kept of the calendar, by slot and without weeks
	// before the first Monday, to change, and keeps what that gives; of two at once the
	// second waits. The date is kept as that of the newest fetch. It writes no event that
	// is as it was, and no audit line: a program that looks changes nothing for anybody.
	RenewCalendar(ctx context.Context, sub *Subscription, first, on day.Date, change func([]Kept) []Kept) error
	// Phoneless are the athletes of the club as whom nobody is signed in at the instant.
	Phoneless(ctx context.Context, club roster.ClubID, now time.Time) ([]roster.AthleteID, error)
}
