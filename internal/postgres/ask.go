package postgres

import (
	"context"
	"strconv"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/roster"
)

// enterSQL says which club the rest of the transaction is for.
const enterSQL = `select set_config('halfhour.club', $1, true)`

// doorstep is the club of what is kept before anybody knows whose it is.
const doorstep roster.ClubID = 0

// batch begins a list of statements for one club. They are sent together, as one
// transaction: all of it holds, or nothing.
func batch(club roster.ClubID) *pgx.Batch {
	b := &pgx.Batch{}
	b.Queue(enterSQL, strconv.FormatInt(int64(club), 10))
	return b
}

// send runs the statements in one round trip and hands each its rows. When it
// gives no error, what was written is committed.
func (s *Store) send(ctx context.Context, b *pgx.Batch) error {
	return translate(s.pool.SendBatch(ctx, b).Close())
}

// transact runs several steps for one club, where the later ones depend on what
// the earlier ones found.
func (s *Store) transact(ctx context.Context, club roster.ClubID, steps func(tx pgx.Tx) error) error {
	return translate(pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if err := enter(ctx, tx, club); err != nil {
			return err
		}
		return steps(tx)
	}))
}

// behind runs several steps for the club that a secret belongs to.
func (s *Store) behind(ctx context.Context, door string, secret any, steps func(tx pgx.Tx) error) error {
	return translate(pgx.BeginFunc(ctx, s.pool, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, door, secret); err != nil {
			return err
		}
		return steps(tx)
	}))
}

// enter turns a transaction to a club.
func enter(ctx context.Context, tx pgx.Tx, club roster.ClubID) error {
	_, err := tx.Exec(ctx, enterSQL, strconv.FormatInt(int64(club), 10))
	return err
}

// list queues a statement whose rows go into a slice.
func list[T any](b *pgx.Batch, into *[]T, read func(*cells) T, sql string, args ...any) {
	b.Queue(sql, args...).Query(func(rows pgx.Rows) (err error) {
		*into, err = collect(rows, read)
		return err
	})
}

// one queues a statement that gives one row at most; found says whether it did.
func one[T any](b *pgx.Batch, into *T, found *bool, read func(*cells) T, sql string, args ...any) {
	b.Queue(sql, args...).Query(func(rows pgx.Rows) error {
		all, err := collect(rows, read)
		if *found = len(all) > 0; *found {
			*into = all[0]
		}
		return err
	})
}

// collect reads all rows.
func collect[T any](rows pgx.Rows, read func(*cells) T) ([]T, error) {
	defer rows.Close()
	var all []T
	var c cells
	for rows.Next() {
		c.begin(rows)
		all = append(all, read(&c))
		if c.err != nil {
			return nil, c.err
		}
	}
	return all, rows.Err()
}

// ask gives the rows of one statement.
func ask[T any](ctx context.Context, s *Store, club roster.ClubID, read func(*cells) T, sql string, args ...any) ([]T, error) {
	var all []T
	b := batch(club)
	list(b, &all, read, sql, args...)
	return all, s.send(ctx, b)
}

// askOne gives the one row of a statement, or fault.NotFound.
func askOne[T any](ctx context.Context, s *Store, club roster.ClubID, read func(*cells) T, sql string, args ...any) (T, error) {
	var row T
	var found bool
	b := batch(club)
	one(b, &row, &found, read, sql, args...)
	if err := s.send(ctx, b); err != nil {
		return row, err
	}
	if !found {
		return row, notFound()
	}
	return row, nil
}

// several are the rows of a statement inside a transaction.
func several[T any](ctx context.Context, tx pgx.Tx, read func(*cells) T, sql string, args ...any) ([]T, error) {
	rows, err := tx.Query(ctx, sql, args...)
	if err != nil {
		return nil, translate(err)
	}
	all, err := collect(rows, read)
	return all, translate(err)
}

// rowIf is the one row of a statement inside a transaction, if it gives one.
func rowIf[T any](ctx context.Context, tx pgx.Tx, read func(*cells) T, sql string, args ...any) (one T, found bool, err error) {
	all, err := several(ctx, tx, read, sql, args...)
	if len(all) > 0 {
		one = all[0]
	}
	return one, len(all) > 0, err
}

// row is the one row of a statement inside a transaction, or fault.NotFound.
func row[T any](ctx context.Context, tx pgx.Tx, read func(*cells) T, sql string, args ...any) (T, error) {
	one, found, err := rowIf(ctx, tx, read, sql, args...)
	if err == nil && !found {
		err = notFound()
	}
	return one, err
}
