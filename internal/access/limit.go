package access

import (
	"context"
	"crypto/sha256"
	"fmt"
	"net/netip"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/fault"
)

// limit is how many attempts there may be within a span. The second limit of
// each kind makes the pause grow for whoever goes on and on.
type limit struct {
	name   string
	most   int
	within time.Duration
}

// The spans of most limits.
const (
	quarter = 15 * time.Minute
	day     = 24 * time.Hour
)

// Attempts are counted for the account together with the address they come
// from, so that a stranger who guesses locks nobody else out, and for the
// address alone, so that trying one password on many accounts ends too. The
// numbers are our own.
func pairLimits() []limit {
	return []limit{{"pair", 10, quarter}, {"pair-day", 30, day}}
}

func addressLimits() []limit {
	return []limit{{"address", 50, quarter}, {"address-day", 300, day}}
}

// try counts an attempt of the address on the account under every limit, and is
// fault.TooMany when one is passed.
func (s *Service) try(ctx context.Context, account string, from netip.Addr) error {
	l, err := s.passed(ctx, append(pairLimits(), addressLimits()...), account, from)
	if err == nil && l != nil {
		err = fault.New(fault.TooMany, "Too many attempts. Wait "+pause(l.within)+", or ask for a one-time link: it always works.")
	}
	return err
}

// passed counts an attempt under every limit, and gives the longest of those that it
// passes; nil where it passes none.
func (s *Service) passed(ctx context.Context, limits []limit, account string, from netip.Addr) (*limit, error) {
	now := s.Now()
	var over *limit
	for i, l := range limits {
		n, err := s.Store.Tried(ctx, l.key(account, from), now, now.Add(-l.within))
		if err != nil {
			return nil, err
		}
		if n > l.most {
			over = &limits[i]
		}
	}
	return over, nil
}

// forgive forgets the attempts of the address on the account, after one that
// was right. Those of the address alone stay: a right password of one's own must
// not buy more guesses at others'.
func (s *Service) forgive(ctx context.Context, account string, from netip.Addr) error {
	for _, l := range pairLimits() {
		if err := s.Store.Forgive(ctx, l.key(account, from)); err != nil {
			return err
		}
	}
	return nil
}

// Codes that do not work are counted for the address they come from. A code cannot
// be guessed, of 256 random bits; this is for whoever tries nevertheless.
func codeLimit() limit { return limit{"codes", 50, 15 * time.Minute} }

// Guessing is fault.TooMany for an address from which too many codes came that do
// not work. Then true ones wait too, but from elsewhere they work.
func (s *Service) Guessing(ctx context.Context, from netip.Addr) error {
	l := codeLimit()
	n, err := s.Store.Tries(ctx, l.key("", from), s.Now().Add(-l.within))
	if err == nil && n >= l.most {
		err = fault.New(fault.TooMany, "Too many links that do not work were opened from here. Wait "+pause(l.within)+", then open yours again: it still works.")
	}
	return err
}

// Guessed counts a code that does not work.
func (s *Service) Guessed(ctx context.Context, from netip.Addr) error {
	l := codeLimit()
	_, err := s.Store.Tried(ctx, l.key("", from), s.Now(), s.Now().Add(-l.within))
	return err
}

// key is the hash under which attempts are counted; neither the e-mail address
// nor the network address can be read from it.
func (l limit) key(account string, from netip.Addr) Hash {
	place := network(from)
	if strings.HasPrefix(l.name, "address") {
		account = ""
	}
	return sha256.Sum256(fmt.Appendf(nil, "%s\x00%s\x00%s", l.name, place, account))
}

// network is the address for counting: of version 6 the first 64 bits, since one
// household has all the rest.
func network(from netip.Addr) string {
	from = from.Unmap()
	if !from.Is6() {
		return from.String()
	}
	p, err := from.WithZone("").Prefix(64)
	if err != nil {
		return from.String()
	}
	return p.String()
}

func pause(d time.Duration) string {
	if d >= 24*time.Hour {
		return "until tomorrow"
	}
	return "a quarter of an hour"
}
