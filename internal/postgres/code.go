package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Earlier codes for the same end there and then, whatever clock is asked.
const endCodesSQL = `update code set expires_at = 'epoch' where club_id = $1 and purpose = $2 and used_at is null
  and coach_id is not distinct from nullif($3::bigint, 0) and athlete_id is not distinct from nullif($4::bigint, 0)`

var putCodeSQL = `
with changed as (
  insert into code (club_id, hash, purpose, coach_id, athlete_id, expires_at, email)
  values ($1, $4, $5, nullif($6::bigint, 0), nullif($7::bigint, 0), $8, nullif($9, ''))
  returning coalesce(coach_id, athlete_id) as id
), ` + audited("code.put") + `
select 1`

// PutCode stores a one-time code; earlier unused ones for the same person and
// purpose end, unless it is to stand beside them.
func (s *Store) PutCode(ctx context.Context, who roster.Actor, c access.Code) error {
	who.Club = c.Club
	b := batch(c.Club)
	if !c.Beside {
		b.Queue(endCodesSQL, c.Club, string(c.Purpose), c.Coach, c.Athlete)
	}
	b.Queue(putCodeSQL, args(who, c.Hash[:], string(c.Purpose), c.Coach, c.Athlete, c.Expires, c.Email)...)
	return s.send(ctx, b)
}

const peekSQL = `select c.hash, c.purpose, c.club_id, c.coach_id, c.athlete_id, c.expires_at, c.used_at, c.email
from code c where c.club_id = (select current_club()) and c.hash = $1`

func readCode(c *cells) access.Code {
	return access.Code{
		Hash: readHash(c), Purpose: access.Purpose(c.text()), Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()),
		Athlete: roster.AthleteID(c.integer()), Expires: c.instant(), UsedAt: c.instant(), Email: c.text(),
	}
}

// Peek gives the code without using it, or fault.NotFound.
func (s *Store) Peek(ctx context.Context, code access.Hash) (access.Code, error) {
	var c access.Code
	var found bool
	b := through(enterByCodeSQL, code[:])
	one(b, &c, &found, readCode, peekSQL, code[:])
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return c, err
}

// spent says why a code did not work: it was used or is too old, or nobody made it.
func (s *Store) spent(ctx context.Context, code access.Hash) error {
	if _, err := s.Peek(ctx, code); err != nil {
		return err
	}
	return gone()
}

var useSQL = `
with used as (
  update code set used_at = $2 where club_id = (select current_club()) and hash = $1 and used_at is null and expires_at > $2
  returning club_id, coach_id, athlete_id
), opened as (
  insert into login (club_id, token, coach_id, athlete_id, device, since, seen_at, expires_at, new_device)
  select club_id, $3, coach_id, athlete_id, $4, $5, $6, $7, ` + newDevice("used.club_id", "used.coach_id", "used.athlete_id", "$4", "$5") + ` from used
  returning club_id, login_id, coach_id, athlete_id, new_device
), audited as (
  insert into audit (club_id, coach_id, athlete_id, change, row_id) select club_id, coach_id, athlete_id, 'code.use', login_id from opened)
select login_id from opened`

// Use marks the code used and opens the login for the person it was made for, and
// writes to a coach about it as Open does.
func (s *Store) Use(ctx context.Context, code access.Hash, now time.Time, token access.Hash, l access.Login) (access.Code, error) {
	var c access.Code
	err := s.behind(ctx, enterByCodeSQL, code[:], func(tx pgx.Tx) error {
		id, err := row(ctx, tx, readID[roster.LoginID], useSQL, code[:], now, token[:], l.Device, l.Since, l.SeenAt, l.Expires)
		if err != nil {
			return err
		}
		if c, err = row(ctx, tx, readCode, peekSQL, code[:]); err != nil {
			return err
		}
		return s.notice(ctx, tx, c.Club, id)
	})
	if fault.KindOf(err) == fault.NotFound {
		if c, err = s.Peek(ctx, code); err == nil {
			err = gone()
		}
	}
	return c, err
}

const (
	useSetUpSQL = `update code set used_at = $2 where club_id = 0 and hash = $1 and purpose = 'set_up' and used_at is null and expires_at > $2
returning 1::bigint`
	clubNumberSQL = `select nextval('club_number')`
	makeClubSQL   = `insert into club (club_id, name, zone, demo) values ($1, $2, $3, $4)`
)

var ownerSQL = `
with changed as (
  insert into coach (club_id, name, email, password, owner) values ($1, $4, $5, $6, true)
  returning coach_id as id
), ` + audited("club.found") + `
select id from changed`

// pathwayName is what the pathway of every new club is called.
const pathwayName = "To thirty minutes"

// Found makes the club with its default pathway and its owner, using up the
// set-up code: all of it or nothing.
func (s *Store) Found(ctx context.Context, code access.Hash, now time.Time, club roster.Club, owner roster.Coach, password string) (roster.ClubID, roster.CoachID, error) {
	var coach roster.CoachID
	err := s.transact(ctx, doorstep, func(tx pgx.Tx) error {
		_, err := row(ctx, tx, readID[roster.ClubID], useSetUpSQL, code[:], now)
		if err != nil {
			return err
		}
		if club.ID, err = row(ctx, tx, readID[roster.ClubID], clubNumberSQL); err != nil {
			return err
		}
		if err := enter(ctx, tx, club.ID); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, makeClubSQL, club.ID, club.Name, club.Zone, club.Demo); err != nil {
			return err
		}
		if _, err := makePathway(ctx, tx, club.ID, pathwayName, pathway.Default()); err != nil {
			return err
		}
		coach, err = row(ctx, tx, readID[roster.CoachID], ownerSQL, args(roster.Actor{Club: club.ID}, owner.Name, owner.Email, password)...)
		return err
	})
	if fault.KindOf(err) == fault.NotFound {
		err = s.spent(ctx, code)
	}
	if err != nil {
		return 0, 0, err
	}
	return club.ID, coach, nil
}
