package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// sessionColumns are those of a whole session, as sessionReader reads them.
const sessionColumns = `s.athlete_id, s.session_id, s.key, s.started_at, s.date, s.kind, s.phase, s.outcome, s.minutes, s.planned_minutes,
  s.effort, s.talk, s.breath, s.hot, s.limp, s.block_kinds, s.planned_s, s.done_s, s.settle_s, s.valid_s, s.heart_s, s.heart_low_s,
  s.heart_high_s, s.pain_asked, s.pain_site, s.pain_score, s.pain_morning, s.signs, s.note, s.logged_at, s.changed_at, s.by_coach, s.version,
  s.warm_up, s.cool_down, s.routine_id`

// logSQL stores a session unless its key, or its start and kind, are there. What
// is a domain of the database is named as the type below it, so that values travel
// in binary form.
var logSQL = `
with changed as (
  insert into session (club_id, athlete_id, started_at, date, kind, phase, outcome, minutes, planned_minutes, effort, talk, breath,
    hot, limp, block_kinds, planned_s, done_s, settle_s, valid_s, heart_s, heart_low_s, heart_high_s,
    pain_asked, pain_site, pain_score, pain_morning, signs, note, key, logged_at, changed_at, by_coach, version,
    warm_up, cool_down, routine_id)
  values ($1, $4, $5, $6, $7::text, $8::text, $9::text, $10::smallint, $11::smallint, $12::smallint, $13::text, $14::text,
    $15, $16, $17::text, $18::smallint[], $19::smallint[], $20::smallint[], $21::smallint[], $22::smallint[], $23::smallint[], $24::smallint[],
    $25, $26::text[], $27::smallint[], $28::smallint[], $29::text[], $30::text, $31::text, $32, $33, nullif($34::bigint, 0), 1,
    $35::text, $36::text, case when num_nonnulls($35::text, $36::text) > 0 then (select max(r.routine_id) from routine r where r.club_id = $1) end)
  on conflict do nothing
  returning session_id as id
), ` + audited("session.log") + `
select id from changed`

const sessionOfKeySQL = `select session_id from session where club_id = $1 and athlete_id = $2 and key = $3`

// Log stores the session with its audit line and its lifts, in one round trip; in several only where
// coaches are to be told of an alarm. When its place is taken another one tells by
// whom: the same key is the same session.
func (s *Store) Log(ctx context.Context, who roster.Actor, kept roster.Session, alarm roster.Alarm) (id roster.SessionID, again bool, err error) {
	id, stored, err := s.log(ctx, who, &kept, alarm)
	if err != nil || stored {
		return id, false, err
	}
	id, err = askOne(ctx, s, who.Club, readID[roster.SessionID], sessionOfKeySQL, who.Club, kept.Athlete, string(kept.Key))
	if fault.KindOf(err) == fault.NotFound {
		return 0, false, conflict() // another session of this instant and kind
	}
	return id, err == nil, err
}

// log stores the session, if its place is free.
func (s *Store) log(ctx context.Context, who roster.Actor, kept *roster.Session, alarm roster.Alarm) (id roster.SessionID, stored bool, err error) {
	if alarm == 0 {
		b := batch(who.Club)
		one(b, &id, &stored, readID[roster.SessionID], logSQL, logValues(who, kept)...)
		if len(kept.Lifts) > 0 {
			b.Queue(liftSQL, lifted(who.Club, kept)...)
		}
		return id, stored, s.send(ctx, b)
	}
	err = s.transact(ctx, who.Club, func(tx pgx.Tx) (err error) {
		id, stored, err = rowIf(ctx, tx, readID[roster.SessionID], logSQL, logValues(who, kept)...)
		if err != nil || !stored {
			return err
		}
		if len(kept.Lifts) > 0 {
			if _, err := tx.Exec(ctx, liftSQL, lifted(who.Club, kept)...); err != nil {
				return err
			}
		}
		return s.alarm(ctx, tx, who, kept.Athlete, id, alarm, kept.LoggedAt)
	})
	return id, stored, err
}

func logValues(who roster.Actor, s *roster.Session) []any {
	values := append(args(who), sessionValues(s)...)
	return append(values, string(s.Key), s.LoggedAt, orNull(s.ChangedAt), int64(s.ByCoach), textOrNull(string(s.WarmUp)), textOrNull(string(s.CoolDown)))
}

