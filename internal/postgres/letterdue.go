package postgres

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const dueSQL = `select d.club_id, d.coach_id, d.zone, d.day, d.hour, d.next from door_letters($1, $2, $3, $4) d`

func readDue(c *cells) post.Due {
	return post.Due{
		Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()), Zone: c.text(), Day: int(c.integer()), Hour: int(c.integer()), Next: c.instant(),
	}
}

// Due are coaches of all clubs whose weekly letter is due, or not worked out yet.
func (s *Store) Due(ctx context.Context, at time.Time, after post.Due, most int) ([]post.Due, error) {
	return ask(ctx, s, doorstep, readDue, dueSQL, at, after.Club, after.Coach, most)
}

const (
	// planSQL moves the next letter on, if it is still the one that was read: of two
	// programs the second finds nothing. Whoever has the letter of that week goes to
	// the one after.
	planSQL = `
update coach c set letter_next = case when exists (
    select from letter t where t.club_id = $1 and t.coach_id = $2 and t.kind = 'weekly' and t.week = $5) then $6::timestamptz else $4::timestamptz end
where c.club_id = $1 and c.coach_id = $2 and c.letter_next is not distinct from $3 and c.letter_on and c.left_at is null
returning c.coach_id`

	weeklySQL = `
with changed as (
  insert into letter (club_id, key, kind, coach_id, week, made_at) values ($1, $2, 'weekly', $3, $4, $5)
  on conflict do nothing
  returning letter_id as id
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.write', changed.id from changed)
select id from changed`
)

// Plan carries the plans of one club out.
func (s *Store) Plan(ctx context.Context, club roster.ClubID, plans []post.Plan) (written int, err error) {
	err = s.transact(ctx, club, func(tx pgx.Tx) error {
		written = 0
		for i := range plans {
			wrote, err := s.plan(ctx, tx, &plans[i])
			if err != nil {
				return err
			}
			written += wrote
		}
		return nil
	})
	return written, err
}

// plan moves one coach on and writes the letter, if one is due.
func (s *Store) plan(ctx context.Context, tx pgx.Tx, p *post.Plan) (int, error) {
	_, ours, err := rowIf(ctx, tx, readID[roster.CoachID], planSQL, p.Club, p.Coach, orNull(p.Next), p.To, dateOrNull(p.WeekTo()), p.Else)
	if err != nil || !ours || p.Week == 0 {
		return 0, err
	}
	key := fmt.Sprintf("weekly-%d-%s", p.Coach, strings.ReplaceAll(p.Week.String(), "-", ""))
	id, news, err := rowIf(ctx, tx, readID[roster.LetterID], weeklySQL, p.Club, key, p.Coach, dateOrNull(p.Week), s.now())
	if err != nil || !news {
		return 0, err
	}
	return 1, s.handOn(ctx, tx, p.Club, id)
}
