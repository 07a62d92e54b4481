package fake

import (
	"context"
	"fmt"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// ChangeAddress makes the address of the code the coach's.
func (s *Store) ChangeAddress(_ context.Context, who roster.Actor, by roster.LoginID, code access.Hash, now time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	c, ok := s.codes[code]
	if !ok || c.Purpose != access.NewAddress || c.Club != who.Club || c.Coach != who.Coach {
		return fault.New(fault.Gone, "")
	}
	for _, p := range s.People {
		if p.Email == c.Email && p.ID != who.Coach {
			return fault.New(fault.Conflict, "")
		}
	}
	if _, err := s.spend(code, now); err != nil {
		return err
	}
	p := s.People[who.Coach]
	before := p.Email
	p.Email, p.EmailAt, p.EmailBy, p.MailRefused = c.Email, now, by, time.Time{}
	s.People[who.Coach] = p
	for hash, old := range s.codes {
		if old.Coach == who.Coach && old.UsedAt.IsZero() {
			delete(s.codes, hash)
		}
	}
	s.write(who, post.Letter{Kind: post.OldAddress, Coach: who.Coach, Address: before, MadeAt: now}, roster.Key(fmt.Sprintf("old-address-%d-%d", who.Coach, now.UnixMilli())))
	return nil
}

// SawAddress notes that the coach knows of it.
func (s *Store) SawAddress(_ context.Context, who roster.Actor, by roster.LoginID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	p := s.People[who.Coach]
	if l, ok := s.Kept[by]; ok && p.EmailBy != by && l.Since.Before(p.EmailAt) {
		p.EmailAt, p.EmailBy = time.Time{}, 0
		s.People[who.Coach] = p
		s.Audit = append(s.Audit, who)
	}
	return nil
}
