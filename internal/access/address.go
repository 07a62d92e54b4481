package access

import (
	"context"
	"fmt"
	"net/netip"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// MayChangeAddress says why the visitor may not have a letter sent to a new e-mail address of
// his or her own; nil where he or she may. An address is a way in, since whoever reads
// its mail can ask for a new password: so the sign-in must be fresh (fault.Forbidden),
// and nothing changes before the letter was opened. Whether somebody else has the
// address is not told here. Faults stand at email; after many letters it is
// fault.TooMany.
func (s *Service) MayChangeAddress(ctx context.Context, v *Visitor, typed string) error {
	if !v.IsCoach() {
		return fault.New(fault.NotFound, "")
	}
	if !s.fresh(v) {
		return stale()
	}
	email := roster.LowerEmail(typed)
	if m := roster.CheckEmail(email); m != "" {
		return fault.At(fault.Field{Place: "email", Message: m})
	}
	if email == v.Coach.Email {
		return fault.At(fault.Field{Place: "email", Message: "this is the address that you sign in with already"})
	}
	account := fmt.Sprintf("coach %d of %d", v.Coach.ID, v.Club.ID)
	passed, err := s.passed(ctx, changingLimits(), account, netip.Addr{})
	if err == nil && passed == nil {
		passed, err = s.passed(ctx, boxLimits(), email, netip.Addr{})
	}
	if err == nil && passed != nil {
		err = fault.New(fault.TooMany, "Several letters went out for this already. Open the newest, or try again later.")
	}
	return err
}

// changingLimits bound how many letters to new addresses a coach asks for; ours.
func changingLimits() []limit { return []limit{{"moving", 8, day}} }

// AddressLink makes the link that goes out to a coach's new address. As with every
// link that goes by mail, those made before go on working.
func (s *Service) AddressLink(ctx context.Context, club roster.ClubID, coach roster.CoachID, email string) (Link, error) {
	return s.put(ctx, roster.Actor{Club: club, Coach: coach}, Code{Purpose: NewAddress, Club: club, Coach: coach, Email: email, Beside: true}, newAddressHolds)
}

// NewAddress is the address that the link of the code confirms. It is for the visitor
// alone: the link of somebody else is fault.NotFound, so that whoever got the letter by
// mistake gets nothing with it. Used or too old is fault.Gone.
func (s *Service) NewAddress(ctx context.Context, v *Visitor, code Token) (string, error) {
	c, err := s.Look(ctx, code, NewAddress)
	if (err == nil || fault.KindOf(err) == fault.Gone) && (!v.IsCoach() || c.Club != v.Club.ID || c.Coach != v.Coach.ID) {
		return "", fault.New(fault.NotFound, "")
	}
	return c.Email, err
}

// ChangeAddress makes the address of the code the one with which the visitor signs in, using
// the code up. Links that were made for the coach before end, the address before is
// told, and so are the coach's other logins. Pressed twice, the second changes nothing
// and is no error. Somebody else's address is fault.Conflict, and the code still holds.
func (s *Service) ChangeAddress(ctx context.Context, v *Visitor, code Token) error {
	_, err := s.NewAddress(ctx, v, code)
	if err == nil {
		err = s.Store.ChangeAddress(ctx, v.Actor(), v.Login.ID, code.Hash(), s.Now())
	}
	switch fault.KindOf(err) {
	case fault.Conflict:
		return fault.New(fault.Conflict, "Somebody signs in with this address already, so yours stays as it is.")
	case fault.Gone:
		now, known := s.coach(ctx, Code{Club: v.Club.ID, Coach: v.Coach.ID})
		if known == nil && now.EmailBy == v.Login.ID && s.Now().Sub(now.EmailAt) < sameTap {
			return nil
		}
	}
	return err
}

// AddressNews says whether the visitor is to be told that his or her address was changed:
// on another login, which was there before, and not long ago.
func (s *Service) AddressNews(v *Visitor) bool {
	return v.IsCoach() && v.Coach.EmailBy != 0 && v.Coach.EmailBy != v.Login.ID &&
		v.Login.Since.Before(v.Coach.EmailAt) && s.Now().Sub(v.Coach.EmailAt) < toldFor
}

// SawAddress says that the change of address was the visitor's own. Where there is nothing
// to be told it changes nothing.
func (s *Service) SawAddress(ctx context.Context, v *Visitor) error {
	if !s.AddressNews(v) {
		return nil
	}
	return s.Store.SawAddress(ctx, v.Actor(), v.Login.ID)
}
