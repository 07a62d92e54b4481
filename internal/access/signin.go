package access

import (
	"context"
	"net/netip"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Attempt is somebody who signs in with a password.
type Attempt struct {
	Email    string
	Password string
	From     netip.Addr
	Device   string
}

// SignIn opens a login for a coach. A wrong password and an unknown address are
// the same fault.Invalid, after the same work; fault.TooMany after too many.
func (s *Service) SignIn(ctx context.Context, t Attempt) (Opened, error) {
	email := roster.LowerEmail(t.Email)
	if err := s.try(ctx, email, t.From); err != nil {
		return Opened{}, err
	}
	var known Password
	if roster.CheckEmail(email) == "" {
		var err error
		if known, err = s.Store.ByEmail(ctx, email); err != nil && fault.KindOf(err) != fault.NotFound {
			return Opened{}, err
		}
	}
	right, err := s.Hasher.Match(ctx, t.Password, known.Hash)
	if err != nil {
		return Opened{}, err
	}
	if !right || known.Coach == 0 {
		return Opened{}, fault.At(fault.Field{Place: "password", Message: "That e-mail address and password do not belong together."})
	}
	if err := s.forgive(ctx, email, t.From); err != nil {
		return Opened{}, err
	}
	return s.open(ctx, Login{Club: known.Club, Coach: known.Coach, Device: t.Device})
}

// SignOut ends the visitor's login.
func (s *Service) SignOut(ctx context.Context, v *Visitor) error {
	return s.Store.Close(ctx, v.Actor(), v.Login.ID)
}
