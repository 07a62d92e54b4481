package access

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Found sets up the first club with its owner, using up the set-up link, and
// signs the owner in. What is wrong is told field by field: club, zone, name,
// email, password.
func (s *Service) Found(ctx context.Context, code Token, club roster.Club, n Newcomer, device string) (Opened, error) {
	if _, err := s.Look(ctx, code, SetUp); err != nil {
		return Opened{}, err
	}
	club.Name, n = strings.TrimSpace(club.Name), n.tidy()
	if err := fault.At(append(checkClub(&club), n.check(club.Name)...)...); err != nil {
		return Opened{}, err
	}
	hash, err := s.Hasher.Hash(ctx, n.Password)
	if err != nil {
		return Opened{}, err
	}
	clubID, coachID, err := s.Store.Found(ctx, code.Hash(), s.Now(), club, roster.Coach{Name: n.Name, Email: n.Email, Owner: true}, hash)
	if err != nil {
		return Opened{}, err
	}
	return s.open(ctx, Login{Club: clubID, Coach: coachID, Device: device})
}

// Join makes a coach or a deputy of an invitation, using it up, and signs him or her
// in.
func (s *Service) Join(ctx context.Context, code Token, n Newcomer, device string) (Opened, error) {
	c, err := s.Look(ctx, code, CoachInvite, DeputyInvite)
	if err != nil {
		return Opened{}, err
	}
	club, err := s.Store.Club(ctx, c.Club)
	if err != nil {
		return Opened{}, err
	}
	n = n.tidy()
	if err := fault.At(n.check(club.Name)...); err != nil {
		return Opened{}, err
	}
	hash, err := s.Hasher.Hash(ctx, n.Password)
	if err != nil {
		return Opened{}, err
	}
	id, err := s.Store.Join(ctx, code.Hash(), s.Now(), roster.Coach{Club: c.Club, Name: n.Name, Email: n.Email, Deputy: c.Purpose == DeputyInvite}, hash)
	if fault.KindOf(err) == fault.Conflict {
		return Opened{}, fault.At(fault.Field{Place: "email", Message: "somebody signs in with this address already"})
	}
	if err != nil {
		return Opened{}, err
	}
	return s.open(ctx, Login{Club: c.Club, Coach: id, Device: device})
}
