package fake

import (
	"cmp"
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var _ days.Store = (*Store)(nil)

// Wanted of the athlete, or of all.
func (s *Store) Wanted(_ context.Context, club roster.ClubID, athlete roster.AthleteID, since day.Date) (days.Wishes, error) {
	done, err := s.enter()
	defer done()
	var w days.Wishes
	for _, p := range s.Pins {
		late := (p.Standing() || p.On >= since) && (p.LiftedOn == 0 || p.LiftedOn >= since)
		if s.Athletes[p.Athlete].Club == club && late && (athlete == 0 || p.Athlete == athlete) {
			w.Pins = append(w.Pins, p)
		}
	}
	for id, g := range s.Groups {
		if s.owns[int64(id)] == club {
			for _, a := range s.Athletes {
				if a.Group == g.ID && a.LeftAt.IsZero() {
					g.People++
				}
			}
			w.Groups = append(w.Groups, g)
		}
	}
	for id, h := range s.Holidays {
		if s.owns[int64(id)] == club && h.To >= since {
			w.Holidays = append(w.Holidays, h)
		}
	}
	w.Legs, w.Given = s.legs(club, athlete, since), map[roster.AthleteID]time.Time{}
	for _, p := range s.Programs {
		if at, given := w.Given[p.Athlete]; !given || p.At.Before(at) {
			w.Given[p.Athlete] = p.At
		}
	}
	byName(w.Groups, func(g roster.Group) string { return g.Name })
	slices.SortFunc(w.Holidays, func(a, b roster.Holiday) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.ID, b.ID)) })
	return w, err
}

// legs are the sessions of strength whose exercises are known, with whether one of those
// done is hard on the legs.
func (s *Store) legs(club roster.ClubID, athlete roster.AthleteID, since day.Date) map[roster.SessionID]bool {
	hard, all := roster.Known(s.exercises(club)).HardOnLegs(), map[roster.SessionID]bool{}
	for i := range s.Logged {
		one := &s.Logged[i]
		if s.Athletes[one.Athlete].Club != club || athlete != 0 && one.Athlete != athlete || one.Kind != readiness.Strength || len(one.Lifts) == 0 || one.Date < since {
			continue
		}
		all[one.ID] = slices.ContainsFunc(one.Lifts, func(l roster.Lift) bool { return len(l.Sets) > 0 && slices.Contains(hard, l.Exercise) })
	}
	return all
}

// AddPin stores a pin once and lifts others.
func (s *Store) AddPin(_ context.Context, who roster.Actor, p roster.Pin, lifted []roster.PinID, version int) (roster.PinID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	a, err := s.athlete(who.Club, p.Athlete)
	if err != nil {
		return 0, err
	}
	for _, o := range s.Pins {
		if o.Athlete == p.Athlete && o.Key == p.Key {
			return o.ID, nil
		}
	}
	if a.WeekVersion != version {
		return 0, fault.New(fault.Conflict, "")
	}
	for i := range s.Pins {
		if slices.Contains(lifted, s.Pins[i].ID) && s.Pins[i].LiftedAt.IsZero() {
			s.Pins[i].LiftedAt, s.Pins[i].LiftedOn = p.MadeAt, p.MadeOn
		}
	}
	p.ID = roster.PinID(s.next())
	s.Pins = append(s.Pins, p)
	a.WeekVersion++
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return p.ID, nil
}

// LiftPin ends a pin.
func (s *Store) LiftPin(_ context.Context, who roster.Actor, p roster.Pin) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, p.Athlete)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(s.Pins, func(o roster.Pin) bool { return o.ID == p.ID && o.Athlete == p.Athlete && o.LiftedAt.IsZero() })
	if i < 0 {
		return notFound()
	}
	s.Pins[i].LiftedAt, s.Pins[i].LiftedOn = p.LiftedAt, p.LiftedOn
	a.WeekVersion++
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return nil
}

// UndoPin takes a move back.
func (s *Store) UndoPin(_ context.Context, who roster.Actor, p roster.Pin, key roster.Key, version int) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, p.Athlete)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(s.Pins, func(o roster.Pin) bool { return o.ID == p.ID && o.Athlete == p.Athlete && o.LiftedAt.IsZero() })
	if i < 0 || a.WeekVersion != version {
		return fault.New(fault.Conflict, "")
	}
	made := s.Pins[i].MadeAt
	for n := range s.Pins {
		if o := &s.Pins[n]; o.Athlete == p.Athlete && o.LiftedAt.Equal(made) && o.Undone == "" {
			o.LiftedAt, o.LiftedOn = time.Time{}, 0
		}
	}
	s.Pins[i].LiftedAt, s.Pins[i].LiftedOn, s.Pins[i].Undone = made, s.Pins[i].MadeOn, key
	a.WeekVersion++
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return nil
}

// SetHabits replaces what is the same each week.
func (s *Store) SetHabits(_ context.Context, who roster.Actor, athlete roster.AthleteID, h days.Habits) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, athlete)
	if err != nil {
		return err
	}
	if h.Group != 0 && s.owns[int64(h.Group)] != who.Club {
		return notFound()
	}
	a.Available, a.Strength, a.Legs, a.Group = h.Available, h.Strength, h.Legs, h.Group
	a.WeekVersion++
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return nil
}

// SaveGroup stores or replaces a group.
func (s *Store) SaveGroup(_ context.Context, who roster.Actor, g roster.Group, key roster.Key) (roster.GroupID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if g.ID == 0 {
		id, again := s.once("group", who.Club, key)
		if g.ID = roster.GroupID(id); again {
			return g.ID, nil
		}
		s.owns[id] = who.Club
	} else if old, there := s.Groups[g.ID]; !there || s.owns[int64(g.ID)] != who.Club || old.Version != g.Version {
		return 0, fault.New(fault.Conflict, "")
	}
	g.Version++
	s.Groups[g.ID] = g
	s.Audit = append(s.Audit, who)
	return g.ID, nil
}

// RemoveGroup takes it away from everybody.
func (s *Store) RemoveGroup(_ context.Context, who roster.Actor, id roster.GroupID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, there := s.Groups[id]; !there || s.owns[int64(id)] != who.Club {
		return notFound()
	}
	delete(s.Groups, id)
	for one, a := range s.Athletes {
		if a.Group == id {
			a.Group = 0
			s.Athletes[one] = a
		}
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// AddHoliday stores a holiday once.
func (s *Store) AddHoliday(_ context.Context, who roster.Actor, h roster.Holiday, key roster.Key) (roster.HolidayID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	id, again := s.once("holiday", who.Club, key)
	if h.ID = roster.HolidayID(id); !again {
		s.Holidays[h.ID], s.owns[id] = h, who.Club
		s.Audit = append(s.Audit, who)
	}
	return h.ID, nil
}

// RemoveHoliday takes it out again.
func (s *Store) RemoveHoliday(_ context.Context, who roster.Actor, id roster.HolidayID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, there := s.Holidays[id]; !there || s.owns[int64(id)] != who.Club {
		return notFound()
	}
	delete(s.Holidays, id)
	s.Audit = append(s.Audit, who)
	return nil
}