func readID[T ~int64](c *cells) T { return T(c.integer()) }

// correctSQL replaces what was told, if nobody did since.
var correctSQL = `
with changed as (
  update session set started_at = $5, date = $6, kind = $7::text, phase = $8::text, outcome = $9::text, minutes = $10::smallint,
    planned_minutes = $11::smallint, effort = $12::smallint, talk = $13::text, breath = $14::text, hot = $15, limp = $16,
    block_kinds = $17::text, planned_s = $18::smallint[], done_s = $19::smallint[], settle_s = $20::smallint[], valid_s = $21::smallint[],
    heart_s = $22::smallint[], heart_low_s = $23::smallint[], heart_high_s = $24::smallint[], pain_asked = $25, pain_site = $26::text[],
    pain_score = $27::smallint[], pain_morning = $28::smallint[], signs = $29::text[], note = $30::text, changed_at = $31,
    warm_up = $34::text, cool_down = $35::text, routine_id = case when num_nonnulls($34::text, $35::text) = 0 then null
      when num_nonnulls(warm_up, cool_down) > 0 then routine_id else (select max(r.routine_id) from routine r where r.club_id = $1) end,
    version = version + 1
  where club_id = $1 and athlete_id = $4 and session_id = $32 and version = $33
  returning session_id as id
), ` + audited("session.correct") + `
select id from changed`

// Correct replaces the session if its version is still the one given.
func (s *Store) Correct(ctx context.Context, who roster.Actor, kept roster.Session, alarm roster.Alarm) error {
	values := append(args(who), sessionValues(&kept)...)
	values = append(values, orNull(kept.ChangedAt), int64(kept.ID), kept.Version, textOrNull(string(kept.WarmUp)), textOrNull(string(kept.CoolDown)))
	if alarm != 0 {
		err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
			if _, err := row(ctx, tx, readID[roster.SessionID], correctSQL, values...); err != nil {
				return err
			}
			return s.alarm(ctx, tx, who, kept.Athlete, kept.ID, alarm, kept.ChangedAt)
		})
		return s.orConflict(0, err)
	}
	return s.orConflict(askOne(ctx, s, who.Club, readID[roster.SessionID], correctSQL, values...))
}

var deleteSQL = `
with changed as (
  delete from session where club_id = $1 and athlete_id = $4 and session_id = $5 and version = $6
  returning session_id as id
), ` + audited("session.delete") + `
select id from changed`

// Delete removes the session if its version is still the one given.
func (s *Store) Delete(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int) error {
	return s.orConflict(askOne(ctx, s, who.Club, readID[roster.SessionID], deleteSQL, args(who, athlete, id, version)...))
}

// orConflict turns a row that was not there as expected into a conflict.
func (s *Store) orConflict(_ roster.SessionID, err error) error {
	if fault.KindOf(err) == fault.NotFound {
		return conflict()
	}
	return err
}

const (
	sessionsSQL = `select ` + sessionColumns + ` from session s where s.club_id = $1 and s.athlete_id = $2
order by s.started_at desc, s.session_id desc`
	sessionSQL = `select ` + sessionColumns + ` from session s where s.club_id = $1 and s.athlete_id = $2 and s.session_id = $3`
)

// Sessions are all sessions of the athlete, the newest first.
func (s *Store) Sessions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Session, error) {
	return s.sessions(ctx, club, sessionsSQL, club, athlete)
}

// Session is one session of the athlete, or fault.NotFound.
func (s *Store) Session(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error) {
	all, err := s.sessions(ctx, club, sessionSQL, club, athlete, id)
	if err == nil && len(all) == 0 {
		err = notFound()
	}
	if err != nil {
		return roster.Session{}, err
	}
	return all[0], nil
}

func (s *Store) sessions(ctx context.Context, club roster.ClubID, sql string, args ...any) ([]roster.Session, error) {
	var all []roster.Session
	b := batch(club)
	b.Queue(sql, args...).Query(func(rows pgx.Rows) (err error) {
		all, err = readSessions(rows, nil)
		return err
	})
	return all, s.send(ctx, b)
}
