package fake

import (
	"context"
	"strings"
	"sync/atomic"
)

// Hasher is a quick stand-in for the slow one; it counts what it is asked.
type Hasher struct{ Matches, Hashes atomic.Int32 }

// HashOf is the hash that the stand-in makes of a password.
func HashOf(password string) string { return "hash of " + password }

// Hash counts and gives HashOf.
func (h *Hasher) Hash(_ context.Context, password string) (string, error) {
	h.Hashes.Add(1)
	return HashOf(password), nil
}

// Match counts and compares.
func (h *Hasher) Match(_ context.Context, password, phc string) (bool, error) {
	h.Matches.Add(1)
	return strings.HasPrefix(phc, "hash of ") && phc == HashOf(password), nil
}

// Random gives bytes that are different every time and the same in every run.
type Random struct{ n atomic.Uint64 }

// Read fills p.
func (r *Random) Read(p []byte) (int, error) {
	for i := range p {
		x := r.n.Add(0x9e3779b97f4a7c15)
		x ^= x >> 30
		x *= 0xbf58476d1ce4e5b9
		x ^= x >> 27
		p[i] = byte(x >> 32)
	}
	return len(p), nil
}
