package access

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"fmt"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// CeremonyHolds is how long a question to a passkey may be answered: time to find
// the phone. Our own.
const CeremonyHolds = 5 * time.Minute

// ceremony is what a question is for, and whose it is.
type ceremony string

const (
	signingIn ceremony = "sign in"
	making    ceremony = "make"
	proving   ceremony = "prove"
)

// Question is a question to a passkey. The secret goes into a cookie of the browser
// that asked, and nowhere else.
type Question struct {
	Secret  Token
	Options []byte // JSON for the browser
}

// challenge is what the passkey has to sign. It is made of the secret and of what
// the question is for, so that only the browser which asked can have it answered,
// in the name of the coach who asked, for what was asked, at the same site.
func (c ceremony) challenge(secret Token, site Site, who roster.Actor) []byte {
	mac := hmac.New(sha256.New, []byte(secret))
	fmt.Fprintf(mac, "%s\x00%d\x00%d\x00%s\x00%s", c, who.Club, who.Coach, site.Name, site.Origin)
	return mac.Sum(nil)
}

// begin begins a ceremony and gives its secret and challenge.
func (s *Service) begin(ctx context.Context, c ceremony, site Site, who roster.Actor) (Token, []byte, error) {
	if site.Name == "" {
		return "", nil, noSite()
	}
	secret, err := newToken(s.Random)
	if err != nil {
		return "", nil, err
	}
	now := s.Now()
	return secret, c.challenge(secret, site, who), s.Store.BeginCeremony(ctx, secret.Hash(), now, now.Add(CeremonyHolds))
}

// end uses the secret up and gives the challenge it stood for, once.
func (s *Service) end(ctx context.Context, c ceremony, secret Token, site Site, who roster.Actor) ([]byte, error) {
	if site.Name == "" {
		return nil, noSite()
	}
	if !secret.Sound() {
		return nil, tooLate()
	}
	switch err := s.Store.EndCeremony(ctx, secret.Hash(), s.Now()); {
	case fault.KindOf(err) == fault.Gone:
		return nil, tooLate()
	case err != nil:
		return nil, err
	}
	return c.challenge(secret, site, who), nil
}

func noSite() error {
	return fault.New(fault.Invalid, "Passkeys work only where Halfhour is opened by its name over https, or as localhost.")
}

func tooLate() error {
	return fault.New(fault.Invalid, "That took too long, or was sent before. Press the button once more.")
}
