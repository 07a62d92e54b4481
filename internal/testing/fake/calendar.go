package fake

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
)

var _ calendar.Store = (*Store)(nil)

// Calendar is somebody's calendar elsewhere.
type Calendar struct {
	Of      roster.Actor  // only who it is
	Hash    calendar.Hash // zero: no address
	MadeAt  time.Time
	Fetched day.Date
	Kept    []calendar.Kept
}

// calendarOf is the place of the actor's calendar, or -1; the caller holds the lock.
func (s *Store) calendarOf(who roster.Actor) int {
	return slices.IndexFunc(s.Calendars, func(c Calendar) bool {
		return c.Of.Club == who.Club && c.Of.Coach == who.Coach && c.Of.Athlete == who.Athlete
	})
}

// CalendarOf is the actor's address.
func (s *Store) CalendarOf(_ context.Context, who roster.Actor) (calendar.Address, error) {
	done, err := s.enter()
	defer done()
	i := s.calendarOf(who)
	if i < 0 || s.Calendars[i].Hash == (calendar.Hash{}) {
		return calendar.Address{}, err
	}
	return calendar.Address{MadeAt: s.Calendars[i].MadeAt, FetchedOn: s.Calendars[i].Fetched}, err
}

// MakeCalendar lets the hash open it.
func (s *Store) MakeCalendar(_ context.Context, who roster.Actor, hash calendar.Hash, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	i := s.calendarOf(who)
	if i < 0 {
		s.Calendars = append(s.Calendars, Calendar{Of: roster.Actor{Club: who.Club, Coach: who.Coach, Athlete: who.Athlete}})
		i = len(s.Calendars) - 1
	}
	if c := &s.Calendars[i]; c.Hash != hash {
		c.Hash, c.MadeAt = hash, at
		s.Audit = append(s.Audit, who)
	}
	return nil
}

// EndCalendar lets nothing open it.
func (s *Store) EndCalendar(_ context.Context, who roster.Actor) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	i := s.calendarOf(who)
	if i < 0 || s.Calendars[i].Hash == (calendar.Hash{}) {
		return notFound()
	}
	s.Calendars[i].Hash = calendar.Hash{}
	s.Audit = append(s.Audit, who)
	return nil
}

// Calendar is the one that the hash opens.
func (s *Store) Calendar(_ context.Context, hash calendar.Hash) (calendar.Subscription, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return calendar.Subscription{}, err
	}
	i := slices.IndexFunc(s.Calendars, func(c Calendar) bool { return c.Hash == hash && hash != calendar.Hash{} })
	if i < 0 {
		return calendar.Subscription{}, notFound()
	}
	c := &s.Calendars[i]
	sub := calendar.Subscription{ID: int64(i + 1), Name: "calendar" + strconv.Itoa(i+1), Club: s.Clubs[c.Of.Club], Detail: roster.Initials}
	if c.Of.Coach != 0 {
		p, here := s.People[c.Of.Coach]
		if !here {
			return calendar.Subscription{}, notFound()
		}
		sub.Coach = &p.Coach
		if w, told := s.Wishes[c.Of.Coach]; told {
			sub.Detail = w.Detail
		}
		return sub, nil
	}
	a, here := s.Athletes[c.Of.Athlete]
	if !here {
		return calendar.Subscription{}, notFound()
	}
	sub.Athlete = &a
	return sub, nil
}

// RenewCalendar keeps what change makes of it.
func (s *Store) RenewCalendar(_ context.Context, sub *calendar.Subscription, first, on day.Date, change func([]calendar.Kept) []calendar.Kept) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	c := &s.Calendars[sub.ID-1]
	c.Fetched = on
	kept := slices.DeleteFunc(slices.Clone(c.Kept), func(k calendar.Kept) bool { return k.Week < first })
	slices.SortFunc(kept, func(a, b calendar.Kept) int { return cmp.Compare(a.Slot, b.Slot) })
	c.Kept = change(kept)
	return nil
}

// Phoneless are those without a login.
func (s *Store) Phoneless(_ context.Context, club roster.ClubID, now time.Time) ([]roster.AthleteID, error) {
	done, err := s.enter()
	defer done()
	var ids []roster.AthleteID
	for id, a := range s.Athletes {
		in := false
		for _, l := range s.Kept {
			in = in || l.Athlete == id && l.Expires.After(now)
		}
		if a.Club == club && a.LeftAt.IsZero() && !in {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids, err
}
