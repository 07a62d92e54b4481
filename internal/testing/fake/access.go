package fake

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

var _ access.Store = (*Store)(nil)

// AnyClub says whether a club exists.
func (s *Store) AnyClub(context.Context) (bool, error) {
	done, err := s.enter()
	defer done()
	return len(s.Clubs) > 0, err
}

// Found makes the first club and its owner.
func (s *Store) Found(_ context.Context, code access.Hash, now time.Time, club roster.Club, owner roster.Coach, password string) (roster.ClubID, roster.CoachID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, 0, err
	}
	if _, err := s.spend(code, now); err != nil {
		return 0, 0, err
	}
	club.ID = roster.ClubID(s.next())
	s.Clubs[club.ID] = club
	owner.ID, owner.Club = roster.CoachID(s.next()), club.ID
	s.People[owner.ID] = Person{owner, password}
	return club.ID, owner.ID, nil
}

// ByEmail finds a coach.
func (s *Store) ByEmail(_ context.Context, email string) (access.Password, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return access.Password{}, err
	}
	for _, p := range s.People {
		if p.Email == email {
			return access.Password{Club: p.Club, Coach: p.ID, Hash: p.Hash}, nil
		}
	}
	return access.Password{}, notFound()
}

// SetPassword replaces the password and ends the coach's other logins.
func (s *Store) SetPassword(_ context.Context, who roster.Actor, password string, keep roster.LoginID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	p, ok := s.People[who.Coach]
	if !ok || p.Club != who.Club {
		return notFound()
	}
	p.Hash = password
	s.People[who.Coach] = p
	for id, l := range s.Kept {
		if l.Coach == who.Coach && id != keep {
			delete(s.Kept, id)
		}
	}
	for hash, c := range s.codes {
		if c.Coach == who.Coach && c.UsedAt.IsZero() {
			delete(s.codes, hash)
		}
	}
	s.Audit = append(s.Audit, who)
	return nil
}

// Open stores a login.
func (s *Store) Open(_ context.Context, token access.Hash, l access.Login) (roster.LoginID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	return s.open(token, l), nil
}

func (s *Store) open(token access.Hash, l access.Login) roster.LoginID {
	before, known := false, false
	for _, o := range s.Opened {
		if o.Coach == l.Coach && o.Athlete == l.Athlete {
			before = true
			counts := !s.Opened[o.ID].NewDevice || l.Since.Sub(o.Since) >= 7*24*time.Hour
			known = known || o.Device == l.Device && counts && l.Since.Sub(o.SeenAt) < 365*24*time.Hour
		}
	}
	l.ID, l.NewDevice = roster.LoginID(s.next()), before && !known
	s.Opened[l.ID] = l
	s.Kept[l.ID], s.tokens[token] = l, l.ID
	return l.ID
}

// Visitor finds who holds the token.
func (s *Store) Visitor(_ context.Context, token access.Hash, now time.Time) (access.Visitor, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return access.Visitor{}, err
	}
	l, ok := s.Kept[s.tokens[token]]
	if !ok || !now.Before(l.Expires) {
		return access.Visitor{}, notFound()
	}
	v := access.Visitor{Login: l, Club: s.Clubs[l.Club]}
	if l.Coach != 0 {
		coach := s.People[l.Coach].Coach
		v.Coach = &coach
	} else {
		athlete := s.Athletes[l.Athlete]
		if !athlete.LeftAt.IsZero() {
			return access.Visitor{}, notFound()
		}
		v.Athlete = &athlete
	}
	if away := now.Sub(l.SeenAt); away >= time.Hour {
		l.Expires, l.SeenAt = l.Expires.Add(away), now
		s.Kept[l.ID], s.Opened[l.ID] = l, l
	}
	return v, nil
}

// Close revokes a login.
func (s *Store) Close(_ context.Context, who roster.Actor, id roster.LoginID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	l, ok := s.Kept[id]
	own := l.Coach == who.Coach && l.Athlete == who.Athlete
	a := s.Athletes[l.Athlete]
	if !ok || l.Club != who.Club || !own && (who.Coach == 0 || l.Athlete == 0 || !who.Sees(&a)) {
		return notFound()
	}
	delete(s.Kept, id)
	s.Audit = append(s.Audit, who)
	return nil
}

