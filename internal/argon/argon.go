// Package argon hashes passwords with argon2id, a few at a time: each hash in
// flight holds 19 MiB, and a crowd at the door must not take all memory.
package argon

import (
	"context"
	"fmt"
	"time"

	"github.com/alexedwards/argon2id"

	"halfhour.app/halfhour/internal/fault"
)

// params are the second set that the OWASP cheat sheet on password storage
// names for argon2id (from memory): 19 MiB, two passes, one lane.
func params() *argon2id.Params {
	return &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}
}

// nobody is the hash of a password that nobody has, made with params: comparing
// with it costs as much as with any other.
const nobody = "$argon2id$v=19$m=19456,t=2,p=1$YJd/015BN1b1KlYcqdLqog$aIK5zqfoSkeYtcefzggQVuhRqAIqIYd0Dss3aCT47tA"

// longestWait is how long somebody waits for a turn.
const longestWait = 5 * time.Second

// Hasher makes and compares hashes.
type Hasher struct{ turns chan struct{} }

// New makes a hasher that works on so many hashes at once, at least one.
func New(atOnce int) *Hasher {
	return &Hasher{turns: make(chan struct{}, max(1, atOnce))}
}

// Hash gives the PHC string of the password, with a salt of its own.
func (h *Hasher) Hash(ctx context.Context, password string) (string, error) {
	if err := h.take(ctx); err != nil {
		return "", err
	}
	defer h.give()
	phc, err := argon2id.CreateHash(password, params())
	if err != nil {
		return "", fmt.Errorf("hash a password: %w", err)
	}
	return phc, nil
}

// Match says whether the password belongs to the PHC string; the empty string
// costs as much and never matches.
func (h *Hasher) Match(ctx context.Context, password, phc string) (bool, error) {
	if err := h.take(ctx); err != nil {
		return false, err
	}
	defer h.give()
	against := phc
	if phc == "" {
		against = nobody
	}
	match, err := argon2id.ComparePasswordAndHash(password, against)
	if err != nil {
		return false, fmt.Errorf("compare a password: %w", err)
	}
	return match && phc != "", nil
}

// take waits for a turn.
func (h *Hasher) take(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, longestWait)
	defer cancel()
	select {
	case h.turns <- struct{}{}:
		return nil
	case <-ctx.Done():
		return &fault.Error{Kind: fault.Unavailable, Message: "Many people are signing in just now. Try again in a minute.", Cause: ctx.Err()}
	}
}

func (h *Hasher) give() { <-h.turns }
