package fake

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// mayChange says whether the actor may change who the coach is.
func (s *Store) mayChange(who roster.Actor, id roster.CoachID, stays bool) error {
	owners := 0
	for _, p := range s.People {
		if p.Club == who.Club && p.Owner {
			owners++
		}
	}
	p, ok := s.People[id]
	switch {
	case !s.People[who.Coach].Owner || s.People[who.Coach].Club != who.Club:
		return fault.New(fault.Forbidden, "")
	case !ok || p.Club != who.Club:
		return notFound()
	case p.Owner && !stays && owners == 1:
		return fault.New(fault.Conflict, "A club needs an owner. Make somebody else one first.")
	}
	return nil
}

// free makes a coach's athletes everybody's.
func (s *Store) free(id roster.CoachID) (n access.Freed) {
	for _, a := range s.Athletes {
		if a.Coach == id {
			a.Coach = 0
			s.Athletes[a.ID] = a
			delete(s.Given, a.ID)
			n++
		}
	}
	return n
}

// GiveRole makes a coach an owner, a coach or a deputy.
func (s *Store) GiveRole(_ context.Context, who roster.Actor, id roster.CoachID, role access.Role) (access.Freed, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if err := s.mayChange(who, id, role == access.AsOwner); err != nil {
		return 0, err
	}
	p := s.People[id]
	p.Owner, p.Deputy = role == access.AsOwner, role == access.AsDeputy
	s.People[id] = p
	s.Audit = append(s.Audit, who)
	if !p.Deputy {
		return 0, nil
	}
	return s.free(id), nil
}

// EndMembership lets a coach go.
func (s *Store) EndMembership(_ context.Context, who roster.Actor, id roster.CoachID, _ time.Time) (access.Freed, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if err := s.mayChange(who, id, false); err != nil {
		return 0, err
	}
	delete(s.People, id)
	for login, l := range s.Kept {
		if l.Coach == id {
			delete(s.Kept, login)
		}
	}
	for hash, c := range s.codes {
		if c.Coach == id {
			delete(s.codes, hash)
		}
	}
	s.Audit = append(s.Audit, who)
	return s.free(id), nil
}

// ChangeClub replaces name, zone, OwnOnly and Minors.
func (s *Store) ChangeClub(_ context.Context, who roster.Actor, club roster.Club) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	old := s.Clubs[who.Club]
	old.Name, old.Zone, old.OwnOnly, old.Minors = club.Name, club.Zone, club.OwnOnly, club.Minors
	s.Clubs[who.Club] = old
	s.Audit = append(s.Audit, who)
	return nil
}

// Claim says that a new device is the actor's own.
func (s *Store) Claim(_ context.Context, who roster.Actor, id roster.LoginID, _ time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	l, ok := s.Kept[id]
	if !ok || l.Club != who.Club || l.Coach != who.Coach || l.Athlete != who.Athlete {
		return notFound()
	}
	l.NewDevice = false
	s.Kept[id], s.Opened[id] = l, l
	s.Audit = append(s.Audit, who)
	return nil
}

// Tries is how many attempts there were.
func (s *Store) Tries(_ context.Context, key access.Hash, since time.Time) (int, error) {
	done, err := s.enter()
	defer done()
	n := 0
	for _, at := range s.tries[key] {
		if !at.Before(since) {
			n++
		}
	}
	return n, err
}

// HandOver gives the athlete to a coach, or to everybody.
func (s *Store) HandOver(_ context.Context, who roster.Actor, id roster.AthleteID, to roster.CoachID, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, id)
	if err != nil {
		return err
	}
	if p, ok := s.People[to]; to != 0 && (!ok || p.Club != who.Club || p.Deputy) {
		return notFound()
	}
	a.Coach = to
	s.Athletes[id] = a
	delete(s.Given, id)
	if to != 0 && to != who.Coach {
		s.Given[id] = roster.Handed{Athlete: id, Name: a.Name, By: s.People[who.Coach].Name, At: at}
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// Handed are those handed over to the coach and not seen to yet.
func (s *Store) Handed(_ context.Context, club roster.ClubID, coach roster.CoachID) ([]roster.Handed, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Handed
	for id, h := range s.Given {
		if a := s.Athletes[id]; a.Club == club && a.Coach == coach && a.LeftAt.IsZero() {
			list = append(list, h)
		}
	}
	slices.SortFunc(list, func(a, b roster.Handed) int { return b.At.Compare(a.At) })
	return list, err
}

// TakeOver says that the coach has seen it.
func (s *Store) TakeOver(_ context.Context, who roster.Actor, id roster.AthleteID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if s.Athletes[id].Coach == who.Coach && s.Athletes[id].Club == who.Club {
		delete(s.Given, id)
		s.Audit = append(s.Audit, who)
	}
	return nil
}
