package jobs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/rivertype"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

func TestALetterIsSentWhenItsTransactionHolds(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.write("ivo@example.org")
	err := pgx.BeginFunc(t.Context(), h.db.Pool(), func(tx pgx.Tx) error {
		work, err := NewErrands()
		require.NoError(t, err)
		require.NoError(t, work.Letter(t.Context(), tx, h.club, 987654, time.Time{}))
		return errors.New("never mind")
	})
	require.Error(t, err)
	require.Equal(t, 1, h.count("select count(*) from river.river_job"), "what was rolled back leaves no work")
	h.crew()
	h.eventually(func() bool { return h.count("select count(*) from letter where sent_at is not null") == 1 }, "sent")
	require.Len(t, h.carrier.all(), 1)
	require.NotContains(t, h.log.String(), "example.org")
}

// What is kept of the work beside the club's own rows: numbers, and nothing else.
func TestJobsHoldNumbersOnly(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.write("ivo@example.org")
	require.NoError(t, h.store.AskWayIn(t.Context(), "mara@example.org"))
	require.NoError(t, h.store.AskWayIn(t.Context(), "nobody@example.org"))
	rows, err := h.admin.Query(t.Context(), "select args::text from river.river_job order by id")
	require.NoError(t, err)
	all, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(t, err)
	require.Len(t, all, 3, "for nobody there is work too")
	for _, args := range all {
		var any map[string]any
		require.NoError(t, json.Unmarshal([]byte(args), &any))
		require.NotRegexp(t, `[@]|Mara|Harbour`, args)
	}
	require.JSONEq(t, fmt.Sprintf(`{"people": [{"club": %d, "coach": %d}]}`, h.club, h.owner.Coach), all[1])
	require.JSONEq(t, `{"people": []}`, all[2])
}

func TestEachWorkerTwiceIsOnce(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.write("ivo@example.org")
	id := roster.LetterID(h.count("select letter_id from letter"))
	letters := &letterWorker{post: h.post}
	for range 2 {
		require.NoError(t, letters.Work(t.Context(), &river.Job[letter]{JobRow: &rivertype.JobRow{Attempt: 1, MaxAttempts: tries}, Args: letter{h.club, id}}))
	}
	require.Equal(t, []roster.LetterID{id}, h.carrier.all())

	ways := &waysInWorker{post: h.post}
	for range 2 {
		require.NoError(t, ways.Work(t.Context(), &river.Job[waysIn]{JobRow: &rivertype.JobRow{ID: 7}, Args: waysIn{[]person{{Club: h.club, Coach: h.owner.Coach}}}}))
		require.NoError(t, ways.Work(t.Context(), &river.Job[waysIn]{JobRow: &rivertype.JobRow{ID: 8}}))
	}
	require.Equal(t, 1, h.count("select count(*) from letter where kind = 'way_in'"))
	require.Equal(t, 2, h.count("select count(*) from river.river_job where kind = 'letter'"))
}

func TestARefusedAddressEndsIt(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.carrier.carry = func(context.Context, *post.Mail) error { return post.ErrRefused }
	h.write("ivo@example.org")
	h.crew()
	h.eventually(func() bool { return h.count("select count(*) from river.river_job where state = 'cancelled'") == 1 }, "given up")
	require.Equal(t, 1, h.count("select count(*) from letter where dropped_for = 'refused'"))
	require.Equal(t, 1, h.count("select attempt from river.river_job"), "tried once")
	require.Contains(t, h.log.String(), "was given up")
	require.NotContains(t, h.log.String(), "ivo@")
}

