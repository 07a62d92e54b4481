package access

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// How long things about new devices hold: ours.
const (
	// A login on a new device says nothing for itself so long: whoever got in by
	// stealth must not be the one who says that all is well, before the person had
	// time to read of it elsewhere.
	provesItself = 7 * 24 * time.Hour
	// After so long nobody is told of it any more.
	toldFor = 30 * 24 * time.Hour
)

// Unproven says whether the login is one on a new device that may not yet answer
// for itself.
func (l *Login) Unproven(now time.Time) bool { return l.NewDevice && now.Sub(l.Since) < provesItself }

// NewLogins are the visitor's other logins, on devices not seen before, which
// nobody has claimed yet; the newest first.
func (s *Service) NewLogins(ctx context.Context, v *Visitor) ([]Login, error) {
	logins, err := s.Logins(ctx, v)
	var fresh []Login
	for _, l := range logins {
		if l.NewDevice && l.ID != v.Login.ID && s.Now().Sub(l.Since) < toldFor {
			fresh = append(fresh, l)
		}
	}
	return fresh, err
}

// Claim says that a login on a new device is the visitor's own. It must be said
// from another one that is not new itself, else it is fault.Forbidden; the login of
// somebody else is fault.NotFound.
func (s *Service) Claim(ctx context.Context, v *Visitor, id roster.LoginID) error {
	if v.Login.Unproven(s.Now()) {
		return fault.New(fault.Forbidden, "This device is new itself, so it cannot answer for another yet.")
	}
	return s.Store.Claim(ctx, v.Actor(), id, s.Now())
}
