package postgres

import (
	"context"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const chosenSQL = `select ` + wishColumns + `, c.letter_next,
  (select max(t.week) from letter t where t.club_id = c.club_id and t.coach_id = c.coach_id and t.kind = 'weekly')
from coach c where c.club_id = $1 and c.coach_id = $2 and c.left_at is null`

func readChosen(c *cells) post.Chosen {
	return post.Chosen{Wishes: readWishes(c), Next: c.instant(), Last: c.date()}
}

// Chosen is what the coach who asks chose.
func (s *Store) Chosen(ctx context.Context, who roster.Actor) (post.Chosen, error) {
	return askOne(ctx, s, who.Club, readChosen, chosenSQL, who.Club, who.Coach)
}

var chooseSQL = `
with changed as (
  update coach set letter_next = case when letter_on and (letter_next <= $11 or letter_day = $5 and letter_hour = $6) then letter_next end,
    letter_on = $4, letter_day = $5, letter_hour = $6, letter_news_only = $7, letter_all = $8, letter_detail = $9, at_once_on = $10
  where club_id = $1 and coach_id = $2 and left_at is null
  returning coach_id as id
), ` + audited("coach.letters") + `
select id from changed`

// Choose keeps what the coach wants. Another day or hour, and letters that come again,
// are to be planned anew; a letter that is due already is written all the same.
func (s *Store) Choose(ctx context.Context, who roster.Actor, w roster.Wishes) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.CoachID], chooseSQL,
		args(who, w.On, w.Day, w.Hour, w.NewsOnly, w.All, string(w.Detail), w.AtOnce, s.now())...)
	return err
}

const mailsSQL = `select a.mail_decisions, a.mail_monday, a.mail_gentle from athlete a where a.club_id = $1 and a.athlete_id = $2 and a.left_at is null`

func readMails(c *cells) post.Mails {
	return post.Mails{Decisions: c.truth(), Monday: c.truth(), Gentle: c.truth()}
}

// Mails are those of the athlete who asks.
func (s *Store) Mails(ctx context.Context, who roster.Actor) (post.Mails, error) {
	return askOne(ctx, s, who.Club, readMails, mailsSQL, who.Club, who.Athlete)
}

var setMailsSQL = `
with changed as (
  update athlete set mail_decisions = $4, mail_monday = $5, mail_gentle = $6
  where club_id = $1 and athlete_id = $3 and left_at is null
  returning athlete_id as id
), ` + audited("athlete.letters") + `
select id from changed`

// SetMails keeps which mail the athlete wants.
func (s *Store) SetMails(ctx context.Context, who roster.Actor, m post.Mails) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.AthleteID], setMailsSQL, args(who, m.Decisions, m.Monday, m.Gentle)...)
	return err
}

const gentleSQL = `select k.gentle_on, k.gentle_words from club k where k.club_id = $1`

func readGentle(c *cells) post.GentleWord { return post.GentleWord{On: c.truth(), Words: c.text()} }

// GentleWord is the club's.
func (s *Store) GentleWord(ctx context.Context, club roster.ClubID) (post.GentleWord, error) {
	return askOne(ctx, s, club, readGentle, gentleSQL, club)
}

var setGentleSQL = `
with changed as (
  update club set gentle_on = $4, gentle_words = $5 where club_id = $1
  returning club_id as id
), ` + audited("club.gentle") + `
select id from changed`

// SetGentleWord keeps it.
func (s *Store) SetGentleWord(ctx context.Context, who roster.Actor, g post.GentleWord) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.ClubID], setGentleSQL, args(who, g.On, g.Words)...)
	return err
}
