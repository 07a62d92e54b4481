package post

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// When letters by the clock go out, where the athlete is: the sessions of the week
// before a working Monday begins, a word after silence when nobody is woken by it. Ours.
const (
	mondayHour = 7
	gentleHour = 10
)

// Hearer is an athlete who can be written to and wants letters of a kind.
type Hearer struct {
	Club    roster.ClubID
	Athlete roster.AthleteID
	Zone    string
}

// Addressed is a letter to be written to one of them. The same key twice is one letter.
type Addressed struct {
	Athlete roster.AthleteID
	Week    day.Date // of Monday: that day; else zero
	Key     roster.Key
}

// Silence is since when nothing was heard of an athlete.
type Silence struct {
	Since day.Date // the last day on which something was
	First bool     // today is the first day on which that counts as silence
}

// byTheClock says whether letters of the kind are to be written at the instant in the
// zone. What was missed is caught up as long as it is the same day there, and not later.
func byTheClock(k Kind, zone string, now time.Time) (today day.Date, due bool) {
	place := roster.PlaceOf(zone)
	today = day.Of(now, place)
	if k == Monday {
		return today, isoDay(today) == 1 && !now.Before(today.At(mondayHour, place))
	}
	return today, !now.Before(today.At(gentleHour, place))
}

// WriteNotes writes the letters to athletes that come by the clock: the sessions of the
// week, and a gentle word on the first day of a silence. It may be called as often as
// one likes. What goes wrong in one club does not keep it from others. It gives how
// many were written.
func (s *Service) WriteNotes(ctx context.Context) (int, error) {
	now := s.Now()
	written := 0
	var faults []error
	for _, kind := range []Kind{Monday, Gentle} {
		n, err := s.writeKind(ctx, kind, now)
		written += n
		faults = append(faults, err)
	}
	return written, errors.Join(faults...)
}

// writeKind looks in which zones it is time, and who is there.
func (s *Service) writeKind(ctx context.Context, k Kind, now time.Time) (int, error) {
	zones, err := s.Store.HearerZones(ctx, k)
	if err != nil {
		return 0, err
	}
	var due []string
	for _, zone := range zones {
		if _, is := byTheClock(k, zone, now); is {
			due = append(due, zone)
		}
	}
	written := 0
	var faults []error
	for after := (Hearer{}); len(due) > 0; {
		all, err := s.Store.Hearers(ctx, k, due, after, sweep)
		if err != nil || len(all) == 0 {
			return written, errors.Join(append(faults, err)...)
		}
		after = all[len(all)-1]
		for len(all) > 0 {
			n := 1
			for n < len(all) && all[n].Club == all[0].Club {
				n++
			}
			wrote, err := s.writeClub(ctx, k, all[:n], now)
			written += wrote
			faults = append(faults, err)
			all = all[n:]
		}
	}
	return written, errors.Join(faults...)
}

// writeClub writes to some of one club.
func (s *Service) writeClub(ctx context.Context, k Kind, of []Hearer, now time.Time) (int, error) {
	club := of[0].Club
	to := make([]Addressed, 0, len(of))
	if k == Gentle {
		silent, err := s.silent(ctx, of, now)
		if err != nil {
			return 0, err
		}
		to = silent
	} else {
		for _, h := range of {
			today, _ := byTheClock(k, h.Zone, now)
			to = append(to, Addressed{Athlete: h.Athlete, Week: today, Key: dated(k, h.Athlete, today)})
		}
	}
	if len(to) == 0 {
		return 0, nil
	}
	return s.Store.WriteTo(ctx, club, k, to)
}

// answeredWithin is how long nobody is written to of whom a coach has just shown to be
// aware. Ours.
const answeredWithin = 7 * 24 * time.Hour

// silent are those of one club on the first day of their silence.
func (s *Service) silent(ctx context.Context, of []Hearer, now time.Time) ([]Addressed, error) {
	club := of[0].Club
	ids := make([]roster.AthleteID, len(of))
	for i, h := range of {
		ids[i] = h.Athlete
	}
	maybe, err := s.Store.MaybeSilent(ctx, club, ids, now, now.Add(-answeredWithin))
	if err != nil {
		return nil, err
	}
	var to []Addressed
	for _, id := range maybe {
		silence, err := s.Silence(ctx, club, id)
		if err != nil && fault.KindOf(err) != fault.NotFound {
			return nil, err
		}
		if silence.First {
			to = append(to, Addressed{Athlete: id, Key: dated(Gentle, id, silence.Since)})
		}
	}
	return to, nil
}

// dated is the key of a letter that there is once for the athlete and the day.
func dated(k Kind, a roster.AthleteID, of day.Date) roster.Key {
	return roster.Key(fmt.Sprintf("%s-%d-%s", k, a, strings.ReplaceAll(of.String(), "-", "")))
}
