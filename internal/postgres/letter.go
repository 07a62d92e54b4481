package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// Errands takes on what is to be done after a change, as part of the transaction that
// makes it: when that is rolled back, nothing is left to do.
type Errands interface {
	// Letter is to be sent, and not before the instant; zero: at once.
	Letter(ctx context.Context, tx pgx.Tx, club roster.ClubID, id roster.LetterID, from time.Time) error
	// WaysIn are to be written to the people; there may be none.
	WaysIn(ctx context.Context, tx pgx.Tx, people []post.Person) error
}

// errNoErrands says that the program was put together without anybody who runs
// errands, so that a letter would lie for ever.
var errNoErrands = errors.New("a letter was asked for where nobody sends any")

// writeSQL keeps a letter once; a key that was there before gives nothing.
var writeSQL = `
with changed as (
  insert into letter (club_id, key, kind, coach_id, athlete_id, address, by_coach, made_at)
  values ($1, $4, $5, nullif($6::bigint, 0), nullif($7::bigint, 0), nullif($8, ''), nullif($9::bigint, 0), $10)
  on conflict on constraint letter_key_once do nothing
  returning letter_id as id
), ` + audited("letter.write") + `
select id from changed`

// Write keeps a letter that a coach sends, and hands it on.
func (s *Store) Write(ctx context.Context, who roster.Actor, k post.Kind, to roster.AthleteID, address string, key roster.Key) error {
	return s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		of := roster.CoachID(0)
		if k == post.NewAddress {
			of = who.Coach
		}
		return s.write(ctx, tx, args(who, key, string(k), of, to, address, who.Coach, s.now())...)
	})
}

// write keeps a letter with the arguments of writeSQL and hands it on.
func (s *Store) write(ctx context.Context, tx pgx.Tx, args ...any) error {
	id, made, err := rowIf(ctx, tx, readID[roster.LetterID], writeSQL, args...)
	if err != nil || !made { // it is there already
		return err
	}
	return s.handOn(ctx, tx, roster.ClubID(args[0].(int64)), id)
}

func (s *Store) handOn(ctx context.Context, tx pgx.Tx, club roster.ClubID, id roster.LetterID) error {
	if s.errands == nil {
		return errNoErrands
	}
	return s.errands.Letter(ctx, tx, club, id, time.Time{})
}

// WaysIn keeps a letter for each person and hands each on.
func (s *Store) WaysIn(ctx context.Context, people []post.Person, key roster.Key) error {
	return s.transact(ctx, doorstep, func(tx pgx.Tx) error {
		for i, p := range people {
			if err := enter(ctx, tx, p.Club); err != nil {
				return err
			}
			one := args(roster.Actor{Club: p.Club}, fmt.Sprintf("%s-%d", key, i), string(post.WayIn), p.Coach, p.Athlete, "", int64(0), s.now())
			if err := s.write(ctx, tx, one...); err != nil {
				return err
			}
		}
		return nil
	})
}

const peopleSQL = `select p.club_id, p.coach_id, p.athlete_id from door_people($1) p`

func readPerson(c *cells) post.Person {
	return post.Person{Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()), Athlete: roster.AthleteID(c.integer())}
}

// AskWayIn hands on that letters are to be written to whoever has the address: the
// same look and the same piece of work where nobody has.
func (s *Store) AskWayIn(ctx context.Context, email string) error {
	if s.errands == nil {
		return errNoErrands
	}
	return s.transact(ctx, doorstep, func(tx pgx.Tx) error {
		people, err := several(ctx, tx, readPerson, peopleSQL, email)
		if err != nil {
			return err
		}
		return s.errands.WaysIn(ctx, tx, people)
	})
}

// noticeSQL writes about a login to its coach, where the statement that opened it
// found the device new: once a day (of UTC) for each kind of device, since one that
// nobody claims is new for a week. The key says so, and it holds for two who sign in
// at one moment.
const noticeSQL = `
with changed as (
  insert into letter (club_id, key, kind, coach_id, login_id, made_at)
  select l.club_id, 'new-' || to_char($3::timestamptz at time zone 'UTC', 'YYYYMMDD') || '-' || l.coach_id || '-' || md5(l.device), 'new_device', l.coach_id, l.login_id, $3
  from login l where l.club_id = $1 and l.login_id = $2 and l.coach_id is not null and l.new_device
  on conflict on constraint letter_key_once do nothing
  returning letter_id as id
), audited as (
  insert into audit (club_id, change, row_id) select $1, 'letter.write', changed.id from changed)
select id from changed`

// notice writes to a coach about a login just opened, where that is news. A program
// that sends no mail has nobody to hand it to, and opens the login all the same.
func (s *Store) notice(ctx context.Context, tx pgx.Tx, club roster.ClubID, login roster.LoginID) error {
	if s.errands == nil {
		return nil
	}
	id, news, err := rowIf(ctx, tx, readID[roster.LetterID], noticeSQL, club, login, s.now())
	if err != nil || !news {
		return err
	}
	return s.errands.Letter(ctx, tx, club, id, time.Time{})
}

