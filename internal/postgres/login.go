package postgres

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/roster"
)

const loginColumns = `l.login_id, l.club_id, l.coach_id, l.athlete_id, l.device, l.since, l.seen_at, l.expires_at, l.new_device and l.claimed_at is null, l.passkey_id, l.proved_at`

func readLogin(c *cells) access.Login {
	return access.Login{
		ID: roster.LoginID(c.integer()), Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()),
		Athlete: roster.AthleteID(c.integer()), Device: c.text(), Since: c.instant(), SeenAt: c.instant(), Expires: c.instant(),
		NewDevice: c.truth(),
		Passkey:   roster.PasskeyID(c.integer()), Proved: c.instant(),
	}
}

// newDevice is the condition that a login of somebody on a device, since an instant,
// is one on a new device. A login that is itself new and unclaimed makes a device
// known only after a week.
func newDevice(club, coach, athlete, device, since string) string {
	of := `select from login o where o.club_id = ` + club + ` and (o.coach_id = ` + coach + ` or o.athlete_id = ` + athlete + `)`
	return `exists (` + of + `) and not exists (` + of + ` and o.device = ` + device + ` and o.seen_at > ` + since + `::timestamptz - interval '1 year'
    and (not o.new_device or o.claimed_at is not null or o.since <= ` + since + `::timestamptz - interval '7 days'))`
}

// That the device is new is written in the statement that opens the login, so that
// whatever has to follow can follow in the same transaction.
var openSQL = `
with changed as (
  insert into login (club_id, token, coach_id, athlete_id, device, since, seen_at, expires_at, new_device, passkey_id)
  select $1, $4, nullif($2::bigint, 0), nullif($3::bigint, 0), $5, $6, $7, $8, ` + newDevice("$1", "$2::bigint", "$3::bigint", "$5", "$6") + `, nullif($9::bigint, 0)
  returning login_id as id, new_device
), ` + audited("login.open") + `
select id from changed`

// Open stores a login under the hash of its token, and writes to a coach about it
// where it is on a device that was never there before.
func (s *Store) Open(ctx context.Context, token access.Hash, l access.Login) (id roster.LoginID, err error) {
	who := roster.Actor{Club: l.Club, Coach: l.Coach, Athlete: l.Athlete}
	err = s.transact(ctx, l.Club, func(tx pgx.Tx) error {
		id, err = row(ctx, tx, readID[roster.LoginID], openSQL, args(who, token[:], l.Device, l.Since, l.SeenAt, l.Expires, l.Passkey)...)
		if err != nil {
			return err
		}
		return s.notice(ctx, tx, l.Club, id)
	})
	return id, err
}

const (
	visitorSQL = `select ` + loginColumns + `, ` + clubColumns + `, ` + coachColumns + `, ` + athleteColumns + `
from login l
join club k on k.club_id = l.club_id
left join coach c on c.club_id = l.club_id and c.coach_id = l.coach_id
left join athlete a on a.club_id = l.club_id and a.athlete_id = l.athlete_id
where l.club_id = (select current_club()) and l.token = $1 and l.ended_at is null and l.expires_at > $2 and a.left_at is null
  and c.left_at is null`

	// Seen at most once an hour, so that reading a page is seldom a write.
	seenSQL = `update login set seen_at = $2, expires_at = expires_at + ($2 - seen_at)
where club_id = (select current_club()) and token = $1 and ended_at is null and expires_at > $2 and seen_at <= $2 - interval '1 hour'`
)

func readVisitor(c *cells) access.Visitor {
	v := access.Visitor{Login: readLogin(c), Club: readClub(c)}
	coach, athlete := readCoach(c), readAthlete(c)
	if v.Login.Coach != 0 {
		v.Coach = &coach
	} else {
		v.Athlete = &athlete
	}
	return v
}

// Visitor finds who holds the token, in one round trip; fault.NotFound when nobody
// does (any more).
func (s *Store) Visitor(ctx context.Context, token access.Hash, now time.Time) (access.Visitor, error) {
	var v access.Visitor
	var found bool
	b := through(enterByTokenSQL, token[:])
	one(b, &v, &found, readVisitor, visitorSQL, token[:], now)
	b.Queue(seenSQL, token[:], now)
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return v, err
}

var closeSQL = `
with changed as (
  update login l set ended_at = now() where club_id = $1 and login_id = $4 and ended_at is null
    and (coach_id = nullif($2::bigint, 0) or athlete_id = nullif($3::bigint, 0) or $2::bigint <> 0 and exists (select from athlete a
      where a.club_id = $1 and a.athlete_id = l.athlete_id and (not $5 or a.coach_id is null or a.coach_id = $2::bigint)))
  returning login_id as id
), ` + audited("login.close") + `
select id from changed`

// Close revokes a login: one's own or, for coaches, one of an athlete whom they see.
func (s *Store) Close(ctx context.Context, who roster.Actor, id roster.LoginID) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.LoginID], closeSQL, args(who, id, who.OwnOnly)...)
	return err
}

var claimSQL = `
with changed as (
  update login set claimed_at = coalesce(claimed_at, $5) where club_id = $1 and login_id = $4 and new_device and ended_at is null
    and (coach_id = nullif($2::bigint, 0) or athlete_id = nullif($3::bigint, 0))
  returning login_id as id
), ` + audited("login.claim") + `
select id from changed`

// Claim says that the actor knows the new device of an own login.
func (s *Store) Claim(ctx context.Context, who roster.Actor, id roster.LoginID, now time.Time) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.LoginID], claimSQL, args(who, id, now)...)
	return err
}

const loginsSQL = `select ` + loginColumns + ` from login l
where l.club_id = $1 and (l.coach_id = $2 or l.athlete_id = $3) and l.ended_at is null and l.expires_at > $4
order by l.login_id desc`

// Logins of a coach or an athlete that still hold, the newest first.
func (s *Store) Logins(ctx context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, now time.Time) ([]access.Login, error) {
	return ask(ctx, s, club, readLogin, loginsSQL, club, coach, athlete, now)
}
