package access

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Role is what somebody is among the coaches of a club.
type Role string

// The roles.
const (
	AsOwner  Role = "owner"  // a coach who says who else is one
	AsCoach  Role = "coach"  // decides, and sees what is told about health
	AsDeputy Role = "deputy" // helps with the training
)

// RoleOf is the role of a coach.
func RoleOf(c *roster.Coach) Role {
	switch {
	case c.Owner:
		return AsOwner
	case c.Deputy:
		return AsDeputy
	}
	return AsCoach
}

// Freed is how many athletes belonged to a coach and are everybody's now.
type Freed int

// GiveRole makes a coach of the club an owner, a coach or a deputy. It holds from
// the next thing that the coach does: who somebody is, is asked anew each time. A
// deputy has no athletes, so those of a new one become everybody's. Only an owner
// with a fresh sign-in may, else fault.Forbidden; a club keeps at least one, else
// fault.Conflict.
func (s *Service) GiveRole(ctx context.Context, v *Visitor, id roster.CoachID, role Role) (Freed, error) {
	if err := s.mustOwnFresh(v); err != nil {
		return 0, err
	}
	switch role {
	case AsOwner, AsCoach, AsDeputy:
		return s.Store.GiveRole(ctx, v.Actor(), id, role)
	}
	return 0, fault.At(fault.Field{Place: "role", Message: "please choose owner, coach or deputy"})
}

// EndMembership ends a coach's membership of the club: every login and link of the
// coach ends there and then, the address is forgotten, and the athletes become
// everybody's. The name stays in what was decided and noted. The same rules as for
// GiveRole hold; who left already is fault.NotFound.
func (s *Service) EndMembership(ctx context.Context, v *Visitor, id roster.CoachID) (Freed, error) {
	if err := s.mustOwnFresh(v); err != nil {
		return 0, err
	}
	return s.Store.EndMembership(ctx, v.Actor(), id, s.Now())
}

// ChangeClub changes name, time zone, whether coaches see only their own athletes,
// and whether the club takes people under 18. Faults stand at club and zone; only an
// owner may.
func (s *Service) ChangeClub(ctx context.Context, v *Visitor, club roster.Club) error {
	if err := mustOwn(v); err != nil {
		return err
	}
	club.ID, club.Name = v.Club.ID, strings.TrimSpace(club.Name)
	if err := fault.At(checkClub(&club)...); err != nil {
		return err
	}
	return s.Store.ChangeClub(ctx, v.Actor(), club)
}

func checkClub(club *roster.Club) (faults []fault.Field) {
	if m := roster.CheckName(club.Name); m != "" {
		faults = append(faults, fault.Field{Place: "club", Message: m})
	}
	if m := roster.CheckZone(club.Zone); m != "" {
		faults = append(faults, fault.Field{Place: "zone", Message: m})
	}
	return faults
}

// Fresh says whether the visitor signed in, or was asked again, just now, as it is
// needed to say who is a coach of the club.
func (s *Service) Fresh(v *Visitor) bool { return s.fresh(v) }

// MayInvite says why the visitor may not let a coach or a deputy into the club; nil
// for an owner with a fresh sign-in.
func (s *Service) MayInvite(v *Visitor) error { return s.mustOwnFresh(v) }

// mustOwnFresh is mustOwn for what outlives a login that was left open: it makes
// ways in for others, or takes them away.
func (s *Service) mustOwnFresh(v *Visitor) error {
	if err := mustOwn(v); err != nil {
		return err
	}
	if !s.fresh(v) {
		return stale()
	}
	return nil
}

func mustOwn(v *Visitor) error {
	if v.IsOwner() {
		return nil
	}
	return fault.New(fault.Forbidden, "Only an owner of the club may do this.")
}
