package postgres

import (
	"context"

	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

const (
	erasedSQL = `select e.mark, e.erased_on from erased e where e.club_id = $1 order by e.erased_on, e.mark`

	// The mark is made as mark_erased does.
	markedSQL = `select a.athlete_id from athlete a where a.club_id = $1 and sha256(convert_to(a.mail_stop, 'UTF8')) = any ($2) order by a.athlete_id`
)

func readGone(c *cells) privacy.Gone {
	return privacy.Gone{Mark: privacy.Mark(readHash(c)), On: c.date()}
}

// Erased are the marks of those who were erased in the club, the oldest first.
func (s *Store) Erased(ctx context.Context, club roster.ClubID) ([]privacy.Gone, error) {
	return ask(ctx, s, club, readGone, erasedSQL, club)
}

// Marked are the athletes of the club for whom one of the marks is.
func (s *Store) Marked(ctx context.Context, club roster.ClubID, marks []privacy.Mark) ([]roster.AthleteID, error) {
	all := make([][]byte, len(marks))
	for i := range marks {
		all[i] = marks[i][:]
	}
	return ask(ctx, s, club, readID[roster.AthleteID], markedSQL, club, all)
}
