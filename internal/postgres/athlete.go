package postgres

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5/pgconn"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// standingColumns are those of a standing, as readStanding reads them.
const (
	standingColumns = `a.pathway_id, a.phase, a.phase_since, a.last_passed, a.held, a.held_since, a.cleared_on, a.cleared_at, a.injured_on`
	athleteColumns  = `a.club_id, a.athlete_id, a.coach_id, a.name, a.email, a.birth_year, a.zone, a.sessions_a_week, a.heart_usable, a.max_formula, ` +
		standingColumns + `, a.arrival, coalesce(a.arrival_since, a.joined_on), a.check_since, a.available, a.coach_word, a.joined_on, a.left_at, a.mail_refused_at, a.version, ` +
		`a.run_group_id, a.strength_week, a.strength_legs, a.week_version`
)

func readStanding(c *cells) roster.Standing {
	return roster.Standing{
		Pathway: roster.PathwayID(c.integer()), Phase: c.text(), PhaseSince: c.date(), LastPassed: c.text(),
		Held: roster.Held(c.text()), HeldSince: c.date(), ClearedOn: c.date(), ClearedAt: c.instant(), InjuredOn: c.date(),
	}
}

func readAthlete(c *cells) roster.Athlete {
	return roster.Athlete{
		Club: roster.ClubID(c.integer()), ID: roster.AthleteID(c.integer()), Coach: roster.CoachID(c.integer()), Name: c.text(), Email: c.text(),
		BirthYear: int(c.integer()), Zone: c.text(), SessionsAWeek: int(c.integer()), HeartUsable: c.truth(),
		Formula: c.formula(), Standing: readStanding(c),
		Arrival: roster.Arrival(c.text()), ArrivalSince: c.date(), CheckSince: c.date(), Available: roster.Available(c.integer()),
		CoachWord: c.text(), JoinedOn: c.date(), LeftAt: c.instant(), MailRefused: c.instant(), Version: int(c.integer()),
		Group: roster.GroupID(c.integer()), Strength: int(c.integer()), Legs: int(c.integer()), WeekVersion: int(c.integer()),
	}
}

// standingValues are the values of standingColumns.
func standingValues(s *roster.Standing) []any {
	return []any{
		int64(s.Pathway), s.Phase, dateOrNull(s.PhaseSince), s.LastPassed, string(s.Held), dateOrNull(s.HeldSince),
		dateOrNull(s.ClearedOn), orNull(s.ClearedAt), dateOrNull(s.InjuredOn),
	}
}

const athleteSQL = `select ` + athleteColumns + ` from athlete a where a.club_id = $1 and a.athlete_id = $2`

// Athlete is one athlete of the club, or fault.NotFound.
func (s *Store) Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error) {
	return askOne(ctx, s, club, readAthlete, athleteSQL, club, id)
}

const goneSQL = `select ` + athleteColumns + ` from athlete a where a.club_id = $1 and a.left_at is not null
order by a.name collate "und-x-icu", a.athlete_id`

// Gone are the athletes who left the club, by name.
func (s *Store) Gone(ctx context.Context, club roster.ClubID) ([]roster.Athlete, error) {
	return ask(ctx, s, club, readAthlete, goneSQL, club)
}

var addSQL = `
with changed as (
  insert into athlete (club_id, key, name, email, birth_year, zone, sessions_a_week, heart_usable, pathway_id, phase, phase_since,
    last_passed, held, held_since, cleared_on, cleared_at, injured_on, coach_word, joined_on, left_at, arrival, arrival_since, coach_id)
  values ($1, $4, $5, $6, nullif($7::int, 0), $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $21,
    (select nullif($2::bigint, 0) from club k where k.club_id = $1 and k.own_only))
  on conflict (club_id, key) do nothing
  returning athlete_id as id
), asked as (
  insert into health_check (club_id, athlete_id, form, source, by_coach, asked_on, asked_by, begun_at, handed_at, handed_on, seen_at, seen_by)
  select $1, changed.id, $24, 'paper', $2, $25, $26, $27, $27, $21, $27, $2 from changed where $25::date is not null
), ` + audited("athlete.add") + `
select id from changed`

