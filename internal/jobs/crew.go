package jobs

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivertype"

	"halfhour.app/halfhour/internal/post"
)

// LetterWithin is how long sending one letter may take: longer than a mail server is
// waited for, or a letter that is still on its way would be sent by somebody else too.
const LetterWithin = 6 * time.Minute

// How the work goes. Work that was being done when a program was killed is taken up
// again after rescueAfter, and not before the time is over that it may take.
const (
	workWithin    = 45 * time.Second
	errandWithin  = 30 * time.Minute
	rescueAfter   = 2 * time.Minute
	stopWithin    = 10 * time.Second // for what is being done at a stop
	remember      = 3 * 24 * time.Hour
	askOften      = 15 * time.Minute // how often it is looked whether an errand is due
	letterHands   = 2
	errandHands   = 2
	fetchRest     = 20 * time.Millisecond // between two looks for work: with two hands, a hundred letters a second at most
	listenRetry   = 5 * time.Second       // how long a piece of work waits where its announcement got lost
	healthEvery   = 5 * time.Minute
	overdueAfter  = 15 * time.Minute
	errandTries   = 5
	healthTimeout = 5 * time.Second
)

// Errand is something to be done again and again. It may be called more than once for
// the same day or hour, when it failed or the program ended in the middle, so doing it
// twice must be the same as once. Its errors hold no names and no addresses.
type Errand func(ctx context.Context) error

// regular is an errand with how often it has its turn.
type regular struct {
	do    Errand
	every time.Duration
}

// turn is what the turn at the instant is called: the instant at which it began.
func (r regular) turn(now time.Time) string {
	return now.UTC().Truncate(r.every).Format("2006-01-02T15:04")
}

// Crew does the work. It is set up with New and Daily, then started.
type Crew struct {
	pool    *pgxpool.Pool
	post    *post.Service
	log     *slog.Logger
	now     func() time.Time
	hasty   bool            // for tests: no waiting about at the start
	told    func(job int64) // for tests: hears of work that was done before River notes it
	alone   bool            // no other program works on this database
	errands map[string]regular
	client  *river.Client[pgx.Tx]
	end     context.CancelFunc
	looking sync.WaitGroup
}

// New makes a crew over the pool of the program's role. It holds one connection of it
// to hear of new work, and up to four while it works.
func New(pool *pgxpool.Pool, p *post.Service, log *slog.Logger, now func() time.Time) *Crew {
	return &Crew{pool: pool, post: p, log: log, now: now, errands: map[string]regular{}}
}

// Daily adds an errand that is run once each day, soon after midnight in UTC, or when
// the first program is there again; with several programs, by one of them. The name
// is kept in the database and must not change meaning. It must be called before Start.
func (c *Crew) Daily(name string, do Errand) { c.Every(24*time.Hour, name, do) }

// Hourly is the same for each hour.
func (c *Crew) Hourly(name string, do Errand) { c.Every(time.Hour, name, do) }

// Every is the same for each turn of that length, of which a day holds a whole number.
func (c *Crew) Every(turn time.Duration, name string, do Errand) {
	c.errands[name] = regular{do, turn}
}

// Alone says that no other program works on the database: then what an earlier run
// left half done is taken up at once, and not only when nobody else could be at it any
// more. It must be called before Start.
func (c *Crew) Alone() { c.alone = true }

// leftSQL gives back what a program that was killed had in its hands.
const leftSQL = `update river.river_job set state = 'available', scheduled_at = now() where state = 'running'`

// Start begins to work and returns; Stop ends it.
func (c *Crew) Start(ctx context.Context) error {
	ctx = context.WithoutCancel(ctx) // it ends in its turn, not with the signal
	client, err := river.NewClient(riverpgxv5.New(c.pool), c.config())
	if err != nil {
		return fmt.Errorf("the jobs cannot be set up: %w", err)
	}
	if c.alone {
		if _, err := c.pool.Exec(ctx, leftSQL); err != nil {
			return fmt.Errorf("what was left half done cannot be taken up: %w", err)
		}
	}
	if err := client.Start(ctx); err != nil {
		return fmt.Errorf("the jobs cannot start: %w", err)
	}
	c.client = client
	look, end := context.WithCancel(ctx)
	c.end = end
	c.looking.Go(func() { c.watch(look) })
	return nil
}

// Stop lets what is being done end, for ten seconds; what does not is broken off, and
// done anew at the next start.
func (c *Crew) Stop(ctx context.Context) error {
	if c.client == nil {
		return nil
	}
	c.end()
	c.looking.Wait()
	ctx, cancel := context.WithTimeout(ctx, 2*stopWithin)
	defer cancel()
	if err := c.client.Stop(ctx); err != nil && !errors.Is(err, context.Canceled) {
		return fmt.Errorf("the jobs did not end in time: %w", err)
	}
	return nil
}

// config is River's.
func (c *Crew) config() *river.Config {
	workers := river.NewWorkers()
	river.AddWorker(workers, &letterWorker{post: c.post})
	river.AddWorker(workers, &waysInWorker{post: c.post})
	river.AddWorker(workers, &errandWorker{errands: c.errands})
	watch, rest := &failed{c.log, c.told}, fetchRest
	if c.hasty {
		rest = time.Millisecond
	}
	return &river.Config{
		Schema: schema, Workers: workers, PeriodicJobs: c.periodic(),
		Queues: map[string]river.QueueConfig{mailQueue: {MaxWorkers: letterHands}, houseQueue: {MaxWorkers: errandHands}},
		// River's own log says more than ours may; what matters of it, failed tells.
		Logger: slog.New(errorsOnly{c.log.Handler()}), ErrorHandler: watch,
		Middleware: []rivertype.Middleware{river.WorkerMiddlewareFunc(watch.contain)},
		JobTimeout: workWithin, RescueStuckJobsAfter: rescueAfter, SoftStopTimeout: stopWithin, FetchPollInterval: listenRetry,
		CompletedJobRetentionPeriod: remember, CancelledJobRetentionPeriod: remember,
		ReindexerSchedule: river.NeverSchedule(), // only a table's owner may, and the program owns none
		TestOnly:          c.hasty, FetchCooldown: rest,
	}
}

// periodic asks for each errand often; that it is run once in each turn is a matter of
// its uniqueness.
func (c *Crew) periodic() []*river.PeriodicJob {
	var all []*river.PeriodicJob
	for name, r := range c.errands {
		due := func() (river.JobArgs, *river.InsertOpts) {
			return errand{Name: name, Turn: r.turn(c.now())}, nil
		}
		all = append(all, river.NewPeriodicJob(river.PeriodicInterval(min(askOften, r.every)), due, &river.PeriodicJobOpts{ID: name, RunOnStart: true}))
	}
	return all
}
