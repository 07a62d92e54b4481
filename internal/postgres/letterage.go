package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const forgetLettersSQL = `
with changed as (
  delete from letter where club_id = $1 and made_at < $2
  returning letter_id as id
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.forget', changed.id from changed)
select id from changed`

// ForgetLetters removes the club's letters made before the instant, and gives how many
// there were.
func (s *Store) ForgetLetters(ctx context.Context, club roster.ClubID, before time.Time) (int, error) {
	gone, err := ask(ctx, s, club, readID[roster.LetterID], forgetLettersSQL, club, before)
	return len(gone), err
}

const lettersThereSQL = `select t.letter_id, t.made_at from letter t where t.club_id = $1 and t.letter_id = any ($2)`

// LettersThere are those of the letters that the club still has.
func (s *Store) LettersThere(ctx context.Context, club roster.ClubID, of []roster.LetterID) ([]post.Stamp, error) {
	ids := make([]int64, len(of))
	for i, id := range of {
		ids[i] = int64(id)
	}
	return ask(ctx, s, club, readStamp, lettersThereSQL, club, ids)
}

func readStamp(c *cells) post.Stamp {
	return post.Stamp{ID: roster.LetterID(c.integer()), MadeAt: c.instant()}
}
