package postgres

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

const (
	// The address goes with the code: used once, nothing of it is left there.
	takeAddressSQL = `with used as (
  select c.club_id, c.hash, c.email from code c
  where c.club_id = $1 and c.hash = $3 and c.coach_id = $2 and c.purpose = 'coach_email' and c.used_at is null and c.expires_at > $4 for update
), taken as (
  update code c set used_at = $4, email = null from used where c.club_id = used.club_id and c.hash = used.hash)
select email from used`

	presentAddressSQL = `select coalesce(c.email, '') from coach c where c.club_id = $1 and c.coach_id = $2 and c.left_at is null for update`
)

var (
	changeAddressSQL = `
with changed as (
  update coach set email = $4, email_at = $5, email_login = $6, mail_refused_at = null where club_id = $1 and coach_id = $2 and left_at is null
  returning coach_id as id
), ` + audited("coach.email") + `
select id from changed`

	sawAddressSQL = `
with changed as (
  update coach c set email_at = null, email_login = null where club_id = $1 and coach_id = $2 and email_login <> $4
    and exists (select from login l where l.club_id = $1 and l.coach_id = $2 and l.login_id = $4 and l.since < c.email_at)
  returning coach_id as id
), ` + audited("coach.email_seen") + `
select id from changed`
)

// ChangeAddress makes the address of the code the coach's, ends the links made before and
// writes to the address before. A program that sends no mail writes to nobody.
func (s *Store) ChangeAddress(ctx context.Context, who roster.Actor, by roster.LoginID, code access.Hash, now time.Time) error {
	err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		// The coach first, as everything does that ends codes of a coach.
		before, err := row(ctx, tx, (*cells).text, presentAddressSQL, who.Club, who.Coach)
		if err != nil {
			return err
		}
		email, err := row(ctx, tx, (*cells).text, takeAddressSQL, who.Club, who.Coach, code[:], now)
		if err != nil {
			return err
		}
		if _, err := row(ctx, tx, readID[roster.CoachID], changeAddressSQL, args(who, email, now, by)...); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, endLinksSQL, who.Club, who.Coach); err != nil {
			return err
		}
		if s.errands == nil || before == email {
			return nil
		}
		key := fmt.Sprintf("old-address-%d-%d", who.Coach, now.UnixMilli())
		return s.write(ctx, tx, args(who, key, string(post.OldAddress), who.Coach, int64(0), before, int64(0), s.now())...)
	})
	if fault.KindOf(err) == fault.NotFound {
		err = gone()
	}
	return err
}

// SawAddress notes that the coach knows of the change; where there is nothing to know, or
// the login may not say so, it changes nothing.
func (s *Store) SawAddress(ctx context.Context, who roster.Actor, by roster.LoginID) error {
	b := batch(who.Club)
	b.Queue(sawAddressSQL, args(who, by)...)
	return s.send(ctx, b)
}
