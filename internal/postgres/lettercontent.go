package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const (
	composeSQL = `
with changed as (
  update letter set subject = $3, composed_at = $4, parts = $5
  where club_id = $1 and letter_id = $2 and composed_at is null and sent_at is null and dropped_at is null
  returning letter_id as id
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.compose', changed.id from changed)
select id from changed`

	partsSQL = `insert into letter_part (club_id, letter_id, place, athlete_id, plain, html)
select $1, $2, p.place, nullif(p.about, 0), p.plain, p.html
from unnest($3::bigint[], $4::text[], $5::text[]) with ordinality p (about, plain, html, place)`

	subjectSQL = `select coalesce(t.subject, '') from letter t where t.club_id = $1 and t.letter_id = $2`
	contentSQL = `select p.athlete_id, p.plain, p.html from letter_part p where p.club_id = $1 and p.letter_id = $2 order by p.place`
)

// Compose keeps what stands in a letter, if nothing is kept of it yet.
func (s *Store) Compose(ctx context.Context, club roster.ClubID, id roster.LetterID, c post.Content, at time.Time) error {
	n := len(c.Parts)
	about, plain, html := make([]int64, n), make([]string, n), make([]string, n)
	for i, p := range c.Parts {
		about[i], plain[i], html[i] = int64(p.Athlete), p.Plain, p.HTML
	}
	return s.transact(ctx, club, func(tx pgx.Tx) error {
		_, ours, err := rowIf(ctx, tx, readID[roster.LetterID], composeSQL, club, id, c.Subject, at, n)
		if err != nil || !ours {
			return err
		}
		_, err = tx.Exec(ctx, partsSQL, club, id, about, plain, html)
		return err
	})
}

func readPart(c *cells) post.Part {
	return post.Part{Athlete: roster.AthleteID(c.integer()), Plain: c.text(), HTML: c.text()}
}

// Content is what is kept of a letter, in order; empty where nothing is.
func (s *Store) Content(ctx context.Context, club roster.ClubID, id roster.LetterID) (post.Content, error) {
	var c post.Content
	var found bool
	b := batch(club)
	one(b, &c.Subject, &found, (*cells).text, subjectSQL, club, id)
	list(b, &c.Parts, readPart, contentSQL, club, id)
	return c, s.send(ctx, b)
}