func TestWhatFailsIsTriedAgainAndThenNoted(t *testing.T) {
	t.Parallel()
	h := open(t)
	var n atomic.Int32
	h.carrier.carry = func(context.Context, *post.Mail) error {
		if n.Add(1) == 1 {
			return errors.New("the mail server did not answer in time")
		}
		return nil
	}
	h.write("ivo@example.org")
	c := h.crew()
	h.eventually(func() bool { return h.count("select count(*) from letter where sent_at is not null") == 1 }, "the second time")
	require.Contains(t, h.log.String(), "did not answer in time")

	require.NoError(t, c.Stop(t.Context())) // or it may be quicker than what follows
	h.write("uma@example.org")
	id := roster.LetterID(h.count("select max(letter_id) from letter"))
	lost := &letterWorker{post: &post.Service{Store: h.store, Carrier: failing{}, Link: h.post.Link, Now: time.Now}}
	require.Error(t, lost.Work(t.Context(), &river.Job[letter]{JobRow: &rivertype.JobRow{Attempt: tries, MaxAttempts: tries}, Args: letter{h.club, id}}))
	require.Equal(t, 1, h.count("select count(*) from letter where dropped_for = 'late' and letter_id = $1", id), "after the last try")
}

type failing struct{}

func (failing) Carry(context.Context, *post.Mail) error { return errors.New("never") }

// Pauses grow, and all tries together reach as far as any letter is worth sending.
func TestPausesGrow(t *testing.T) {
	t.Parallel()
	began, worker := time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC), &letterWorker{}
	last, whole, day := time.Duration(0), time.Duration(0), 0
	for attempt := 1; attempt < tries; attempt++ {
		next := worker.NextRetry(&river.Job[letter]{JobRow: &rivertype.JobRow{Attempt: attempt, AttemptedAt: &began}}).Sub(began)
		require.True(t, next > last || next == pauseMost, "after try %d", attempt)
		last, whole = next, whole+next
		if whole <= 24*time.Hour {
			day = attempt
		}
	}
	require.Equal(t, 15, day, "tries within a day")
	for _, k := range []post.Kind{post.WayIn, post.Invitation, post.CoachInvitation, post.Weekly, post.AtOnce, post.Decided, post.Monday, post.Gentle} {
		require.Greater(t, whole, k.Worth(), k)
	}
	require.Less(t, whole, 8*24*time.Hour)
}

func TestSeveralProgramsShareTheWork(t *testing.T) {
	t.Parallel()
	h := open(t)
	const letters = 20
	for i := range letters {
		h.write(fmt.Sprintf("coach-%d@example.org", i))
	}
	h.crew()
	h.crew()
	h.eventually(func() bool { return h.count("select count(*) from letter where sent_at is not null") == letters }, "all sent")
	require.Len(t, h.carrier.all(), letters, "each once")
}

// A program that is killed leaves its work marked as being done. Somebody takes it up
// again when no program could be at it any more.
func TestWorkOfAKilledProgramIsTakenUp(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.write("ivo@example.org")
	_, err := h.admin.Exec(t.Context(), `update river.river_job set state = 'running', attempt = 1, attempted_at = now() - $1::interval, attempted_by = '{gone}'`, LetterWithin+time.Second)
	require.NoError(t, err)
	h.crew()
	h.eventually(func() bool { return h.count("select count(*) from letter where sent_at is not null") == 1 }, "sent after all")
	require.Len(t, h.carrier.all(), 1)
}

func TestAProgramThatIsAloneTakesWorkUpAtOnce(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.write("ivo@example.org")
	_, err := h.admin.Exec(t.Context(), "update river.river_job set state = 'running', attempt = 1, attempted_at = now(), attempted_by = '{gone}'")
	require.NoError(t, err)
	h.crew((*Crew).Alone)
	h.eventually(func() bool { return h.count("select count(*) from letter where sent_at is not null") == 1 }, "sent at once")
}

