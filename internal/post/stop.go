package post

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Stoppable is which letters an address in a letter stops. It names nobody: whoever
// has the letter has the address.
type Stoppable struct {
	Person
	Club roster.Club
	Kind Kind
	On   bool // they still come
}

// secretLength is how many characters the secret in such an address has.
const secretLength = 32

// Of is the kind of letters that an address speaks of as of: weekly, at-once, decision,
// monday, gentle. False where there are none such that anybody could stop.
func Of(of string) (Kind, bool) {
	k := Kind(strings.ReplaceAll(of, "-", "_"))
	return k, k.Wanted() && !strings.Contains(of, "_")
}

// OfKind is how an address speaks of letters of the kind.
func OfKind(k Kind) string { return strings.ReplaceAll(string(k), "_", "-") }

// Stoppable is which letters the secret stops. A secret that nobody has, a kind that
// nobody gets, and one that the person never gets are fault.NotFound.
func (s *Service) Stoppable(ctx context.Context, secret, of string) (Stoppable, error) {
	kind, known := Of(of)
	if !known || len(secret) != secretLength || strings.Trim(secret, "0123456789abcdef") != "" {
		return Stoppable{}, fault.New(fault.NotFound, "")
	}
	return s.Store.Stoppable(ctx, secret, kind)
}

// Stop ends those letters to the person, or, with on, lets them come again. Twice is
// once. Who may is whoever has the address: nobody is asked to sign in for an end to
// mail (RFC 8058).
func (s *Service) Stop(ctx context.Context, secret, of string, on bool) error {
	at, err := s.Stoppable(ctx, secret, of)
	if err != nil || at.On == on {
		return err
	}
	return s.Store.Stop(ctx, &at, on)
}
