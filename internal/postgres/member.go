package postgres

import (
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

const (
	// Who is an owner is asked and changed one after the other, so that two owners who
	// end each other's right at once do not leave a club without any.
	lockClubSQL   = `select k.club_id from club k where k.club_id = $1 for no key update`
	clubOwnersSQL = `select c.coach_id from coach c where c.club_id = $1 and c.owner and c.left_at is null`
)

var (
	makeOwnerSQL  = roleSQL("owner = true, deputy = false", "coach.make_owner")
	makeCoachSQL  = roleSQL("owner = false, deputy = false", "coach.make_coach")
	makeDeputySQL = roleSQL("owner = false, deputy = true", "coach.make_deputy")
	endCoachSQL   = roleSQL("owner = false, deputy = false, email = null, email_at = null, email_login = null, password = '', left_at = $5", "coach.leave")

	freeSQL = `
with changed as (
  update athlete set coach_id = null, handed_by = null, handed_at = null where club_id = $1 and coach_id = $4
  returning athlete_id as id
), ` + audited("athlete.free") + `
select id from changed`
)

func roleSQL(set, change string) string {
	return `
with changed as (
  update coach set ` + set + ` where club_id = $1 and coach_id = $4 and left_at is null
  returning coach_id as id
), ` + audited(change) + `
select id from changed`
}

const (
	endCoachLoginsSQL = `update login set ended_at = $3 where club_id = $1 and coach_id = $2 and ended_at is null`
	endCoachKeysSQL   = `update passkey set removed_at = $3 where club_id = $1 and coach_id = $2 and removed_at is null`
	endCoachCodesSQL  = `update code set expires_at = 'epoch', email = null where club_id = $1 and coach_id = $2 and used_at is null`
)

// GiveRole makes a coach an owner, a coach or a deputy.
func (s *Store) GiveRole(ctx context.Context, who roster.Actor, id roster.CoachID, role access.Role) (access.Freed, error) {
	sql := map[access.Role]string{access.AsOwner: makeOwnerSQL, access.AsCoach: makeCoachSQL, access.AsDeputy: makeDeputySQL}[role]
	var freed access.Freed
	err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if err := mayChange(ctx, tx, who, id, role == access.AsOwner); err != nil {
			return err
		}
		if _, err := row(ctx, tx, readID[roster.CoachID], sql, args(who, id)...); err != nil {
			return err
		}
		if role != access.AsDeputy {
			return nil
		}
		var err error
		freed, err = free(ctx, tx, who, id)
		return err
	})
	return freed, err
}

// EndMembership marks a coach as gone and ends what the coach came in by.
func (s *Store) EndMembership(ctx context.Context, who roster.Actor, id roster.CoachID, at time.Time) (access.Freed, error) {
	var freed access.Freed
	err := s.transact(ctx, who.Club, func(tx pgx.Tx) error {
		if err := mayChange(ctx, tx, who, id, false); err != nil {
			return err
		}
		if _, err := row(ctx, tx, readID[roster.CoachID], endCoachSQL, args(who, id, at)...); err != nil {
			return err
		}
		for _, sql := range []string{endCoachLoginsSQL, endCoachKeysSQL} {
			if _, err := tx.Exec(ctx, sql, who.Club, id, at); err != nil {
				return err
			}
		}
		if _, err := tx.Exec(ctx, endCoachCodesSQL, who.Club, id); err != nil {
			return err
		}
		var err error
		freed, err = free(ctx, tx, who, id)
		return err
	})
	return freed, err
}

// mayChange says whether the actor may change who the coach is, with the club
// locked: the actor is an owner at this moment, and one stays afterwards.
func mayChange(ctx context.Context, tx pgx.Tx, who roster.Actor, id roster.CoachID, stays bool) error {
	if _, err := row(ctx, tx, readID[roster.ClubID], lockClubSQL, who.Club); err != nil {
		return err
	}
	rows, err := tx.Query(ctx, clubOwnersSQL, who.Club)
	if err != nil {
		return err
	}
	owners, err := collect(rows, readID[roster.CoachID])
	switch {
	case err != nil:
		return err
	case !slices.Contains(owners, who.Coach):
		return fault.New(fault.Forbidden, "Only an owner of the club may do this.")
	case !stays && len(owners) == 1 && owners[0] == id:
		return fault.New(fault.Conflict, "A club needs an owner. Make somebody else one first.")
	}
	return nil
}

// free makes the coach's athletes everybody's, and says how many there were.
func free(ctx context.Context, tx pgx.Tx, who roster.Actor, id roster.CoachID) (access.Freed, error) {
	rows, err := tx.Query(ctx, freeSQL, args(who, id)...)
	if err != nil {
		return 0, err
	}
	all, err := collect(rows, readID[roster.AthleteID])
	return access.Freed(len(all)), err
}

var changeClubSQL = `
with planned as (
  update coach c set letter_next = null from club k where k.club_id = $1 and k.zone <> $5::text and c.club_id = $1 and c.letter_next > $8
), changed as (
  update club set name = $4, zone = $5, own_only = $6, minors = $7 where club_id = $1
  returning club_id as id
), ` + audited("club.change") + `
select id from changed`

// ChangeClub replaces name, zone, whether coaches see only their own athletes, and
// whether the club takes minors. In another zone, letters are due at other times, but
// for one that is due already.
func (s *Store) ChangeClub(ctx context.Context, who roster.Actor, club roster.Club) error {
	_, err := askOne(ctx, s, who.Club, readID[roster.ClubID], changeClubSQL, args(who, club.Name, club.Zone, club.OwnOnly, club.Minors, s.now())...)
	return err
}