func TestAStopWaitsForWhatIsBeingDone(t *testing.T) {
	t.Parallel()
	h := open(t)
	begun, go_ := make(chan struct{}), make(chan struct{})
	h.carrier.carry = func(ctx context.Context, _ *post.Mail) error {
		close(begun)
		select {
		case <-go_:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	h.write("ivo@example.org")
	c := h.crew()
	<-begun
	ended := make(chan error, 1)
	go func() { ended <- c.Stop(context.Background()) }()
	close(go_)
	require.NoError(t, <-ended)
	require.Equal(t, 1, h.count("select count(*) from letter where sent_at is not null"), "noted before the end")
	require.Equal(t, 1, h.count("select count(*) from river.river_job where state = 'completed'"))
}

func TestAnErrandIsRunOnceADay(t *testing.T) {
	t.Parallel()
	h := open(t)
	var runs atomic.Int32
	date := time.Date(2026, 4, 14, 23, 59, 0, 0, time.UTC)
	with := func(c *Crew) {
		c.now = func() time.Time { return date }
		c.Daily("sweep", func(context.Context) error {
			if runs.Add(1) == 1 {
				return errors.New("the first time it fails")
			}
			return nil
		})
	}
	first, second := h.crew(with), h.crew(with)
	done := func() bool {
		return h.count("select count(*) from river.river_job where kind = 'errand' and state = 'completed'") == 1
	}
	h.eventually(done, "done in the end")
	require.NoError(t, first.Stop(context.Background()))
	third := h.crew(with)
	h.write("ivo@example.org")
	h.eventually(func() bool { return len(h.carrier.all()) == 1 }, "time for others to run")
	require.EqualValues(t, 2, runs.Load(), "failed once, done once, by three programs")
	require.Equal(t, 1, h.count("select count(*) from river.river_job where kind = 'errand' and args->>'turn' = '2026-04-14T00:00'"))

	require.NoError(t, second.Stop(context.Background()))
	require.NoError(t, third.Stop(context.Background()))
	date = date.Add(time.Minute)
	h.crew(with)
	h.eventually(func() bool { return runs.Load() == 3 }, "the next day")
}

func TestAnErrandOfEachHour(t *testing.T) {
	t.Parallel()
	c := New(nil, nil, nil, func() time.Time { return time.Date(2026, 4, 14, 23, 59, 0, 0, time.FixedZone("east", 3600)) })
	c.Hourly("look", func(context.Context) error { return nil })
	c.Daily("sweep", func(context.Context) error { return nil })
	c.Every(5*time.Minute, "write", func(context.Context) error { return nil })
	require.Len(t, c.periodic(), 3)
	for name, turn := range map[string]string{"look": "2026-04-14T22:00", "sweep": "2026-04-14T00:00", "write": "2026-04-14T22:55"} {
		require.Equal(t, turn, c.errands[name].turn(c.now()), name)
	}
}

func TestAnErrandNobodyKnowsIsGivenUp(t *testing.T) {
	t.Parallel()
	w := &errandWorker{errands: map[string]regular{"sweep": {do: func(context.Context) error { return nil }}}}
	err := w.Work(t.Context(), &river.Job[errand]{JobRow: &rivertype.JobRow{}, Args: errand{"of another version", "2026-04-14"}})
	require.ErrorAs(t, err, new(*rivertype.JobCancelError))
	require.NoError(t, w.Work(t.Context(), &river.Job[errand]{JobRow: &rivertype.JobRow{}, Args: errand{"sweep", "2026-04-14"}}))
	require.Greater(t, w.Timeout(nil), workWithin)
}

func TestOverdueWorkIsSeen(t *testing.T) {
	t.Parallel()
	h := open(t)
	c := New(h.db.Pool(), h.post, slog.New(slog.NewTextHandler(h.log, nil)), time.Now)
	h.write("ivo@example.org")
	n, err := c.Overdue(t.Context())
	require.NoError(t, err)
	require.Zero(t, n, "just written")
	_, err = h.admin.Exec(t.Context(), "update river.river_job set scheduled_at = now() - $1::interval", overdueAfter+time.Second)
	require.NoError(t, err)
	n, err = c.Overdue(t.Context())
	require.NoError(t, err)
	require.Equal(t, 1, n)
	require.NoError(t, c.Stop(t.Context()), "one that was never started has nothing to end")
}

// Whoever panics says what it wants; the log says where it was.
func TestAPanicIsNotQuoted(t *testing.T) {
	t.Parallel()
	h := open(t)
	h.carrier.carry = func(context.Context, *post.Mail) error { panic("ivo@example.org is not to be had") }
	h.write("ivo@example.org")
	h.crew()
	h.eventually(func() bool { return strings.Contains(h.log.String(), "a job panicked") }, "said")
	require.NotContains(t, h.log.String(), "ivo@")
}
