package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
)

var (
	moveSQL = `
with changed as (
  update athlete set pathway_id = $5, phase = $6, phase_since = $7, last_passed = $8, held = $9, held_since = $10, cleared_on = $11, cleared_at = $12,
    injured_on = $13, birth_year = nullif($14::int, 0), sessions_a_week = $15, heart_usable = $16, arrival = $17, arrival_since = $18,
    check_since = $19, available = $20, joined_on = $21, version = version + 1
  where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + auditedAs("$22") + `
select id from changed`

	refersSQL = `
with changed as (select $4::bigint as id), ` + audited("athlete.refer") + `
select id from changed`
)

// Move carries out a step of coming in. Two at once come one after the other, and
// the second finds the version changed.
func (s *Store) Move(ctx context.Context, who roster.Actor, m join.Move) error {
	return s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		a, err := row(ctx, tx, readAthlete, lockAthleteSQL, who.Club, m.Athlete.ID)
		if err != nil {
			return err
		}
		if a.Version != m.Athlete.Version {
			return conflict()
		}
		if !m.WithdrawnAt.IsZero() {
			if err := endConsent(ctx, tx, who, a.ID, "", m.WithdrawnAt, "consent.withdraw"); err != nil {
				return err
			}
		}
		if err := agree(ctx, tx, who, m.Consents); err != nil {
			return err
		}
		if !m.Check.BegunAt.IsZero() {
			if err := keepCheck(ctx, tx, who, &m.Check); err != nil {
				return err
			}
		}
		if m.Measured.Kind != "" {
			if _, err := tx.Exec(ctx, measureSQL, measureValues(who, &m.Measured)...); err != nil {
				return err
			}
		}
		if err := move(ctx, tx, who, &m); err != nil {
			return err
		}
		if a.Arrival != roster.Here && m.Athlete.Arrival == roster.Here {
			if err := s.tellTaken(ctx, tx, who, &m.Athlete); err != nil {
				return err
			}
		}
		return s.alarm(ctx, tx, who, a.ID, 0, m.Alarm, m.Check.HandedAt)
	})
}

// move writes the athlete as he or she stands afterwards.
func move(ctx context.Context, tx pgx.Tx, who roster.Actor, m *join.Move) error {
	a := &m.Athlete
	values := append(args(who, a.ID), standingValues(&a.Standing)...)
	values = append(values, a.BirthYear, a.SessionsAWeek, a.HeartUsable, string(a.Arrival), dateOrNull(a.ArrivalSince), dateOrNull(a.CheckSince),
		int32(a.Available), dateOrNull(a.JoinedOn), m.Change)
	if _, err := row(ctx, tx, readID[roster.AthleteID], moveSQL, values...); err != nil {
		return err
	}
	if m.Refers {
		_, err := row(ctx, tx, readID[roster.AthleteID], refersSQL, args(who, a.ID)...)
		return err
	}
	return nil
}
