package postgres

import (
	"context"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const wishColumns = `c.letter_on, c.letter_day, c.letter_hour, c.letter_news_only, c.letter_all, c.letter_detail, c.at_once_on`

func readWishes(c *cells) roster.Wishes {
	return roster.Wishes{
		On: c.truth(), Day: int(c.integer()), Hour: int(c.integer()), NewsOnly: c.truth(), All: c.truth(), Detail: roster.Detail(c.text()), AtOnce: c.truth(),
	}
}

const readerSQL = `
select ` + clubColumns + `, ` + coachColumns + `, ` + wishColumns + `, c.letter_next, c.mail_stop
from coach c join club k on k.club_id = c.club_id
where c.club_id = $1 and c.coach_id = $2 and c.left_at is null`

func readReader(c *cells) post.Reader {
	return post.Reader{
		Club: readClub(c), Coach: readCoach(c), Wishes: readWishes(c), Next: c.instant(), Stop: c.text(),
	}
}

// Reader is a coach as letters know one, or fault.NotFound.
func (s *Store) Reader(ctx context.Context, club roster.ClubID, coach roster.CoachID) (post.Reader, error) {
	return askOne(ctx, s, club, readReader, readerSQL, club, coach)
}