// letterSQL is a letter with what is known of it now. Whoever left gets none. A letter
// that has a coach is to the coach, also where it is about an athlete.
const letterSQL = `select t.letter_id, ` + clubColumns + `, t.kind, t.coach_id, t.athlete_id,
  coalesce(case when t.coach_id is null then a.name else c.name end, ''),
  coalesce(t.address, case when t.coach_id is null then a.email else c.email end, ''), coalesce(b.name, ''), coalesce(l.device, ''), l.since, t.made_at,
  t.sent_at is not null or t.dropped_at is not null, t.week, t.session_id, t.decision_id, t.alarm,
  not coalesce(case t.kind when 'weekly' then c.letter_on when 'at_once' then c.at_once_on when 'decision' then a.mail_decisions
    when 'monday' then a.mail_monday when 'gentle' then a.mail_gentle and k.gentle_on end, true),
  coalesce(case when t.coach_id is null then a.mail_stop else c.mail_stop end, ''),
  case when t.coach_id is null then a.mail_refused_at else c.mail_refused_at end is not null, t.composed_at, coalesce(c.email, '')
from letter t
join club k on k.club_id = t.club_id
left join coach c on c.club_id = t.club_id and c.coach_id = t.coach_id and c.left_at is null
left join athlete a on a.club_id = t.club_id and a.athlete_id = t.athlete_id and a.left_at is null
left join coach b on b.club_id = t.club_id and b.coach_id = t.by_coach
left join login l on l.club_id = t.club_id and l.login_id = t.login_id
where t.club_id = $1 and t.letter_id = $2`

func readLetter(c *cells) post.Letter {
	return post.Letter{
		ID: roster.LetterID(c.integer()), Club: readClub(c), Kind: post.Kind(c.text()), Coach: roster.CoachID(c.integer()),
		Athlete: roster.AthleteID(c.integer()), Name: c.text(), Address: c.text(), By: c.text(), Device: c.text(),
		Since: c.instant(), MadeAt: c.instant(), Done: c.truth(), Week: c.date(), Session: roster.SessionID(c.integer()),
		Decision: roster.DecisionID(c.integer()), Alarm: roster.Alarm(c.integer()), Unwanted: c.truth(), Stop: c.text(), Refused: c.truth(), ComposedAt: c.instant(), Present: c.text(),
	}
}

// Letter gives one letter, or fault.NotFound.
func (s *Store) Letter(ctx context.Context, club roster.ClubID, id roster.LetterID) (post.Letter, error) {
	return askOne(ctx, s, club, readLetter, letterSQL, club, id)
}

const endLetterSQL = `
with changed as (
  update letter set sent_at = case when $3 = '' then $4::timestamptz end, dropped_at = case when $3 <> '' then $4::timestamptz end, dropped_for = nullif($3, '')
  where club_id = $1 and letter_id = $2 and sent_at is null and dropped_at is null
  returning letter_id as id, coach_id, athlete_id, address
), told as (
  update athlete a set mail_refused_at = case when $3 = 'refused' then $4::timestamptz end from changed
  where a.club_id = $1 and a.athlete_id = changed.athlete_id and changed.coach_id is null
    and ($3 = '' and a.mail_refused_at is not null or $3 = 'refused' and a.email = $5::text)
), told_too as (
  update coach c set mail_refused_at = case when $3 = 'refused' then $4::timestamptz end from changed
  where c.club_id = $1 and c.coach_id = changed.coach_id and changed.address is null
    and ($3 = '' and c.mail_refused_at is not null or $3 = 'refused' and c.email = $5::text)
)
insert into audit (club_id, change, row_id) select $1, case when $3 = '' then 'letter.send' else 'letter.drop' end, changed.id from changed`

// Sent notes that the letter was sent; noted before, nothing changes. Mail to its person
// is then not refused any more.
func (s *Store) Sent(ctx context.Context, club roster.ClubID, id roster.LetterID) error {
	return s.endLetter(ctx, club, id, "", "")
}

// Drop notes that the letter will not be sent; one that was sent stays sent.
func (s *Store) Drop(ctx context.Context, club roster.ClubID, id roster.LetterID, why post.Why) error {
	return s.endLetter(ctx, club, id, why, "")
}

// Refuse is Drop because the address was refused, which is noted at the person too: not
// where the person has another one by now, of which nothing is known.
func (s *Store) Refuse(ctx context.Context, club roster.ClubID, id roster.LetterID, address string) error {
	return s.endLetter(ctx, club, id, post.Refused, address)
}

func (s *Store) endLetter(ctx context.Context, club roster.ClubID, id roster.LetterID, why post.Why, refused string) error {
	b := batch(club)
	b.Queue(endLetterSQL, club, id, string(why), s.now(), refused)
	return s.send(ctx, b)
}
