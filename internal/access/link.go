package access

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Link is a one-time code just made: the code goes into an address and is kept
// nowhere else.
type Link struct {
	Code    Token
	Expires time.Time
}

// SetUpLink makes the link with which somebody names the first club.
func (s *Service) SetUpLink(ctx context.Context) (Link, error) {
	return s.put(ctx, roster.Actor{}, Code{Purpose: SetUp}, setUpHolds)
}

// AthleteLink makes an athlete's private sign-in link; the one before ends.
func (s *Service) AthleteLink(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (Link, error) {
	return s.put(ctx, who, Code{Purpose: AthleteLink, Club: who.Club, Athlete: athlete}, athleteLinkHolds)
}

// Invitation makes the link with which one new coach or deputy comes in; the one
// before for the same role ends. Only an owner with a fresh sign-in may; else
// fault.Forbidden.
func (s *Service) Invitation(ctx context.Context, v *Visitor, role Role) (Link, error) {
	if err := s.mustOwnFresh(v); err != nil {
		return Link{}, err
	}
	return s.put(ctx, v.Actor(), Code{Purpose: inviting(role), Club: v.Club.ID}, inviteHolds)
}

// inviting is the purpose of a code for somebody new in the role.
func inviting(role Role) Purpose {
	if role == AsDeputy {
		return DeputyInvite
	}
	return CoachInvite
}

// CoachLink makes the link for a coach who is locked out; fault.NotFound when no
// coach has the address.
func (s *Service) CoachLink(ctx context.Context, email string) (Link, error) {
	known, err := s.Store.ByEmail(ctx, roster.LowerEmail(email))
	if err != nil {
		return Link{}, err
	}
	who := roster.Actor{Club: known.Club, Coach: known.Coach}
	return s.put(ctx, who, Code{Purpose: CoachLink, Club: known.Club, Coach: known.Coach}, coachLinkHolds)
}

func (s *Service) put(ctx context.Context, who roster.Actor, c Code, holds time.Duration) (Link, error) {
	token, err := newToken(s.Random)
	if err != nil {
		return Link{}, err
	}
	c.Hash, c.Expires = token.Hash(), s.Now().Add(holds)
	return Link{Code: token, Expires: c.Expires}, s.Store.PutCode(ctx, who, c)
}

// Offer is what a link offers to whoever opens it.
type Offer struct {
	Purpose Purpose
	Club    roster.Club // zero for SetUp
	Coach   roster.CoachID
	Athlete roster.AthleteID
	Name    string // of the coach or athlete it was made for; empty for SetUp and invitations
	Used    bool   // it is Gone because somebody used it, not because it is too old
}

// Offered says what the link of the code offers, without using it; the errors
// are those of Look.
func (s *Service) Offered(ctx context.Context, code Token, purposes ...Purpose) (Offer, error) {
	c, err := s.Look(ctx, code, purposes...)
	o := Offer{Purpose: c.Purpose, Coach: c.Coach, Athlete: c.Athlete, Used: !c.UsedAt.IsZero()}
	if err != nil || c.Club == 0 {
		return o, err
	}
	if o.Club, err = s.Store.Club(ctx, c.Club); err != nil {
		return o, err
	}
	switch {
	case c.Athlete != 0:
		a, err := s.Store.Athlete(ctx, c.Club, c.Athlete)
		if err == nil && !a.LeftAt.IsZero() {
			err = fault.New(fault.Gone, "")
		}
		if err == nil {
			o.Name = a.Name
		}
		return o, err
	case c.Coach != 0:
		coach, err := s.coach(ctx, c)
		o.Name = coach.Name
		return o, err
	}
	return o, nil
}

// coach is the coach of the code.
func (s *Service) coach(ctx context.Context, c Code) (roster.Coach, error) {
	coaches, err := s.Store.Coaches(ctx, c.Club)
	if err != nil {
		return roster.Coach{}, err
	}
	for _, coach := range coaches {
		if coach.ID == c.Coach {
			return coach, nil
		}
	}
	return roster.Coach{}, fault.New(fault.NotFound, "")
}

// Look gives the code without using it, for the page that a link opens: only
// pressing the button there uses it up, so that previews of messages do not. A
// code for something else is fault.NotFound; used or too old is fault.Gone.
func (s *Service) Look(ctx context.Context, code Token, purposes ...Purpose) (Code, error) {
	c, err := s.peek(ctx, code, purposes...)
	switch {
	case err != nil:
		return Code{}, err
	case !c.UsedAt.IsZero(), !s.Now().Before(c.Expires):
		return c, fault.New(fault.Gone, "")
	}
	return c, nil
}

func (s *Service) peek(ctx context.Context, code Token, purposes ...Purpose) (Code, error) {
	if !code.Sound() {
		return Code{}, fault.New(fault.NotFound, "")
	}
	c, err := s.Store.Peek(ctx, code.Hash())
	if err != nil {
		return Code{}, err
	}
	for _, p := range purposes {
		if c.Purpose == p {
			return c, nil
		}
	}
	return Code{}, fault.New(fault.NotFound, "")
}

// Enter uses up an athlete's or a coach's link and opens a login. The key is
// that of the form: pressed twice, the second gives the same login as the first.
// Used before or too old is fault.Gone.
func (s *Service) Enter(ctx context.Context, code Token, key roster.Key, device string) (Opened, error) {
	c, err := s.peek(ctx, code, AthleteLink, CoachLink)
	if err != nil {
		return Opened{}, err
	}
	token := tokenFrom(code, key)
	l := s.dated(Login{Club: c.Club, Coach: c.Coach, Athlete: c.Athlete, Device: device})
	_, used := s.Store.Use(ctx, code.Hash(), s.Now(), token.Hash(), l)
	if used != nil && fault.KindOf(used) != fault.Gone {
		return Opened{}, used
	}
	v, err := s.Store.Visitor(ctx, token.Hash(), s.Now())
	switch {
	case used != nil && (err != nil || s.Now().Sub(v.Login.Since) > sameTap):
		return Opened{}, used
	case err != nil:
		return Opened{}, err
	}
	return Opened{Token: token, Login: v.Login}, nil
}

// sameTap is how long after the first a second press still counts as the same.
const sameTap = 10 * time.Minute

// tokenFrom makes the token of a login from the code of a link and the key of
// the form, so that the same form sent twice opens one login. Both are random;
// the key is never in an address, so an old link tells nothing of the token.
func tokenFrom(code Token, key roster.Key) Token {
	mac := hmac.New(sha256.New, []byte(code))
	mac.Write([]byte(key))
	return tokenOf([tokenBytes]byte(mac.Sum(nil)))
}
