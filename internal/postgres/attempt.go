package postgres

import (
	"context"
	"encoding/binary"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
)

const (
	// Attempts on one key are counted one after the other, so that many at once
	// do not slip through.
	lockKeySQL = `select pg_advisory_xact_lock($1)`

	tryingSQL  = `insert into attempt (club_id, key, at) values (0, $1, $2)`
	triedSQL   = `select count(*) from attempt where club_id = 0 and key = $1 and at >= $2`
	forgiveSQL = `delete from attempt where club_id = 0 and key = $1`

	// An attempt is of no use after two days: no limit looks further back.
	oldTriesSQL = `delete from attempt where club_id = 0 and at < $1::timestamptz - interval '2 days'`
)

// Tried counts an attempt and gives how many there were since the instant.
func (s *Store) Tried(ctx context.Context, key access.Hash, now, since time.Time) (int, error) {
	var n int64
	b := batch(doorstep)
	b.Queue(lockKeySQL, int64(binary.BigEndian.Uint64(key[:])))
	b.Queue(oldTriesSQL, now)
	b.Queue(tryingSQL, key[:], now)
	b.Queue(triedSQL, key[:], since).QueryRow(func(row pgx.Row) error { return row.Scan(&n) })
	return int(n), s.send(ctx, b)
}

// Tries is how many attempts there were under the key since the instant.
func (s *Store) Tries(ctx context.Context, key access.Hash, since time.Time) (int, error) {
	var n int64
	b := batch(doorstep)
	b.Queue(triedSQL, key[:], since).QueryRow(func(row pgx.Row) error { return row.Scan(&n) })
	return int(n), s.send(ctx, b)
}

// Forgive forgets the attempts under the key.
func (s *Store) Forgive(ctx context.Context, key access.Hash) error {
	b := batch(doorstep)
	b.Queue(forgiveSQL, key[:])
	return s.send(ctx, b)
}
