package post

import (
	"context"
	"errors"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

// Due is a coach whose weekly letter may be due.
type Due struct {
	Club  roster.ClubID
	Coach roster.CoachID
	Zone  string    // of the club
	Day   int       // of the week, Monday is 1
	Hour  int       // 0 to 23
	Next  time.Time // when the letter is due; zero: not worked out yet
}

// Plan is what becomes of it.
type Plan struct {
	Due
	Week day.Date  // the Monday of the week whose letter is to be written; zero: none is
	To   time.Time // when the next one is due
	Else time.Time // the one after that: for whoever has got the letter of To's week already
}

// WeekTo is the Monday of the week of To.
func (p *Plan) WeekTo() day.Date { return Week(p.To, roster.PlaceOf(p.Zone)) }

// sweep is how many coaches are planned at once.
const sweep = 500

// WriteDue writes the weekly letters that are due, in whichever club, and works out
// when the next ones are. After a time in which nothing ran, each coach gets one letter,
// that of the newest week. What goes wrong in one club does not keep it from others. It
// gives how many letters were written.
func (s *Service) WriteDue(ctx context.Context) (int, error) {
	now := s.Now()
	written := 0
	var faults []error
	for after := (Due{}); ; {
		due, err := s.Store.Due(ctx, now, after, sweep)
		if err != nil || len(due) == 0 {
			return written, errors.Join(append(faults, err)...)
		}
		after = due[len(due)-1]
		for len(due) > 0 {
			n := 1
			for n < len(due) && due[n].Club == due[0].Club {
				n++
			}
			wrote, err := s.Store.Plan(ctx, due[0].Club, planned(due[:n], now))
			written += wrote
			faults = append(faults, err)
			due = due[n:]
		}
	}
}

func planned(due []Due, now time.Time) []Plan {
	plans := make([]Plan, len(due))
	for i, d := range due {
		plans[i] = plan(d, now)
	}
	return plans
}

// plan works out what is to become of somebody at the instant.
func plan(d Due, now time.Time) Plan {
	place := roster.PlaceOf(d.Zone)
	p := Plan{Due: d}
	p.To = next(place, d.Day, d.Hour, now)
	p.Else = next(place, d.Day, d.Hour, p.To)
	if !d.Next.IsZero() && !d.Next.After(now) {
		p.Week = Week(newest(place, d, now), place)
	}
	return p
}

// newest is the last time until the instant at which a letter was due.
func newest(place *time.Location, d Due, now time.Time) time.Time {
	at := d.Next
	if eight := now.AddDate(0, 0, -8); at.Before(eight) {
		at = next(place, d.Day, d.Hour, eight)
	}
	for {
		after := next(place, d.Day, d.Hour, at)
		if after.After(now) {
			return at
		}
		at = after
	}
}

// next is the first instant after the given one at which it is that hour of that day
// of the week.
func next(place *time.Location, weekday, hour int, after time.Time) time.Time {
	for date := day.Of(after, place); ; date++ {
		if isoDay(date) == weekday {
			if at := date.At(hour, place); at.After(after) {
				return at
			}
		}
	}
}

// Week is the Monday of the week that holds the instant in the place. Weeks of letters
// begin on Mondays (ISO 8601).
func Week(at time.Time, place *time.Location) day.Date { return WeekOf(day.Of(at, place)) }

// WeekOf is the Monday of the week that holds the date.
func WeekOf(date day.Date) day.Date { return date - day.Date(isoDay(date)-1) }

// isoDay is the day of the week, Monday is 1 (ISO 8601).
func isoDay(date day.Date) int { return (int(date.Weekday())+6)%7 + 1 }
