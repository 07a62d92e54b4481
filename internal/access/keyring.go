package access

import (
	"context"
	"net/netip"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Limits of our own: how many passkeys a coach may have, and how long after a
// sign-in, or after being asked again, a coach may change the ways in.
const (
	MostPasskeys = 10
	FreshFor     = 10 * time.Minute
)

// Keyring is a coach's passkeys, and what must be proved before they are changed.
type Keyring struct {
	Passkeys []Passkey // the newest first
	Fresh    bool      // signed in, or asked again, within FreshFor: may change them
	Password bool      // has one to prove it with; only told where it is not fresh
}

// Keyring gives the visitor's passkeys.
func (s *Service) Keyring(ctx context.Context, v *Visitor) (Keyring, error) {
	k := Keyring{Fresh: s.fresh(v)}
	var err error
	if k.Passkeys, err = s.Store.Passkeys(ctx, v.Club.ID, v.Coach.ID); err != nil || k.Fresh {
		return k, err
	}
	known, err := s.Store.ByEmail(ctx, v.Coach.Email)
	k.Password = known.Hash != ""
	return k, err
}

// fresh says whether the visitor signed in, or was asked again, just now. A login
// that was left open, or stolen, must not be enough to make a way in that outlives
// it, nor to take one away.
func (s *Service) fresh(v *Visitor) bool {
	last := v.Login.Since
	if v.Login.Proved.After(last) {
		last = v.Login.Proved
	}
	return s.Now().Sub(last) < FreshFor
}

func stale() error {
	return fault.New(fault.Forbidden, "Your sign-in is a while ago. Load the page again and show that it is you; then this can be done.")
}

// ProveByPassword makes the login fresh; faults stand at current.
func (s *Service) ProveByPassword(ctx context.Context, v *Visitor, current string, from netip.Addr) error {
	if err := s.checkPresent(ctx, v, current, from); err != nil {
		return err
	}
	return s.Store.Prove(ctx, v.Actor(), v.Login.ID, s.Now())
}

// AskToProve asks one of the visitor's passkeys to make the login fresh.
func (s *Service) AskToProve(ctx context.Context, v *Visitor, site Site) (Question, error) {
	own, err := s.Store.Passkeys(ctx, v.Club.ID, v.Coach.ID)
	if err != nil {
		return Question{}, err
	}
	own = of(own, site.Name)
	if len(own) == 0 {
		return Question{}, fault.New(fault.Invalid, "You have no passkey for this address yet.")
	}
	return s.askToSign(ctx, proving, site, v.Actor(), own)
}

// ProveByPasskey makes the login fresh with the answer to AskToProve.
func (s *Service) ProveByPasskey(ctx context.Context, v *Visitor, site Site, secret Token, answer []byte) error {
	k, err := s.signed(ctx, proving, secret, site, v.Actor(), answer)
	if err != nil {
		return err
	}
	if k.Club != v.Club.ID || k.Coach != v.Coach.ID {
		return notAccepted(nil)
	}
	return s.Store.Prove(ctx, v.Actor(), v.Login.ID, s.Now())
}

// AskToMake asks the browser for a new passkey of the visitor, whose login must be
// fresh; else fault.Forbidden.
func (s *Service) AskToMake(ctx context.Context, v *Visitor, site Site) (Question, error) {
	if !s.fresh(v) {
		return Question{}, stale()
	}
	there, err := s.Store.Passkeys(ctx, v.Club.ID, v.Coach.ID)
	if err != nil {
		return Question{}, err
	}
	if len(there) >= MostPasskeys {
		return Question{}, fault.New(fault.Invalid, "You have ten passkeys already. Remove one that you no longer use.")
	}
	secret, challenge, err := s.begin(ctx, making, site, v.Actor())
	if err != nil {
		return Question{}, err
	}
	options, err := s.Keys.AskToMake(site, ownerOf(v), challenge, of(there, site.Name))
	return Question{Secret: secret, Options: options}, err
}

// AddPasskey keeps the passkey of the answer to AskToMake under a name in the
// coach's words; a fault of the name stands at name, and leaves the question open.
func (s *Service) AddPasskey(ctx context.Context, v *Visitor, site Site, secret Token, name string, answer []byte) error {
	name = strings.TrimSpace(name)
	if m := roster.CheckName(name); m != "" {
		return fault.At(fault.Field{Place: "name", Message: m})
	}
	if !s.fresh(v) {
		return stale()
	}
	challenge, err := s.end(ctx, making, secret, site, v.Actor())
	if err != nil {
		return err
	}
	k, err := s.Keys.Made(site, ownerOf(v), challenge, answer)
	if err != nil {
		return notAccepted(err)
	}
	k.Club, k.Coach, k.Site, k.Name, k.CreatedAt = v.Club.ID, v.Coach.ID, site.Name, name, s.Now()
	_, err = s.Store.AddPasskey(ctx, v.Actor(), k)
	if fault.KindOf(err) == fault.Conflict {
		return fault.New(fault.Conflict, "This passkey is kept already.")
	}
	return err
}

// RemovePasskey removes one of the visitor's own and ends the logins that it opened
// elsewhere. The login must be fresh; else fault.Forbidden.
func (s *Service) RemovePasskey(ctx context.Context, v *Visitor, id roster.PasskeyID) error {
	if !s.fresh(v) {
		return stale()
	}
	return s.Store.RemovePasskey(ctx, v.Actor(), id, s.Now(), v.Login.ID)
}

func ownerOf(v *Visitor) KeyOwner {
	return KeyOwner{Handle: handle(v.Club.ID, v.Coach.ID), Name: v.Coach.Name, Email: v.Coach.Email}
}

// Usable says whether one of them signs at the site of the name.
func (k *Keyring) Usable(site string) bool { return len(of(k.Passkeys, site)) > 0 }

// of are the passkeys made for the site of the name that are not refused.
func of(all []Passkey, site string) []Passkey {
	var here []Passkey
	for _, k := range all {
		if k.Site == site && k.RefusedAt.IsZero() {
			here = append(here, k)
		}
	}
	return here
}
