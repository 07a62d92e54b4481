package fake

import (
	"context"
	"fmt"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

var _ enrol.Store = (*Store)(nil)

// Athlete of the club.
func (s *Store) Athlete(_ context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.Athlete{}, err
	}
	return s.athlete(club, id)
}

func (s *Store) athlete(club roster.ClubID, id roster.AthleteID) (roster.Athlete, error) {
	a, ok := s.Athletes[id]
	if !ok || a.Club != club {
		return roster.Athlete{}, notFound()
	}
	return a, nil
}

// Gone are those who left, by name.
func (s *Store) Gone(_ context.Context, club roster.ClubID) ([]roster.Athlete, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Athlete
	for _, a := range s.Athletes {
		if a.Club == club && !a.LeftAt.IsZero() {
			list = append(list, a)
		}
	}
	return byName(list, func(a roster.Athlete) string { return a.Name }), err
}

// Leaves of the athlete, the newest first.
func (s *Store) Leaves(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Leave, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Leave
	for _, l := range s.Leaving {
		if l.Athlete == athlete && s.Athletes[athlete].Club == club {
			list = append(list, l)
		}
	}
	slices.SortFunc(list, func(a, b roster.Leave) int { return int(b.From - a.From) })
	return list, err
}

// once gives the ID that was stored under the key, or makes one.
func (s *Store) once(what string, club roster.ClubID, key roster.Key) (id int64, again bool) {
	full := fmt.Sprint(what, club, key)
	if id, ok := s.keys[full]; ok {
		return id, true
	}
	s.keys[full] = s.next()
	return s.keys[full], false
}

// Add stores a new athlete.
func (s *Store) Add(_ context.Context, who roster.Actor, a roster.Athlete, asked roster.HealthCheck, key roster.Key) (roster.AthleteID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	id, again := s.once("athlete", who.Club, key)
	if !again {
		a.ID, a.Club, a.Version = roster.AthleteID(id), who.Club, 1
		if s.Clubs[who.Club].OwnOnly {
			a.Coach = who.Coach
		}
		s.Athletes[a.ID] = a
		if asked.AskedOn != 0 {
			asked.Athlete, asked.Form, asked.Source, asked.ByCoach = a.ID, 1, roster.FromPaper, who.Coach
			asked.BegunAt, asked.HandedOn, asked.SeenAt, asked.SeenBy = asked.HandedAt, a.JoinedOn, asked.HandedAt, who.Coach
			_ = s.check(&asked)
		}
		s.Audit = append(s.Audit, who)
	}
	return roster.AthleteID(id), nil
}

// Change replaces what a coach may change.
func (s *Store) Change(_ context.Context, who roster.Actor, a roster.Athlete) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	old, err := s.athlete(who.Club, a.ID)
	if err != nil {
		return err
	}
	if old.Version != a.Version {
		return fault.New(fault.Conflict, "")
	}
	a.Version++
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return nil
}

// Leave marks the athlete as gone, or back.
func (s *Store) Leave(_ context.Context, who roster.Actor, id roster.AthleteID, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, id)
	if err != nil {
		return err
	}
	a.LeftAt = at
	s.Athletes[id] = a
	for login, l := range s.Kept {
		if l.Athlete == id {
			delete(s.Kept, login)
		}
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// AddLeave stores a time away.
func (s *Store) AddLeave(_ context.Context, who roster.Actor, l roster.Leave, key roster.Key) (roster.LeaveID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if _, err := s.athlete(who.Club, l.Athlete); err != nil {
		return 0, err
	}
	id, again := s.once("leave", who.Club, key)
	if !again {
		l.ID = roster.LeaveID(id)
		s.Leaving[l.ID] = l
		s.Audit = append(s.Audit, who)
		if a := s.Athletes[l.Athlete]; l.Kind == roster.Injured && a.InjuredOn < l.From {
			a.InjuredOn = l.From
			a.Version++
			s.Athletes[l.Athlete] = a
		}
	}
	return roster.LeaveID(id), nil
}

func (s *Store) leave(club roster.ClubID, athlete roster.AthleteID, id roster.LeaveID) (roster.Leave, error) {
	if _, err := s.athlete(club, athlete); err != nil {
		return roster.Leave{}, err
	}
	l, ok := s.Leaving[id]
	if !ok || l.Athlete != athlete {
		return roster.Leave{}, notFound()
	}
	return l, nil
}

// EndLeave sets its last day.
func (s *Store) EndLeave(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID, last day.Date) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	l, err := s.leave(who.Club, athlete, id)
	if err != nil {
		return err
	}
	if last < l.From {
		return fault.New(fault.Invalid, "")
	}
	l.To = last
	s.Leaving[id] = l
	s.Audit = append(s.Audit, who)
	return nil
}

// RemoveLeave takes it away.
func (s *Store) RemoveLeave(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.LeaveID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	l, err := s.leave(who.Club, athlete, id)
	if err != nil {
		return err
	}
	delete(s.Leaving, id)
	if a := s.Athletes[athlete]; l.Kind == roster.Injured && a.InjuredOn == l.From {
		a.InjuredOn = 0
		a.Version++
		s.Athletes[athlete] = a
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// AddNote keeps a note.
func (s *Store) AddNote(_ context.Context, who roster.Actor, n roster.Note, key roster.Key) (roster.NoteID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if _, err := s.athlete(who.Club, n.Athlete); err != nil {
		return 0, err
	}
	id, again := s.once("note", who.Club, key)
	if !again {
		n.ID = roster.NoteID(id)
		s.Written = append(s.Written, n)
		s.Audit = append(s.Audit, who)
	}
	return roster.NoteID(id), nil
}