// Logins of a person that still hold.
func (s *Store) Logins(_ context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, now time.Time) ([]access.Login, error) {
	done, err := s.enter()
	defer done()
	var logins []access.Login
	for id := roster.LoginID(s.last); id > 0; id-- {
		l, ok := s.Kept[id]
		if ok && l.Club == club && l.Coach == coach && l.Athlete == athlete && now.Before(l.Expires) {
			logins = append(logins, l)
		}
	}
	return logins, err
}

// PutCode stores a code; earlier ones of the same purpose and person end.
func (s *Store) PutCode(_ context.Context, who roster.Actor, c access.Code) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if a, ok := s.Athletes[c.Athlete]; c.Athlete != 0 && (!ok || a.Club != c.Club) {
		return notFound()
	}
	for hash, old := range s.codes {
		if !c.Beside && old.Purpose == c.Purpose && old.Club == c.Club && old.Coach == c.Coach && old.Athlete == c.Athlete && old.UsedAt.IsZero() {
			delete(s.codes, hash)
		}
	}
	s.codes[c.Hash] = c
	s.Audit = append(s.Audit, who)
	return nil
}

// Peek gives the code.
func (s *Store) Peek(_ context.Context, code access.Hash) (access.Code, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return access.Code{}, err
	}
	c, ok := s.codes[code]
	if !ok {
		return c, notFound()
	}
	return c, nil
}

// Use marks the code used and opens the login.
func (s *Store) Use(_ context.Context, code access.Hash, now time.Time, token access.Hash, l access.Login) (access.Code, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return access.Code{}, err
	}
	c, err := s.spend(code, now)
	if err != nil {
		return c, err
	}
	s.open(token, l)
	return c, nil
}

// spend uses the code up.
func (s *Store) spend(code access.Hash, now time.Time) (access.Code, error) {
	c, ok := s.codes[code]
	switch {
	case !ok:
		return c, notFound()
	case !c.UsedAt.IsZero() || !now.Before(c.Expires):
		return c, fault.New(fault.Gone, "")
	}
	c.UsedAt = now
	s.codes[code] = c
	return c, nil
}

// Join makes a coach of an invitation.
func (s *Store) Join(_ context.Context, code access.Hash, now time.Time, c roster.Coach, password string) (roster.CoachID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	for _, p := range s.People {
		if p.Email == c.Email {
			return 0, fault.New(fault.Conflict, "")
		}
	}
	if _, err := s.spend(code, now); err != nil {
		return 0, err
	}
	c.ID, c.Deputy = roster.CoachID(s.next()), s.codes[code].Purpose == access.DeputyInvite
	s.People[c.ID] = Person{c, password}
	return c.ID, nil
}

// Club is the club itself.
func (s *Store) Club(_ context.Context, id roster.ClubID) (roster.Club, error) {
	done, err := s.enter()
	defer done()
	club, ok := s.Clubs[id]
	if err == nil && !ok {
		err = notFound()
	}
	return club, err
}

// Coaches of the club, by name.
func (s *Store) Coaches(_ context.Context, club roster.ClubID) ([]roster.Coach, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Coach
	for _, p := range s.People {
		if p.Club == club {
			list = append(list, p.Coach)
		}
	}
	return byName(list, func(c roster.Coach) string { return c.Name }), err
}

// Tried counts an attempt.
func (s *Store) Tried(_ context.Context, key access.Hash, now, since time.Time) (int, error) {
	done, err := s.enter()
	defer done()
	s.tries[key] = append(s.tries[key], now)
	n := 0
	for _, at := range s.tries[key] {
		if !at.Before(since) {
			n++
		}
	}
	return n, err
}

// Forgive forgets the attempts.
func (s *Store) Forgive(_ context.Context, key access.Hash) error {
	done, err := s.enter()
	defer done()
	delete(s.tries, key)
	return err
}

// Counted is how many attempts are counted in all.
func (s *Store) Counted() (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, at := range s.tries {
		n += len(at)
	}
	return n
}
