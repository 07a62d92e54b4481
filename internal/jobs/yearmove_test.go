package jobs

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/smtpd"
)

// olderSQL lets River's rows grow older, but for those of work that is done, which River
// only notes four times a second.
const olderSQL = `update river.river_job set created_at = created_at - $1::interval, scheduled_at = scheduled_at - $1::interval,
  attempted_at = attempted_at - $1::interval, finalized_at = finalized_at - $1::interval
where state <> 'running' or attempted_by[array_upper(attempted_by, 1)] = any ($2)`

// wakeSQL has the programs choose who leads, and look for work, as they do every few
// seconds by themselves.
const wakeSQL = `with told as (
  select pg_notify('river.river_leadership', '{"action": "request_resign", "leader_id": "test"}'), pg_notify('river.river_leadership', '{"action": "resigned", "leader_id": "test"}'),
    pg_notify('river.river_insert', '{"queue": "mail"}'), pg_notify('river.river_insert', '{"queue": "default"}'))
select count(*) from told`

// pass lets time pass until the instant; it begins a new turn of the errand.
func (y *year) pass(to time.Time) {
	by := max(to.Sub(y.clock.now()), turnOfLetters)
	y.clock.set(y.t, y.clock.now().Add(by))
	require.NoError(y.t, pgx.BeginFunc(y.t.Context(), y.admin, func(tx pgx.Tx) error {
		if _, err := tx.Exec(y.t.Context(), "lock table river.river_job in share row exclusive mode"); err != nil {
			return err
		}
		_, err := tx.Exec(y.t.Context(), olderSQL, by, y.dead())
		return err
	}))
	y.tally.moves++
}

func (y *year) wake() { y.count(wakeSQL) }

// nudgeSQL has the programs look for work. Of letters that are written within a moment
// River announces the first alone; the others are found when somebody looks, which is
// every few seconds.
const nudgeSQL = `with told as (select pg_notify('river.river_insert', '{"queue": "mail"}'), pg_notify('river.river_insert', '{"queue": "default"}'))
select count(*) from told`

// sweep does what a server does by itself where it is not one for tests: what River has
// changed and removed lies about, and every look of a whole year would read past it.
func (y *year) sweep() {
	_, err := y.admin.Exec(y.t.Context(), "vacuum analyze river.river_job, river.river_leader")
	require.NoError(y.t, err)
}

// alive says whether any program works.
func (y *year) alive() bool { return y.programs[0] != nil || y.programs[1] != nil }

// busySQL is the work that somebody is at, and whether there is any that could be
// begun; the errand of this turn is, until there is a job of it.
const busySQL = `select coalesce(array_agg(job_id::text) filter (where state = 'running' and not attempted_by[array_upper(attempted_by, 1)] = any ($1)), '{}'),
  coalesce(bool_or(state = 'available' and scheduled_at <= now() + interval '50 ms'), false) or not coalesce(bool_or(kind = 'errand' and args->>'turn' = $2), false)
from (select id as job_id, * from river.river_job) j`

// busy says whether there is something that could be done now and is not yet. It looks
// twice: what was done since the first time may have left more to do.
func (y *year) busy() bool {
	for range 2 {
		if y.seemsBusy() {
			return true
		}
	}
	return false
}

// dead are the programs that were killed, by their names to River.
func (y *year) dead() []string { return slices.AppendSeq([]string{}, maps.Keys(y.gone)) }

func (y *year) seemsBusy() bool {
	var running []string
	var could bool
	require.NoError(y.t, y.admin.QueryRow(y.t.Context(), busySQL, y.dead(), y.turn()).Scan(&running, &could))
	for _, job := range running {
		_, done := y.done.Load(job)
		could = could || !done
	}
	return could
}

// calm waits until there is nothing that could be done now, and says what must have
// followed by then.
func (y *year) calm() {
	if !y.alive() {
		return
	}
	for {
		y.eventuallyCalm()
		if y.looked() {
			break
		}
		y.pass(y.clock.now()) // whoever was about to look was killed: another does at the next turn
		y.wake()
	}
	y.eventuallyCalm()
	for _, r := range y.readers {
		r.look(y.clock.now())
	}
	y.open()
	refuse := ""
	y.server.Set(func(o *smtpd.Options) { refuse = o.Refuse })
	for _, r := range y.readers {
		r.refused = r.refused || r.address == refuse && r.waits(y.came, y.clock.now())
	}
}

// lookSQL is the work of looking whose letter is due, in this turn.
const lookSQL = `select id from river.river_job where kind = 'errand' and args->>'turn' = $1`

// looked says whether the errand of this turn was done.
func (y *year) looked() bool {
	_, done := y.done.Load(strconv.Itoa(y.count(lookSQL, y.turn())))
	return done
}

func (y *year) turn() string { return regular{every: turnOfLetters}.turn(y.clock.now()) }

func (y *year) eventuallyCalm() { y.await(nil) }

// How long it is, at most, until it is looked again whether there is something to do,
// and how often that is until the programs are nudged, and until they are woken. Looking
// costs what the programs need to work.
const (
	restMost   = 20 * time.Millisecond
	nudgeAfter = 3
	wakeAfter  = 400 * time.Millisecond
)

// await lets the programs work until something comes that is waited for, of which it says
// so, or there is nothing left to do.
func (y *year) await(what <-chan struct{}) bool {
	tick := time.NewTicker(restMost)
	defer tick.Stop()
	woken, rests := time.Now(), 0
	for began := woken; y.busy(); {
		require.Less(y.t, time.Since(began), 30*time.Second, "the programs do not come to rest")
		select {
		case <-what:
			return true
		case <-y.news:
		case <-tick.C:
			rests++
		}
		switch {
		case time.Since(woken) > wakeAfter: // a program that just began has not heard of it
			y.wake()
			woken = time.Now()
		case rests == nudgeAfter:
			y.count(nudgeSQL)
			rests = 0
		}
	}
	return false
}

