package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

const (
	askedSQL = `select e.asked_at from erasure e where e.club_id = $1 and e.athlete_id = $2`

	askingSQL = `select e.athlete_id, a.name, a.coach_id, e.asked_at
from erasure e join athlete a on a.club_id = e.club_id and a.athlete_id = e.athlete_id
where e.club_id = $1 order by e.asked_at, e.athlete_id`
)

// Asked is when the athlete asked to be erased; zero: did not.
func (s *Store) Asked(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (time.Time, error) {
	at, err := askOne(ctx, s, club, (*cells).instant, askedSQL, club, athlete)
	if fault.KindOf(err) == fault.NotFound {
		err = nil
	}
	return at, err
}

func readAsking(c *cells) privacy.Asking {
	return privacy.Asking{Athlete: roster.AthleteID(c.integer()), Name: c.text(), Coach: roster.CoachID(c.integer()), At: c.instant()}
}

// Asking are all of the club who asked, the longest waiting first.
func (s *Store) Asking(ctx context.Context, club roster.ClubID) ([]privacy.Asking, error) {
	return ask(ctx, s, club, readAsking, askingSQL, club)
}

var (
	askErasureSQL = `
with changed as (
  insert into erasure (club_id, athlete_id, asked_at) values ($1, $4, $5)
  on conflict (club_id, athlete_id) do nothing
  returning athlete_id as id
), ` + audited("erasure.ask") + `
select id from changed`

	takeBackErasureSQL = `
with changed as (
  delete from erasure where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + audited("erasure.take_back") + `
select id from changed`
)

// AskErasure keeps that the athlete asked; asked again, the first time stays.
func (s *Store) AskErasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, at time.Time) error {
	b := batch(who.Club)
	b.Queue(askErasureSQL, args(who, athlete, at)...)
	return s.send(ctx, b)
}

// TakeBackErasure forgets that the athlete asked, or is fault.NotFound.
func (s *Store) TakeBackErasure(ctx context.Context, who roster.Actor, athlete roster.AthleteID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], takeBackErasureSQL, args(who, athlete)...)
	return err
}

var (
	eraseSQL = `
with changed as materialized (select keeper_erase($4, $5) as id), ` + audited("athlete.erase") + `
select id from changed`

	// Taking it back removes the same row, and coming back changes the same row: of two
	// at one moment the second finds what the first left.
	eraseAskedSQL = `
with due as (
  delete from erasure where club_id = $1 and athlete_id = $4 and asked_at = $6
  returning athlete_id
), ` + eraseDueSQL

	eraseLeftSQL = `
with due as (
  update athlete set version = version + 1 where club_id = $1 and athlete_id = $4 and left_at = $6
  returning athlete_id
), ` + eraseDueSQL

	eraseWaitingSQL = `
with due as (
  update athlete set version = version + 1 where club_id = $1 and athlete_id = $4 and arrival <> 'here' and left_at is null and version = $6
  returning athlete_id
), ` + eraseDueSQL

	eraseDueSQL = `
changed as materialized (select keeper_erase(due.athlete_id, $5) as id from due), ` + audited("athlete.erase") + `
select id from changed`
)

// Erase removes every row about the athlete, all or nothing, and counts what may be
// counted. Where there is no such athlete it is fault.NotFound.
func (s *Store) Erase(ctx context.Context, who roster.Actor, athlete roster.AthleteID, year int) error {
	return s.erase(ctx, eraseSQL, who, athlete, year)
}

// EraseDue is the same where the reason still holds.
func (s *Store) EraseDue(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, year int, why privacy.Reason) error {
	who := roster.Actor{Club: club}
	if !why.Asked.IsZero() {
		return s.erase(ctx, eraseAskedSQL, who, athlete, year, why.Asked)
	}
	if why.Waiting != 0 {
		return s.erase(ctx, eraseWaitingSQL, who, athlete, year, why.Waiting)
	}
	return s.erase(ctx, eraseLeftSQL, who, athlete, year, why.Left)
}

func (s *Store) erase(ctx context.Context, sql string, who roster.Actor, others ...any) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], sql, args(who, others...)...)
	var refused *pgconn.PgError
	if errors.As(err, &refused) && refused.Code == "23503" {
		// A row that refers to what went is left: a fault of the program, and never
		// to be taken for somebody who is not there.
		return fmt.Errorf("an athlete could not be erased: %s", refused.Message)
	}
	return err
}

const (
	keepingSQL = `select k.keep_months, k.keep_since, k.waiting_since from club k where k.club_id = $1`

	// What was heard last: a step of coming in, a login, or until when a link worked.
	waitingSQL = `select ` + athleteColumns + `, greatest(coalesce(a.arrival_since, a.joined_on)::timestamp at time zone 'UTC',
  (select max(l.seen_at) from login l where l.club_id = a.club_id and l.athlete_id = a.athlete_id),
  (select max(c.expires_at) from code c where c.club_id = a.club_id and c.athlete_id = a.athlete_id))
from athlete a where a.club_id = $1 and a.arrival <> 'here' and a.left_at is null
  and not exists (select from session s where s.club_id = a.club_id and s.athlete_id = a.athlete_id and s.kind in ('planned', 'strength'))
order by a.name collate "und-x-icu", a.athlete_id`

	talliesSQL = `select t.year, t.erased, t.sessions, t.run_minutes, t.reached from tally t where t.club_id = $1 order by t.year`

	clubsSQL = `select door_clubs()`
)

var setKeepingSQL = `
with changed as (
  update club set keep_months = $4, keep_since = $5 where club_id = $1
  returning club_id as id
), ` + audited("club.keep") + `
select id from changed`

func readKeeping(c *cells) privacy.Keeping {
	return privacy.Keeping{Months: int(c.integer()), Since: c.instant(), WaitingSince: c.instant()}
}

// Keeping is how long those who left are kept.
func (s *Store) Keeping(ctx context.Context, club roster.ClubID) (privacy.Keeping, error) {
	return askOne(ctx, s, club, readKeeping, keepingSQL, club)
}

// SetKeeping changes how long those who left are kept.
func (s *Store) SetKeeping(ctx context.Context, who roster.Actor, k privacy.Keeping) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.ClubID], setKeepingSQL, args(who, k.Months, k.Since)...)
	return err
}

func readWaiter(c *cells) privacy.Waiter {
	return privacy.Waiter{Athlete: readAthlete(c), Last: c.instant()}
}

// Waiting are those who are coming in and never trained, by name.
func (s *Store) Waiting(ctx context.Context, club roster.ClubID) ([]privacy.Waiter, error) {
	return ask(ctx, s, club, readWaiter, waitingSQL, club)
}

func readTally(c *cells) privacy.Tally {
	return privacy.Tally{
		Year: int(c.integer()), Erased: int(c.integer()), Sessions: int(c.integer()), RunMinutes: int(c.integer()), Reached: int(c.integer()),
	}
}

// Tallies are the counts of those who were erased, the oldest year first.
func (s *Store) Tallies(ctx context.Context, club roster.ClubID) ([]privacy.Tally, error) {
	return ask(ctx, s, club, readTally, talliesSQL, club)
}

// EveryClub gives the numbers of all clubs.
func (s *Store) EveryClub(ctx context.Context) ([]roster.ClubID, error) {
	rows, err := s.pool.Query(ctx, clubsSQL)
	if err != nil {
		return nil, translate(err)
	}
	all, err := pgx.CollectRows(rows, pgx.RowTo[roster.ClubID])
	return all, translate(err)
}