const athleteOfKeySQL = `select athlete_id from athlete where club_id = $1 and key = $2`

// Add stores a new athlete, and that a coach asked the health questions on paper,
// if one did; the same key again gives the ID of then.
func (s *Store) Add(ctx context.Context, who roster.Actor, a roster.Athlete, asked roster.HealthCheck, key roster.Key) (roster.AthleteID, error) {
	values := args(who, string(key), a.Name, a.Email, a.BirthYear, a.Zone, a.SessionsAWeek, a.HeartUsable)
	values = append(values, standingValues(&a.Standing)...)
	values = append(values, a.CoachWord, dateOrNull(a.JoinedOn), orNull(a.LeftAt), string(a.Arrival))
	values = append(values, max(asked.Form, 1), dateOrNull(asked.AskedOn), asked.AskedBy, asked.HandedAt)
	return once[roster.AthleteID](ctx, s, who.Club, addSQL, values, athleteOfKeySQL, who.Club, string(key))
}

// once runs a statement that stores a row unless its key is there, and gives the
// row's ID either way.
func once[T ~int64](ctx context.Context, s *Store, club roster.ClubID, store string, values []any, find string, key ...any) (T, error) {
	id, err := askOne(ctx, s, club, readID[T], store, values...)
	if fault.KindOf(err) != fault.NotFound || errors.As(err, new(*pgconn.PgError)) {
		return id, err
	}
	return askOne(ctx, s, club, readID[T], find, key...)
}

var changeSQL = `
with changed as (
  update athlete set name = $5, email = $6, birth_year = nullif($7::int, 0), zone = $8, sessions_a_week = $9, heart_usable = $10,
    coach_word = $11, injured_on = $12, mail_refused_at = case when email = $6 then mail_refused_at end, version = version + 1
  where club_id = $1 and athlete_id = $4 and version = $13
  returning athlete_id as id
), ` + audited("athlete.change") + `
select id from changed`

// Change replaces what a coach may change, if the version still is the one given.
func (s *Store) Change(ctx context.Context, who roster.Actor, a roster.Athlete) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], changeSQL, args(who, a.ID, a.Name, a.Email, a.BirthYear, a.Zone,
		a.SessionsAWeek, a.HeartUsable, a.CoachWord, dateOrNull(a.InjuredOn), a.Version)...)
	if fault.KindOf(err) != fault.NotFound {
		return err
	}
	if _, err := s.Athlete(ctx, who.Club, a.ID); err != nil {
		return err
	}
	return conflict()
}

var (
	leaveClubSQL = `
with changed as (
  update athlete set left_at = $5, version = version + 1 where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + audited("athlete.leave") + `
select id from changed`

	returnToClubSQL = `
with changed as (
  update athlete set left_at = $5, version = version + 1 where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + audited("athlete.return") + `
select id from changed`
)

const endLoginsSQL = `update login set ended_at = now() where club_id = $1 and athlete_id = $2 and ended_at is null`

// Leave marks the athlete as gone at the instant (zero: is back) and ends their
// logins and the address of their calendar.
func (s *Store) Leave(ctx context.Context, who roster.Actor, id roster.AthleteID, at time.Time) error {
	sql := leaveClubSQL
	if at.IsZero() {
		sql = returnToClubSQL
	}
	var found bool
	b := batch(who.Club)
	one(b, new(roster.AthleteID), &found, readID[roster.AthleteID], sql, args(who, id, orNull(at))...)
	b.Queue(endLoginsSQL, who.Club, id)
	b.Queue(endCalendarsSQL, who.Club, id)
	if err := s.send(ctx, b); err != nil || found {
		return err
	}
	return notFound()
}