// begin starts the programs that are not there.
func (y *year) begin() {
	if y.programs[0] != nil && y.programs[1] != nil {
		return
	}
	y.start(0)
	y.start(1)
	y.wake()
	y.calm()
}

// move lets time pass, and whoever is there does what is to be done.
func (y *year) move(to time.Time) {
	y.pass(to)
	y.wake()
	y.calm()
}

// open looks at what the server took since the last time.
func (y *year) open() {
	taken := y.server.Taken()
	for _, m := range taken[y.seen:] {
		week := weekLine.FindStringSubmatch(m.Body)
		if week == nil { // one that a coach asked for
			continue
		}
		monday, err := day.Parse(week[1])
		require.NoError(y.t, err)
		y.letter(letterOf{m.To[0], monday}, m)
	}
	y.seen = len(taken)
}

// letter is one that came. A second one is allowed where a program was killed with it
// in its hands, and is the same to the last byte.
func (y *year) letter(of letterOf, m smtpd.Taken) {
	id := idLine.FindStringSubmatch(m.Body)
	require.NotNil(y.t, id, m.Body)
	y.came[of]++
	if y.came[of] == 1 {
		y.first[of] = m.Body
		return
	}
	y.tally.repeats++
	number, err := strconv.ParseInt(id[1], 10, 64)
	require.NoError(y.t, err)
	require.LessOrEqual(y.t, y.came[of], 1+y.spare[roster.LetterID(number)], "%s: once more than there were kills", of)
	require.Equal(y.t, y.first[of], m.Body, "a repeat is the same letter")
}

// nextSQL is when the next piece of work that waits has its turn; that of some coaches
// does not count.
const nextSQL = `select count(*), coalesce(extract(epoch from min(case when j.state = 'running' then j.attempted_at + case j.kind when 'letter' then $2::interval else $4::interval end else j.scheduled_at end) - now())::bigint, 0)
from river.river_job j left join letter l on j.kind = 'letter' and l.letter_id = (j.args->>'letter')::bigint
where (j.state in ('available', 'retryable', 'scheduled') or j.state = 'running' and j.attempted_by[array_upper(j.attempted_by, 1)] = any ($3)) and not coalesce(l.coach_id = any ($1), false)`

// left is how many pieces of work wait, and how long the next of them does; those of
// coaches with whose letters something is wrong do not count.
func (y *year) left() (n int, wait time.Duration) {
	now, stuck := y.clock.now(), []int64{}
	for _, r := range y.readers {
		if trouble(r.name, now) != "" {
			stuck, r.lastTrouble = append(stuck, int64(r.id)), now
		}
	}
	var seconds int64
	require.NoError(y.t, y.admin.QueryRow(y.t.Context(), nextSQL, stuck, LetterWithin+time.Second, y.dead(), errandWithin+time.Second).Scan(&n, &seconds))
	return n, time.Duration(seconds+1) * time.Second
}

// takeUp lets the minutes pass in which others take up what a program that was killed
// had in its hands.
func (y *year) takeUp() {
	for range 10 {
		n, wait := y.left()
		if n == 0 || wait > 2*LetterWithin {
			return
		}
		y.move(y.clock.now().Add(wait))
	}
}

// settle lets as much time pass as is needed until there is nothing left to try, for
// all whose letters can go; then everything that must have come has.
func (y *year) settle() {
	if !y.alive() {
		y.begin()
	}
	for n, wait := y.left(); n > 0; n, wait = y.left() {
		y.move(y.clock.now().Add(wait))
	}
	y.check()
}

// check holds what came against what must have come.
func (y *year) check() {
	now := y.clock.now()
	wanted := 0
	for _, r := range y.readers {
		if trouble(r.name, now) != "" {
			r.lastTrouble = now
		}
		r.giveUp(y.came, now, y.trouble)
		for week, e := range r.due {
			came := y.came[letterOf{r.address, week}] > 0
			switch {
			case e.lost:
				require.False(y.t, came, "%s, week of %s: it was too late", r.name, week)
				continue
			case trouble(r.name, now) == "" && !came: // the papers are asked for where they are needed alone: that is two statements
				require.Fail(y.t, "a letter did not come", "%s, week of %s: due, written at %s\n%s", r.name, week, e.at, y.papers(r.id))
			}
			if came {
				wanted++
			}
		}
	}
	for of := range y.came {
		known := false
		for _, r := range y.readers {
			known = known || r.address == of.address && r.due[of.week] != nil
		}
		require.True(y.t, known, "%s, week of %s: was not due", of.address, of.week)
	}
	require.Equal(y.t, wanted, len(y.came), "no letter came that was not due")
}

// papersSQL is what is known of a coach's letters.
const papersSQL = `select coalesce(string_agg(concat_ws(' | ', l.letter_id, l.week, l.made_at, l.sent_at, l.dropped_for, j.state, j.attempt, j.scheduled_at - now(), j.attempted_at - now(), j.attempted_by::text, j.errors::text), E'\n' order by l.letter_id), '')
from letter l left join river.river_job j on j.kind = 'letter' and (j.args->>'letter')::bigint = l.letter_id where l.coach_id = $1`

func (y *year) papers(id roster.CoachID) (all string) {
	require.NoError(y.t, y.admin.QueryRow(y.t.Context(), papersSQL, id).Scan(&all))
	return fmt.Sprintf("next %d\n%s", y.count("select coalesce(extract(epoch from letter_next)::bigint, 0) from coach where coach_id = $1", id), all)
}
