package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
)

// The doors: each says which club the rest of the transaction is for, by a secret.
// For a secret that nobody has, it is none, and nothing is found.
const (
	enterByEmailSQL = `select set_config('halfhour.club', door_email($1)::text, true)`
	enterByTokenSQL = `select set_config('halfhour.club', door_token($1)::text, true)`
	enterByCodeSQL  = `select set_config('halfhour.club', door_code($1)::text, true)`

	anyClubSQL = `select door_any()`
)

// through begins a list of statements for the club that a secret belongs to.
func through(door string, secret any) *pgx.Batch {
	b := &pgx.Batch{}
	b.Queue(door, secret)
	return b
}

// AnyClub says whether a club exists.
func (s *Store) AnyClub(ctx context.Context) (bool, error) {
	var any bool
	err := s.pool.QueryRow(ctx, anyClubSQL).Scan(&any)
	return any, translate(err)
}

// readHash reads 32 bytes.
func readHash(c *cells) access.Hash {
	var h access.Hash
	if cell := c.next(); copy(h[:], cell) != len(h) {
		c.fail()
	}
	return h
}
