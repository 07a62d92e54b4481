package fake

import (
	"context"
	"slices"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

var _ lift.Store = (*Store)(nil)

// Exercised is an exercise of a club's own.
type Exercised struct {
	Club roster.ClubID
	roster.OwnExercise
}

// Strength of the athlete.
func (s *Store) Strength(_ context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Strength, error) {
	done, err := s.enter()
	defer done()
	all := roster.Strength{Kit: roster.UsualKit(), Own: s.exercises(club)}
	if a, there := s.Athletes[athlete]; err != nil || !there || a.Club != club {
		return all, err
	}
	for _, p := range s.Programs {
		if p.Athlete == athlete {
			p.By = s.People[p.ByCoach].Name
			all.Program = p
		}
	}
	if k, told := s.Kits[athlete]; told {
		all.Kit = k
	}
	for _, one := range s.sessions(athlete) {
		if one.Kind == readiness.Strength && len(one.Lifts) > 0 {
			all.Lifted = append(all.Lifted, roster.Lifted{
				Session: one.ID, Date: one.Date, StartedAt: one.StartedAt, Turn: one.Turn, Lifts: one.Lifts, Pain: one.Pain,
			})
		}
	}
	slices.SortStableFunc(all.Lifted, func(a, b roster.Lifted) int { return b.StartedAt.Compare(a.StartedAt) })
	return all, nil
}

func (s *Store) exercises(club roster.ClubID) []roster.OwnExercise {
	var all []roster.OwnExercise
	for _, e := range s.Added {
		if e.Club == club {
			all = append(all, e.OwnExercise)
		}
	}
	return all
}

// Exercises of the club's own.
func (s *Store) Exercises(_ context.Context, club roster.ClubID) ([]roster.OwnExercise, error) {
	done, err := s.enter()
	defer done()
	return s.exercises(club), err
}

// GiveProgram keeps another version of the newest.
func (s *Store) GiveProgram(_ context.Context, who roster.Actor, of roster.ProgramID, p roster.Program, key roster.Key) (roster.ProgramID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if _, err := s.athlete(who.Club, p.Athlete); err != nil {
		return 0, err
	}
	name := "program " + strconv.FormatInt(int64(p.Athlete), 10) + string(key)
	if id, there := s.keys[name]; there {
		return roster.ProgramID(id), nil
	}
	newest := roster.ProgramID(0)
	for _, o := range s.Programs {
		if o.Athlete == p.Athlete {
			newest = o.ID
		}
	}
	if newest != of {
		return 0, fault.New(fault.Conflict, "")
	}
	p.ID = roster.ProgramID(s.next())
	s.keys[name] = int64(p.ID)
	a := s.Athletes[p.Athlete]
	if a.Strength, a.Legs = 0, 0; len(p.Sessions) > 0 {
		a.Strength, a.Legs = p.AWeek, p.Hard
	}
	s.Athletes[p.Athlete] = a
	p.Hard = 0
	s.Programs = append(s.Programs, p)
	s.Audit = append(s.Audit, who)
	return p.ID, nil
}

// SetKit keeps it.
func (s *Store) SetKit(_ context.Context, who roster.Actor, k roster.Kit) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(who.Club, k.Athlete); err != nil {
		return err
	}
	s.Kits[k.Athlete] = k
	s.Audit = append(s.Audit, who)
	return nil
}

// Relift replaces what was done in a session of the version given.
func (s *Store) Relift(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int, lifts []roster.Lift, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	i, err := s.find(who.Club, athlete, id)
	if err != nil {
		return err
	}
	one := &s.Logged[i]
	if one.Version != version || one.Kind != readiness.Strength {
		return fault.New(fault.Conflict, "")
	}
	one.Lifts, one.ChangedAt, one.Version = lifts, at, version+1
	s.Audit = append(s.Audit, who)
	return nil
}

// AddExercise keeps it once.
func (s *Store) AddExercise(_ context.Context, who roster.Actor, e strength.Exercise, _ time.Time, key roster.Key) (roster.ExerciseID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if id, there := s.keys["exercise "+string(key)]; there {
		return roster.ExerciseID(id), nil
	}
	id := s.next()
	s.keys["exercise "+string(key)] = id
	e.ID = "own-" + strconv.FormatInt(id, 10)
	s.Added = append(s.Added, Exercised{who.Club, roster.OwnExercise{Number: roster.ExerciseID(id), Exercise: e, Version: 1}})
	s.Audit = append(s.Audit, who)
	return roster.ExerciseID(id), nil
}

// ChangeExercise replaces one of the version given.
func (s *Store) ChangeExercise(_ context.Context, who roster.Actor, e roster.OwnExercise) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	for i := range s.Added {
		if o := &s.Added[i]; o.Club == who.Club && o.Number == e.Number && o.Version == e.Version {
			e.ID, e.Version = o.ID, e.Version+1
			o.OwnExercise = e
			s.Audit = append(s.Audit, who)
			return nil
		}
	}
	return fault.New(fault.Conflict, "")
}
