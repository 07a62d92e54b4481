package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const forgetLettersSQL = `
with changed as (
  delete from letter where club_id = $1 and made_at < case when kind = 'weekly' then $3::timestamptz else $2::timestamptz end
  returning letter_id as id
), over as (
  update code set email = null where club_id = $1 and email is not null and expires_at < $2
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.forget', changed.id from changed)
select id from changed`

// ForgetLetters removes the club's letters made before the first instant, the weekly
// ones made before the second, and gives how many there were. A new address that was
// never confirmed goes with the letter that went to it.
func (s *Store) ForgetLetters(ctx context.Context, club roster.ClubID, before, weekly time.Time) (int, error) {
	gone, err := ask(ctx, s, club, readID[roster.LetterID], forgetLettersSQL, club, before, weekly)
	return len(gone), err
}

const lettersThereSQL = `select t.letter_id, t.made_at from letter t where t.club_id = $1 and t.letter_id = any ($2)
  and (t.parts is null or t.parts = (select count(*) from letter_part p where p.club_id = t.club_id and p.letter_id = t.letter_id))`

// LettersThere are those of the letters that the club still has whole: none that told of
// somebody who was erased.
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
