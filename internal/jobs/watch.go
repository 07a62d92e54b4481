package jobs

import (
	"context"
	"errors"
	"log/slog"
	"runtime/debug"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
)

// failed writes one line for each piece of work that failed: which, how often, and
// why, as far as that may be told.
type failed struct {
	log  *slog.Logger
	told func(job int64) // nil: nobody asks
}

// HandleError writes it down; River decides about another try.
func (f *failed) HandleError(ctx context.Context, job *rivertype.JobRow, err error) *river.ErrorHandlerResult {
	level, text := slog.LevelWarn, "a job failed and will be tried again"
	if job.Attempt >= job.MaxAttempts {
		level, text = slog.LevelError, "a job failed for the last time"
	}
	f.log.LogAttrs(ctx, level, text, slog.Int64("job", job.ID), slog.String("kind", job.Kind), slog.Int("attempt", job.Attempt), slog.String("error", err.Error()))
	return nil
}

// HandlePanic is never reached: contain comes first.
func (f *failed) HandlePanic(context.Context, *rivertype.JobRow, any, string) *river.ErrorHandlerResult {
	return nil
}

// errPanicked stands for what a panic said, which may hold anything.
var errPanicked = errors.New("it panicked; the log says where")

// contain makes a panic an error, and writes down where it was.
func (f *failed) contain(ctx context.Context, job *rivertype.JobRow, work func(context.Context) error) (err error) {
	defer func() {
		if recover() != nil {
			f.log.LogAttrs(ctx, slog.LevelError, "a job panicked", slog.Int64("job", job.ID), slog.String("kind", job.Kind), slog.String("trace", string(debug.Stack())))
			err = errPanicked
		}
	}()
	if err = work(ctx); err == nil && f.told != nil {
		f.told(job.ID)
	}
	if stop := (*rivertype.JobCancelError)(nil); errors.As(err, &stop) {
		f.log.LogAttrs(ctx, slog.LevelWarn, "a job cannot be done and was given up", slog.Int64("job", job.ID), slog.String("kind", job.Kind), slog.String("error", err.Error()))
	}
	return err
}

// errorsOnly lets through what River cannot do at all, such as reaching the database.
type errorsOnly struct{ slog.Handler }

// Enabled leaves out all below an error.
func (h errorsOnly) Enabled(ctx context.Context, l slog.Level) bool {
	return l >= slog.LevelError && h.Handler.Enabled(ctx, l)
}

// overdueSQL counts work that should have been taken up long ago.
const overdueSQL = `select count(*) from river.river_job
where state in ('available', 'retryable') and queue = any ($1) and scheduled_at < now() - $2::interval`

// Overdue is how many pieces of work have been waiting for longer than a quarter of
// an hour although their time has come; 0 where all is well.
func (c *Crew) Overdue(ctx context.Context) (n int, err error) {
	ctx, cancel := context.WithTimeout(ctx, healthTimeout)
	defer cancel()
	err = c.pool.QueryRow(ctx, overdueSQL, []string{mailQueue, houseQueue}, overdueAfter).Scan(&n)
	return n, err
}

// watch says in the log when work is left lying.
func (c *Crew) watch(ctx context.Context) {
	tick := time.NewTicker(healthEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if n, err := c.Overdue(ctx); err == nil && n > 0 {
			c.log.WarnContext(ctx, "jobs wait longer than they should", "jobs", n)
		}
	}
}
