package postgres

import (
	"context"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const stopSQL = `select s.club_id, s.coach_id, s.athlete_id from door_stop($1) s`

// What somebody gets, and whether it still comes.
const (
	coachGetsSQL = `select case $3::text when 'weekly' then c.letter_on else c.at_once_on end
from coach c where c.club_id = $1 and c.coach_id = $2`
	athleteGetsSQL = `select case $3::text when 'decision' then a.mail_decisions when 'monday' then a.mail_monday else a.mail_gentle end
from athlete a where a.club_id = $1 and a.athlete_id = $2`
)

func readTruth(c *cells) bool { return c.truth() }

// toCoach says whether letters of the kind go to coaches.
func toCoach(k post.Kind) bool { return k == post.Weekly || k == post.AtOnce }

// Stoppable is whose letters of the kind the secret stops, whichever the club.
func (s *Store) Stoppable(ctx context.Context, secret string, k post.Kind) (post.Stoppable, error) {
	at := post.Stoppable{Kind: k}
	err := s.transact(ctx, doorstep, func(tx pgx.Tx) (err error) {
		if at.Person, err = row(ctx, tx, readPerson, stopSQL, secret); err != nil {
			return err
		}
		if toCoach(k) != (at.Coach != 0) {
			return notFound()
		}
		if err = enter(ctx, tx, at.Person.Club); err != nil {
			return err
		}
		if at.Club, err = row(ctx, tx, readClub, clubSQL, at.Person.Club); err != nil {
			return err
		}
		sql, id := athleteGetsSQL, int64(at.Athlete)
		if at.Coach != 0 {
			sql, id = coachGetsSQL, int64(at.Coach)
		}
		at.On, err = row(ctx, tx, readTruth, sql, at.Person.Club, id, string(k))
		return err
	})
	return at, err
}

// The kind stands in each statement as it is asked for by its name, so that none can
// name a column.
var (
	stopCoachSQL = `
with changed as (
  update coach set letter_on = case $4::text when 'weekly' then $5 else letter_on end, at_once_on = case $4::text when 'at_once' then $5 else at_once_on end,
    letter_next = case $4::text when 'weekly' then null else letter_next end
  where club_id = $1 and coach_id = $2 and left_at is null
  returning coach_id as id
), ` + auditedAs("$6") + `
select id from changed`
	stopAthleteSQL = `
with changed as (
  update athlete set mail_decisions = case $4::text when 'decision' then $5 else mail_decisions end,
    mail_monday = case $4::text when 'monday' then $5 else mail_monday end, mail_gentle = case $4::text when 'gentle' then $5 else mail_gentle end
  where club_id = $1 and athlete_id = $3 and left_at is null
  returning athlete_id as id
), ` + auditedAs("$6") + `
select id from changed`
)

// Stop keeps whether the person wants letters of the kind. Weekly letters that come
// again are planned anew.
func (s *Store) Stop(ctx context.Context, of *post.Stoppable, on bool) error {
	sql, change := stopAthleteSQL, "athlete.stop_letters"
	if of.Coach != 0 {
		sql, change = stopCoachSQL, "coach.stop_letters"
	}
	if on {
		change = change[:len(change)-len("stop_letters")] + "resume_letters"
	}
	who := roster.Actor{Club: of.Person.Club, Coach: of.Coach, Athlete: of.Athlete}
	_, err := askOne(ctx, s, who.Club, readID[int64], sql, args(who, string(of.Kind), on, change)...)
	return err
}
