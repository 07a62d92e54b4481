package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

var (
	// The coach stays while the athlete is handed over: who leaves at that moment
	// waits, and then the athlete is freed with the others.
	handSQL = `
with taker as (
  select c.coach_id from coach c where c.club_id = $1 and c.coach_id = $5 and c.left_at is null and not c.deputy for share
), changed as (
  update athlete a set coach_id = taker.coach_id, handed_by = case when taker.coach_id <> $2::bigint then $2::bigint end,
    handed_at = case when taker.coach_id <> $2::bigint then $6::timestamptz end
  from taker where a.club_id = $1 and a.athlete_id = $4
  returning a.athlete_id as id
), ` + audited("athlete.hand_over") + `
select id from changed`

	unhandSQL = `
with changed as (
  update athlete set coach_id = null, handed_by = null, handed_at = null where club_id = $1 and athlete_id = $4
  returning athlete_id as id
), ` + audited("athlete.free") + `
select id from changed`

	takeOverSQL = `
with changed as (
  update athlete set handed_by = null, handed_at = null where club_id = $1 and athlete_id = $4 and coach_id = $2::bigint and handed_at is not null
  returning athlete_id as id
), ` + audited("athlete.take_over") + `
select id from changed`
)

// HandOver gives the athlete to a coach, or to everybody.
func (s *Store) HandOver(ctx context.Context, who roster.Actor, id roster.AthleteID, to roster.CoachID, at time.Time) error {
	sql, values := handSQL, args(who, id, to, at)
	if to == 0 {
		sql, values = unhandSQL, args(who, id)
	}
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], sql, values...)
	return err
}

const handedSQL = `select a.athlete_id, a.name, c.name, a.handed_at
from athlete a join coach c on c.club_id = a.club_id and c.coach_id = a.handed_by
where a.club_id = $1 and a.coach_id = $2 and a.handed_at is not null and a.left_at is null order by a.handed_at desc, a.athlete_id`

func readHanded(c *cells) roster.Handed {
	return roster.Handed{Athlete: roster.AthleteID(c.integer()), Name: c.text(), By: c.text(), At: c.instant()}
}

// Handed are the athletes handed over to the coach and not seen to yet.
func (s *Store) Handed(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]roster.Handed, error) {
	return ask(ctx, s, club, readHanded, handedSQL, club, coach)
}

// TakeOver says that the coach has seen it; there may be nothing to see.
func (s *Store) TakeOver(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	_, err := ask(ctx, s, who.Club, readID[roster.AthleteID], takeOverSQL, args(who, id)...)
	return err
}
