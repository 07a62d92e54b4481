package access

import (
	"context"
	"net/netip"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Forgotten is somebody who asks for a way in by mail: a coach for a new password,
// an athlete for a new sign-in link. Whether anybody has the address is told by
// nothing: not by the answer, nor by what is done for it, which is one look and one
// piece of work handed on, for nobody too. Who it is for gets the mail, not who asks.
//
// After a few letters within the hour no more are written for the address, and that
// is answered in the same way: one that still works lies in the box already. So a
// stranger who asks on and on fills no box, and keeps nobody out. Only who asks for
// one address after the other is told to wait (fault.TooMany). What is no address is
// a fault at email.
func (s *Service) Forgotten(ctx context.Context, typed string, from netip.Addr) error {
	email := roster.LowerEmail(typed)
	if m := roster.CheckEmail(email); m != "" {
		return fault.At(fault.Field{Place: "email", Message: m})
	}
	passed, err := s.passed(ctx, askingLimits(), "", from)
	if err != nil {
		return err
	}
	if passed != nil {
		return fault.New(fault.TooMany, "That was asked many times from where you are. Wait "+pause(passed.within)+", then ask again.")
	}
	if passed, err = s.passed(ctx, boxLimits(), email, netip.Addr{}); err != nil || passed != nil {
		return err
	}
	return s.Store.AskWayIn(ctx, email)
}

// askingLimits bound how many ways in are asked for from one address; ours.
func askingLimits() []limit {
	return []limit{{"address-asking", 20, quarter}, {"address-asking-day", 60, day}}
}

// boxLimits bound how much mail somebody can make arrive in another's box. Within the
// hour for which a link works there are never more than these, and the newest of them
// works.
func boxLimits() []limit { return []limit{{"box", 4, wayInHolds}} }

// WayInLink makes the link that goes out by mail to whoever forgot the way in. Links
// made before go on working: mail may arrive in any order, and a letter that is sent
// twice must not end its own first copy.
func (s *Service) WayInLink(ctx context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID) (Link, error) {
	c := Code{Purpose: CoachLink, Club: club, Coach: coach, Athlete: athlete, Beside: true}
	if athlete != 0 {
		c.Purpose = AthleteLink
	}
	return s.put(ctx, roster.Actor{Club: club}, c, wayInHolds)
}

// MailedInvitation makes the link that goes out by mail to a new coach or deputy,
// beside the one that was shown.
func (s *Service) MailedInvitation(ctx context.Context, club roster.ClubID, role Role) (Link, error) {
	return s.put(ctx, roster.Actor{Club: club}, Code{Purpose: inviting(role), Club: club, Beside: true}, inviteHolds)
}

// MailedAthleteLink makes the link that a coach sends an athlete by mail, beside the
// one that was shown.
func (s *Service) MailedAthleteLink(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (Link, error) {
	return s.put(ctx, roster.Actor{Club: club}, Code{Purpose: AthleteLink, Club: club, Athlete: athlete, Beside: true}, athleteLinkHolds)
}
