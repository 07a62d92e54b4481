package access

import (
	"context"
	"encoding/hex"
	"net/netip"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// KeyAttempt is somebody who signs in with a passkey: the answer to AskToSignIn and
// the secret of that question.
type KeyAttempt struct {
	Site   Site
	Secret Token
	Answer []byte
	From   netip.Addr
	Device string
}

// AskToSignIn asks for any passkey of the site. Nobody says who they are before.
func (s *Service) AskToSignIn(ctx context.Context, site Site) (Question, error) {
	return s.askToSign(ctx, signingIn, site, roster.Actor{}, nil)
}

// SignInByPasskey opens a login for the coach of the passkey. Whatever is wrong with
// it is fault.Invalid; fault.TooMany after too many.
func (s *Service) SignInByPasskey(ctx context.Context, t KeyAttempt) (Opened, error) {
	credential, err := s.Keys.Named(t.Answer)
	if err != nil {
		return Opened{}, notAccepted(err)
	}
	account := "passkey " + hex.EncodeToString(credential)
	if err := s.try(ctx, account, t.From); err != nil {
		return Opened{}, err
	}
	k, err := s.signed(ctx, signingIn, t.Secret, t.Site, roster.Actor{}, t.Answer)
	if err != nil {
		return Opened{}, err
	}
	if err := s.forgive(ctx, account, t.From); err != nil {
		return Opened{}, err
	}
	return s.open(ctx, Login{Club: k.Club, Coach: k.Coach, Passkey: k.ID, Device: t.Device})
}

func (s *Service) askToSign(ctx context.Context, c ceremony, site Site, who roster.Actor, by []Passkey) (Question, error) {
	secret, challenge, err := s.begin(ctx, c, site, who)
	if err != nil {
		return Question{}, err
	}
	options, err := s.Keys.AskToSign(site, challenge, by)
	return Question{Secret: secret, Options: options}, err
}

// signed finds the passkey that gave the answer, checks it and notes that it signed.
func (s *Service) signed(ctx context.Context, c ceremony, secret Token, site Site, who roster.Actor, answer []byte) (Passkey, error) {
	challenge, err := s.end(ctx, c, secret, site, who)
	if err != nil {
		return Passkey{}, err
	}
	credential, err := s.Keys.Named(answer)
	if err != nil {
		return Passkey{}, notAccepted(err)
	}
	k, err := s.Store.ByCredential(ctx, credential)
	switch {
	case fault.KindOf(err) == fault.NotFound, err == nil && k.Site != site.Name:
		return Passkey{}, notAccepted(err)
	case err != nil:
		return Passkey{}, err
	}
	n, err := s.Keys.Signed(site, challenge, answer, &k)
	if err != nil {
		return Passkey{}, notAccepted(err)
	}
	return k, s.note(ctx, k, n)
}

// note notes that the passkey signed. Where its count has not gone on, a copy of it
// signed before: nobody can tell which of the two is the right one, so from then on
// neither is let in.
func (s *Service) note(ctx context.Context, k Passkey, n Signed) error {
	if !k.RefusedAt.IsZero() {
		return copied()
	}
	if n.follows(k.Count) {
		err := s.Store.SignedBy(ctx, k, n, s.Now())
		if fault.KindOf(err) != fault.Conflict {
			return err
		}
		return notAccepted(err) // removed, refused or used at the same moment
	}
	if err := s.Store.RefusePasskey(ctx, k, s.Now()); err != nil {
		return err
	}
	return copied()
}

func notAccepted(cause error) error {
	return &fault.Error{Kind: fault.Invalid, Message: "This passkey was not accepted. It may have been removed here; another way in still works.", Cause: cause}
}

func copied() error {
	return fault.New(fault.Invalid, "This passkey is no longer accepted: it seems that a copy of it was used. Come in another way, remove it under Club and add a new one.")
}
