package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const (
	// Whoever asks twice at one moment is counted one after the other.
	lockCoachSQL = `select c.coach_id from coach c where c.club_id = $1 and c.coach_id = $2 and c.left_at is null for no key update`
	askedNowSQL  = `select count(*) from letter t where t.club_id = $1 and t.coach_id = $2 and t.kind = 'weekly_now' and t.made_at > $3`
)

func readNumber(c *cells) int { return int(c.integer()) }

// WriteNow keeps a letter about the week that the coach asked for and hands it on, if
// no more than most were made since.
func (s *Store) WriteNow(ctx context.Context, who roster.Actor, key roster.Key, since time.Time, most int) (wrote bool, err error) {
	err = s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if _, err := row(ctx, tx, readID[roster.CoachID], lockCoachSQL, who.Club, who.Coach); err != nil {
			return err
		}
		var again bool
		if _, again, err = rowIf(ctx, tx, readID[roster.LetterID], letterOfKeySQL, who.Club, string(key)); err != nil || again {
			wrote = again
			return err
		}
		n, err := row(ctx, tx, readNumber, askedNowSQL, who.Club, who.Coach, since)
		if wrote = err == nil && n < most; !wrote {
			return err
		}
		return s.write(ctx, tx, args(who, string(key), string(post.WeeklyNow), who.Coach, int64(0), "", int64(0), s.now())...)
	})
	return wrote, err
}

const letterOfKeySQL = `select t.letter_id from letter t where t.club_id = $1 and t.key = $2`

const (
	pastColumns = `t.letter_id, t.kind, t.week, t.made_at, t.sent_at, coalesce(t.dropped_for, ''), coalesce(t.subject, ''), coalesce(t.parts, 0::smallint)`
	pastWhere   = ` from letter t where t.club_id = $1 and t.coach_id = $2 and t.kind in ('weekly', 'weekly_now')`

	pastLettersSQL = `select ` + pastColumns + pastWhere + ` order by t.made_at desc, t.letter_id desc limit $3`
	pastLetterSQL  = `select ` + pastColumns + pastWhere + ` and t.letter_id = $3`
)

func readPast(c *cells) post.Past {
	return post.Past{
		ID: roster.LetterID(c.integer()), Kind: post.Kind(c.text()), Week: c.date(), MadeAt: c.instant(), SentAt: c.instant(),
		Dropped: post.Why(c.text()), Subject: c.text(), Parts: int(c.integer()),
	}
}

// PastLetters are the newest letters about weeks to the coach who asks.
func (s *Store) PastLetters(ctx context.Context, who roster.Actor, most int) ([]post.Past, error) {
	return ask(ctx, s, who.Club, readPast, pastLettersSQL, who.Club, who.Coach, most)
}

// PastLetter is one of them, or fault.NotFound.
func (s *Store) PastLetter(ctx context.Context, who roster.Actor, id roster.LetterID) (post.Past, error) {
	return askOne(ctx, s, who.Club, readPast, pastLetterSQL, who.Club, who.Coach, id)
}
