// Package speed measures the web app from the first byte of a request to the last
// of its answer, each beside the bare queries it makes: the same statements with
// the same values, in the same round trips, rows read and dropped.
package speed

import (
	"context"
	"sync"

	"github.com/jackc/pgx/v5"
)

// Statement is one statement with its values.
type Statement struct {
	SQL  string
	Args []any
}

// Trips are the statements of a request, by round trip.
type Trips [][]Statement

// Recorder notes the statements that a pool is asked for. It is a tracer of pgx.
type Recorder struct {
	mu    sync.Mutex
	trips Trips
}

// Take gives what was noted, and begins anew.
func (r *Recorder) Take() Trips {
	r.mu.Lock()
	defer r.mu.Unlock()
	trips := r.trips
	r.trips = nil
	return trips
}

// TraceQueryStart notes a statement that goes alone.
func (r *Recorder) TraceQueryStart(ctx context.Context, _ *pgx.Conn, q pgx.TraceQueryStartData) context.Context {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.trips = append(r.trips, []Statement{{q.SQL, q.Args}})
	return ctx
}

// TraceQueryEnd does nothing.
func (r *Recorder) TraceQueryEnd(context.Context, *pgx.Conn, pgx.TraceQueryEndData) {}

// TraceBatchStart begins a round trip of several statements.
func (r *Recorder) TraceBatchStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceBatchStartData) context.Context {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.trips = append(r.trips, nil)
	return ctx
}

// TraceBatchQuery notes one of them.
func (r *Recorder) TraceBatchQuery(_ context.Context, _ *pgx.Conn, q pgx.TraceBatchQueryData) {
	r.mu.Lock()
	defer r.mu.Unlock()
	last := len(r.trips) - 1
	r.trips[last] = append(r.trips[last], Statement{q.SQL, q.Args})
}

// TraceBatchEnd does nothing.
func (r *Recorder) TraceBatchEnd(context.Context, *pgx.Conn, pgx.TraceBatchEndData) {}

// Sender is a pool, or one connection of it: for trips that are one transaction.
type Sender interface {
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// Replay makes the same round trips again and drops the rows.
func Replay(ctx context.Context, to Sender, trips Trips) error {
	for _, trip := range trips {
		b := &pgx.Batch{}
		for _, s := range trip {
			b.Queue(s.SQL, s.Args...).Query(drop)
		}
		if err := to.SendBatch(ctx, b).Close(); err != nil {
			return err
		}
	}
	return nil
}

func drop(rows pgx.Rows) error {
	for rows.Next() {
	}
	return rows.Err()
}
