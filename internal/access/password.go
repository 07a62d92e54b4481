package access

import (
	"context"
	"net/netip"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// ChangePassword gives the coach a new password, if the present one is right,
// and ends the coach's other logins. Faults stand at current and password.
func (s *Service) ChangePassword(ctx context.Context, v *Visitor, current, password string, from netip.Addr) error {
	if m := CheckPassword(password, v.Coach.Name, v.Coach.Email, v.Club.Name); m != "" {
		return fault.At(fault.Field{Place: "password", Message: m})
	}
	if err := s.checkPresent(ctx, v, current, from); err != nil {
		return err
	}
	return s.setPassword(ctx, v.Actor(), password, v.Login.ID)
}

// checkPresent says whether the password is the coach's present one; a fault at
// current when it is not. Wrong ones are counted, so that nobody guesses on a login
// that was left open.
func (s *Service) checkPresent(ctx context.Context, v *Visitor, current string, from netip.Addr) error {
	account := "password of " + v.Coach.Email
	if err := s.try(ctx, account, from); err != nil {
		return err
	}
	known, err := s.Store.ByEmail(ctx, v.Coach.Email)
	if err != nil {
		return err
	}
	right, err := s.Hasher.Match(ctx, current, known.Hash)
	if err != nil {
		return err
	}
	if !right || known.Coach != v.Coach.ID || known.Club != v.Club.ID {
		return fault.At(fault.Field{Place: "current", Message: "That is not the present password."})
	}
	return s.forgive(ctx, account, from)
}

// Renew is Enter for a coach who wants a new password as well (empty: keep the
// old one). The password is checked first, so that a poor one does not use up
// the link.
func (s *Service) Renew(ctx context.Context, code Token, key roster.Key, password, device string) (Opened, error) {
	if password == "" {
		return s.Enter(ctx, code, key, device)
	}
	c, err := s.peek(ctx, code, CoachLink)
	if err != nil {
		return Opened{}, err
	}
	if err := s.checkFor(ctx, c, password); err != nil {
		return Opened{}, err
	}
	o, err := s.Enter(ctx, code, key, device)
	if err != nil {
		return Opened{}, err
	}
	who := roster.Actor{Club: o.Login.Club, Coach: o.Login.Coach}
	return o, s.setPassword(ctx, who, password, o.Login.ID)
}

// checkFor checks a new password for the coach of the code.
func (s *Service) checkFor(ctx context.Context, c Code, password string) error {
	who, err := s.coach(ctx, c)
	if err != nil {
		return err
	}
	club, err := s.Store.Club(ctx, c.Club)
	if err != nil {
		return err
	}
	if m := CheckPassword(password, who.Name, who.Email, club.Name); m != "" {
		return fault.At(fault.Field{Place: "password", Message: m})
	}
	return nil
}

func (s *Service) setPassword(ctx context.Context, who roster.Actor, password string, keep roster.LoginID) error {
	hash, err := s.Hasher.Hash(ctx, password)
	if err != nil {
		return err
	}
	return s.Store.SetPassword(ctx, who, hash, keep)
}
