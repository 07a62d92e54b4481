package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const (
	hearerZonesSQL = `select z from door_zones($1) z`
	hearersSQL     = `select h.club_id, h.athlete_id, h.zone from door_hearers($1, $2, $3, $4, $5) h`
)

// HearerZones are the time zones of the athletes whom Hearers gives, in all clubs.
func (s *Store) HearerZones(ctx context.Context, k post.Kind) ([]string, error) {
	return ask(ctx, s, doorstep, (*cells).text, hearerZonesSQL, string(k))
}

func readHearer(c *cells) post.Hearer {
	return post.Hearer{Club: roster.ClubID(c.integer()), Athlete: roster.AthleteID(c.integer()), Zone: c.text()}
}

// Hearers are athletes of all clubs in the zones who can be written to and want letters
// of the kind.
func (s *Store) Hearers(ctx context.Context, k post.Kind, zones []string, after post.Hearer, most int) ([]post.Hearer, error) {
	return ask(ctx, s, doorstep, readHearer, hearersSQL, string(k), zones, after.Club, after.Athlete, most)
}

// maybeSilentSQL leaves those for whom a silence of seven days may begin today: the last
// session, the start, the end of a stop or of a time away lies so far back. A day more at
// either end makes up for where on earth somebody is.
const maybeSilentSQL = `
select a.athlete_id from athlete a
cross join lateral (
  select coalesce((select s.date from session s
    where s.club_id = $1 and s.athlete_id = a.athlete_id and (s.exposed or s.kind = 'extra')
    order by s.started_at desc limit 1), a.phase_since) as heard
  offset 0) h
where a.club_id = $1 and a.athlete_id = any ($2) and h.heard <= $3::date - 6
  and (h.heard >= $3::date - 9 or a.cleared_on >= $3::date - 9
    or exists (select from leave l where l.club_id = $1 and l.athlete_id = a.athlete_id and l.last_day >= h.heard))
  and not exists (select from decision d where d.club_id = $1 and d.athlete_id = a.athlete_id and d.at >= $4 and d.undone_at is null)
  and not exists (select from letter t where t.club_id = $1 and t.athlete_id = a.athlete_id and t.coach_id is null and t.by_coach is not null and t.made_at >= $4)
order by a.athlete_id`

// MaybeSilent are those of the athletes for whom a silence may begin at the instant, and
// to whom no coach wrote, nor decided about them, since the other.
func (s *Store) MaybeSilent(ctx context.Context, club roster.ClubID, of []roster.AthleteID, at, answered time.Time) ([]roster.AthleteID, error) {
	return ask(ctx, s, club, readID[roster.AthleteID], maybeSilentSQL, club, numbersOf(of), at.UTC(), answered)
}

func numbersOf[T ~int64](ids []T) []int64 {
	numbers := make([]int64, len(ids))
	for i, id := range ids {
		numbers[i] = int64(id)
	}
	return numbers
}

// writeToSQL writes letters that come by the clock; a gentle word is signed by the
// athlete's own coach, if there is one.
const writeToSQL = `
with changed as (
  insert into letter (club_id, key, kind, athlete_id, by_coach, week, made_at)
  select $1, w.key, $2::text, a.athlete_id, case when $2 = 'gentle' then (
    select c.coach_id from coach c where c.club_id = $1 and c.coach_id = a.coach_id and c.left_at is null) end, $5::date, $6
  from unnest($3::bigint[], $4::text[]) w (athlete, key) join athlete a on a.club_id = $1 and a.athlete_id = w.athlete
  where a.left_at is null and a.arrival = 'here' and a.held = ''
  on conflict on constraint letter_key_once do nothing
  returning letter_id as id
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.write', changed.id from changed)
select id from changed order by id`

// WriteTo writes letters of the kind to athletes of the club, each once, and hands them
// on; nobody who is not here, or is held. All of them are of one week, or of none.
func (s *Store) WriteTo(ctx context.Context, club roster.ClubID, k post.Kind, to []post.Addressed) (written int, err error) {
	ids, keys := make([]int64, len(to)), make([]string, len(to))
	for i, one := range to {
		ids[i], keys[i] = int64(one.Athlete), string(one.Key)
	}
	err = s.transact(ctx, club, func(tx pgx.Tx) error {
		letters, err := several(ctx, tx, readID[roster.LetterID], writeToSQL, club, string(k), ids, keys, dateOrNull(to[0].Week), s.now())
		if err != nil {
			return err
		}
		for _, id := range letters {
			if err := s.handOn(ctx, tx, club, id); err != nil {
				return err
			}
		}
		written = len(letters)
		return nil
	})
	return written, err
}
