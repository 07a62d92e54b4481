package fake

import (
	"context"
	"slices"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/internal/warmup"
)

var (
	_ outdoors.Store = (*Store)(nil)
	_ routine.Store  = (*Store)(nil)
)

// Aired is the weather that somebody told, with the club it is of.
type Aired struct {
	Club roster.ClubID
	roster.Weather
}

// Edited is a version of a club's routine.
type Edited struct {
	Club roster.ClubID
	roster.Routine
}

// Moved is a movement of a club's own.
type Moved struct {
	Club roster.ClubID
	roster.Movement
}

// Weather of a time, the newest told first.
func (s *Store) Weather(_ context.Context, club roster.ClubID, athlete roster.AthleteID, from, to time.Time) ([]roster.Weather, error) {
	done, err := s.enter()
	defer done()
	var all []roster.Weather
	for _, w := range slices.Backward(s.Air) {
		if w.Club == club && (w.Athlete == 0 || w.Athlete == athlete) && !w.At.Before(from) && w.At.Before(to) {
			w.By = s.People[w.ByCoach].Name
			all = append(all, w.Weather)
		}
	}
	return all, err
}

// TellWeather keeps it once.
func (s *Store) TellWeather(_ context.Context, who roster.Actor, w roster.Weather, key roster.Key) (roster.WeatherID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if id, there := s.keys["weather "+string(key)]; there {
		return roster.WeatherID(id), nil
	}
	s.Air = slices.DeleteFunc(s.Air, func(old Aired) bool {
		return old.Club == who.Club && (old.Athlete == 0 || old.Athlete == w.Athlete) && old.At.Before(w.ToldAt.AddDate(0, 0, -outdoors.KeptDays))
	})
	w.ID = roster.WeatherID(s.next())
	s.keys["weather "+string(key)] = int64(w.ID)
	s.Air = append(s.Air, Aired{who.Club, w})
	s.Audit = append(s.Audit, who)
	return w.ID, nil
}

// Repertoire of the club.
func (s *Store) Repertoire(_ context.Context, club roster.ClubID) (roster.Repertoire, error) {
	done, err := s.enter()
	defer done()
	return s.repertoire(club), err
}

func (s *Store) repertoire(club roster.ClubID) roster.Repertoire {
	r := roster.Repertoire{Routine: roster.Routine{Routine: warmup.Default()}}
	for _, e := range s.Routines {
		if e.Club == club {
			r.Routine = e.Routine
		}
	}
	for _, m := range s.Movements {
		if m.Club == club {
			r.Movements = append(r.Movements, m.Movement)
		}
	}
	return r
}

// RepertoireFor the athlete.
func (s *Store) RepertoireFor(_ context.Context, club roster.ClubID, athlete roster.AthleteID) (roster.Repertoire, bool, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.Repertoire{}, false, err
	}
	if _, err := s.athlete(club, athlete); err != nil {
		return roster.Repertoire{}, false, err
	}
	return s.repertoire(club), s.Rollers[athlete], nil
}

// EditRoutine keeps another version of the newest.
func (s *Store) EditRoutine(_ context.Context, who roster.Actor, of roster.RoutineID, r warmup.Routine, at time.Time, key roster.Key) (roster.RoutineID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if id, there := s.keys["routine "+string(key)]; there {
		return roster.RoutineID(id), nil
	}
	if s.repertoire(who.Club).Routine.ID != of {
		return 0, fault.New(fault.Conflict, "")
	}
	kept := roster.Routine{ID: roster.RoutineID(s.next()), Routine: r, At: at, By: s.People[who.Coach].Name}
	s.keys["routine "+string(key)] = int64(kept.ID)
	s.Routines = append(s.Routines, Edited{who.Club, kept})
	s.Audit = append(s.Audit, who)
	return kept.ID, nil
}

// AddMovement keeps it once.
func (s *Store) AddMovement(_ context.Context, who roster.Actor, m warmup.Move, _ time.Time, key roster.Key) (roster.MovementID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if id, there := s.keys["movement "+string(key)]; there {
		return roster.MovementID(id), nil
	}
	kept := roster.Movement{Number: roster.MovementID(s.next()), Move: m}
	kept.ID = "own-" + strconv.FormatInt(int64(kept.Number), 10)
	s.keys["movement "+string(key)] = int64(kept.Number)
	s.Movements = append(s.Movements, Moved{who.Club, kept})
	s.Audit = append(s.Audit, who)
	return kept.Number, nil
}

// PutAway puts a movement away.
func (s *Store) PutAway(_ context.Context, who roster.Actor, id roster.MovementID, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	i := slices.IndexFunc(s.Movements, func(m Moved) bool { return m.Club == who.Club && m.Number == id })
	if i < 0 {
		return notFound()
	}
	if s.Movements[i].AwayAt.IsZero() {
		s.Movements[i].AwayAt = at
		s.Audit = append(s.Audit, who)
	}
	return nil
}

// SetRoller says whether the athlete has a roller.
func (s *Store) SetRoller(_ context.Context, who roster.Actor, athlete roster.AthleteID, has bool) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(who.Club, athlete); err != nil {
		return err
	}
	s.Rollers[athlete] = has
	s.Audit = append(s.Audit, who)
	return nil
}
