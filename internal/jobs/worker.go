package jobs

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// everyState makes work unique whatever became of it.
func everyState() []rivertype.JobState { return rivertype.JobStates() }

// letterWorker sends letters.
type letterWorker struct {
	river.WorkerDefaults[letter]
	post *post.Service
}

// Timeout is longer than that of other work, for servers that answer late.
func (*letterWorker) Timeout(*river.Job[letter]) time.Duration { return LetterWithin }

// Work sends one. A refused address ends it; after the last try that is noted at the
// letter.
func (w *letterWorker) Work(ctx context.Context, job *river.Job[letter]) error {
	err := w.post.Deliver(ctx, job.Args.Club, job.Args.Letter)
	switch {
	case errors.Is(err, post.ErrRefused):
		return river.JobCancel(err)
	case err != nil && job.Attempt >= job.MaxAttempts:
		return errors.Join(err, w.post.GiveUp(ctx, job.Args.Club, job.Args.Letter))
	}
	return err
}

// NextRetry is when a letter that failed is tried again.
func (*letterWorker) NextRetry(job *river.Job[letter]) time.Time {
	return job.AttemptedAt.Add(pause(job.Attempt))
}

// waysInWorker writes to everybody who has an address.
type waysInWorker struct {
	river.WorkerDefaults[waysIn]
	post *post.Service
}

// Work writes to them; the number of the job is what makes it once.
func (w *waysInWorker) Work(ctx context.Context, job *river.Job[waysIn]) error {
	people := make([]post.Person, len(job.Args.People))
	for i, p := range job.Args.People {
		people[i] = post.Person(p)
	}
	return w.post.WaysIn(ctx, people, roster.Key(fmt.Sprintf("ways-in-%d", job.ID)))
}

// errand is a regular errand, once.
type errand struct {
	Name string `json:"name" river:"unique"`
	Turn string `json:"turn" river:"unique"` // 2026-04-14 or 2026-04-14T07, in UTC
}

// Kind names the work in River's tables.
func (errand) Kind() string { return "errand" }

// InsertOpts says how it is worked: once in each turn, whatever became of it.
func (errand) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: houseQueue, MaxAttempts: errandTries, UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: everyState()}}
}

// errandWorker runs errands.
type errandWorker struct {
	river.WorkerDefaults[errand]
	errands map[string]regular
}

// Timeout is longer than that of a letter: an errand goes over a whole club.
func (*errandWorker) Timeout(*river.Job[errand]) time.Duration { return errandWithin }

// Work runs one. A name that this program does not know is that of another version.
func (w *errandWorker) Work(ctx context.Context, job *river.Job[errand]) error {
	r, known := w.errands[job.Args.Name]
	if !known {
		return river.JobCancel(errors.New("no errand of this name is known here"))
	}
	return r.do(ctx)
}
