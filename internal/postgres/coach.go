package postgres

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/roster"
)

const (
	clubColumns = `k.club_id, k.name, k.zone, k.demo, k.own_only, k.minors`
	clubSQL     = `select ` + clubColumns + ` from club k where k.club_id = $1`
)

func readClub(c *cells) roster.Club {
	return roster.Club{ID: roster.ClubID(c.integer()), Name: c.text(), Zone: c.text(), Demo: c.truth(), OwnOnly: c.truth(), Minors: c.truth()}
}

// Club is the club itself, or fault.NotFound.
func (s *Store) Club(ctx context.Context, id roster.ClubID) (roster.Club, error) {
	return askOne(ctx, s, id, readClub, clubSQL, id)
}

const coachColumns = `c.coach_id, c.club_id, c.name, c.email, c.owner, c.deputy, c.mail_refused_at, c.email_at, c.email_login`

func readCoach(c *cells) roster.Coach {
	return roster.Coach{
		ID: roster.CoachID(c.integer()), Club: roster.ClubID(c.integer()), Name: c.text(), Email: c.text(), Owner: c.truth(), Deputy: c.truth(),
		MailRefused: c.instant(), EmailAt: c.instant(), EmailBy: roster.LoginID(c.integer()),
	}
}

const coachesSQL = `select ` + coachColumns + ` from coach c where c.club_id = $1 and c.left_at is null
order by c.name collate "und-x-icu", c.coach_id`

// Coaches of the club who have not left, by name.
func (s *Store) Coaches(ctx context.Context, club roster.ClubID) ([]roster.Coach, error) {
	return ask(ctx, s, club, readCoach, coachesSQL, club)
}

const byEmailSQL = `select c.club_id, c.coach_id, c.password from coach c where c.club_id = (select current_club()) and c.email = $1
  and c.left_at is null`

func readPassword(c *cells) access.Password {
	return access.Password{Club: roster.ClubID(c.integer()), Coach: roster.CoachID(c.integer()), Hash: c.text()}
}

// ByEmail finds a coach of any club, or fault.NotFound.
func (s *Store) ByEmail(ctx context.Context, email string) (access.Password, error) {
	var p access.Password
	var found bool
	b := through(enterByEmailSQL, email)
	one(b, &p, &found, readPassword, byEmailSQL, email)
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return p, err
}

var passwordSQL = `
with changed as (
  update coach set password = $4 where club_id = $1 and coach_id = $2
  returning coach_id as id
), ` + audited("coach.password") + `
select id from changed`

const endOthersSQL = `update login set ended_at = now() where club_id = $1 and coach_id = $2 and login_id <> $3 and ended_at is null`

// endLinksSQL ends the links that let the coach in without the password, and those that
// confirm a new address.
const endLinksSQL = `update code set expires_at = 'epoch', email = null where club_id = $1 and coach_id = $2 and used_at is null`

// SetPassword replaces the password, and ends the coach's other logins than keep and
// links not used yet.
func (s *Store) SetPassword(ctx context.Context, who roster.Actor, password string, keep roster.LoginID) error {
	var found bool
	b := batch(who.Club)
	one(b, new(roster.CoachID), &found, readID[roster.CoachID], passwordSQL, args(who, password)...)
	b.Queue(endOthersSQL, who.Club, who.Coach, keep)
	b.Queue(endLinksSQL, who.Club, who.Coach)
	err := s.send(ctx, b)
	if err == nil && !found {
		err = notFound()
	}
	return err
}

var joinSQL = `
with used as (
  update code set used_at = $5 where club_id = (select current_club()) and hash = $4
    and purpose in ('coach_invite', 'deputy_invite') and used_at is null and expires_at > $5
  returning club_id, purpose
), added as (
  insert into coach (club_id, name, email, password, owner, deputy) select club_id, $1, $2, $3, false, purpose = 'deputy_invite' from used
  returning club_id, coach_id
), audited as (
  insert into audit (club_id, coach_id, change, row_id) select club_id, coach_id, 'coach.join', coach_id from added)
select coach_id from added`

// Join makes a coach or a deputy of an invitation, using it up. A taken e-mail address is
// fault.Conflict, and the invitation still holds.
func (s *Store) Join(ctx context.Context, code access.Hash, now time.Time, c roster.Coach, password string) (roster.CoachID, error) {
	var id roster.CoachID
	var joined bool
	b := through(enterByCodeSQL, code[:])
	one(b, &id, &joined, readID[roster.CoachID], joinSQL, c.Name, c.Email, password, code[:], now)
	err := s.send(ctx, b)
	if err == nil && !joined {
		err = s.spent(ctx, code)
	}
	return id, err
}
