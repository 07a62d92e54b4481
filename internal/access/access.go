// Package access is how people come in: setting up the first club, signing in
// with a password, a passkey or a one-time link, and the logins that hold until somebody
// ends them. Nobody is locked out for ever: a one-time link always works.
package access

import (
	"context"
	"io"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// How long things hold. A login holds so long from the last time it was seen.
const (
	CoachLogin   = 30 * 24 * time.Hour
	AthleteLogin = 180 * 24 * time.Hour

	setUpHolds       = 7 * 24 * time.Hour
	athleteLinkHolds = 14 * 24 * time.Hour
	inviteHolds      = 7 * 24 * time.Hour
	coachLinkHolds   = 24 * time.Hour
	wayInHolds       = time.Hour // by mail, for whoever asked
	newAddressHolds  = 24 * time.Hour
)

// Hasher makes and compares password hashes; both are slow on purpose, and both
// give up with fault.Unavailable when too many wait or the context ends.
type Hasher interface {
	// Hash gives the PHC string of a password.
	Hash(ctx context.Context, password string) (string, error)
	// Match says whether the password belongs to the PHC string. An empty string
	// costs as much as any other and never matches.
	Match(ctx context.Context, password, phc string) (bool, error)
}

// Service lets people in. Random gives the bytes of tokens and codes and must be
// fit for secrets; Now is the clock.
type Service struct {
	Store  Store
	Hasher Hasher
	Keys   Keys
	Random io.Reader
	Now    func() time.Time
}

// Opened is a login just made. The token goes to the browser and nowhere else.
type Opened struct {
	Token Token
	Login Login
}

// Visitor finds who holds the token; fault.NotFound when nobody does (any more).
func (s *Service) Visitor(ctx context.Context, token Token) (Visitor, error) {
	if !token.Sound() {
		return Visitor{}, fault.New(fault.NotFound, "")
	}
	return s.Store.Visitor(ctx, token.Hash(), s.Now())
}

// SetUpNeeded says that no club exists yet.
func (s *Service) SetUpNeeded(ctx context.Context) (bool, error) {
	any, err := s.Store.AnyClub(ctx)
	return !any, err
}

// Logins are the visitor's own logins that still hold, the newest first.
func (s *Service) Logins(ctx context.Context, v *Visitor) ([]Login, error) {
	return s.Store.Logins(ctx, v.Club.ID, v.Login.Coach, v.Login.Athlete, s.Now())
}

// AthleteLogins are the logins of one athlete of the coach's club.
func (s *Service) AthleteLogins(ctx context.Context, who roster.Actor, athlete roster.AthleteID) ([]Login, error) {
	return s.Store.Logins(ctx, who.Club, 0, athlete, s.Now())
}

// Coaches of the club, by name.
func (s *Service) Coaches(ctx context.Context, club roster.ClubID) ([]roster.Coach, error) {
	return s.Store.Coaches(ctx, club)
}

// Close ends a login: the visitor's own or, for coaches, one of an athlete of
// the club; any other is fault.NotFound.
func (s *Service) Close(ctx context.Context, who roster.Actor, id roster.LoginID) error {
	return s.Store.Close(ctx, who, id)
}

// Actor is the visitor as the one who makes a change.
func (v *Visitor) Actor() roster.Actor {
	return roster.Actor{
		Club: v.Club.ID, Coach: v.Login.Coach, Athlete: v.Login.Athlete,
		Deputy: v.IsDeputy(), OwnOnly: v.Club.OwnOnly && v.IsCoach() && !v.Coach.Owner,
	}
}

// IsCoach says whether a coach asks.
func (v *Visitor) IsCoach() bool { return v != nil && v.Coach != nil }

// IsKeeper says whether a coach asks who may see and keep what is told about
// health: every coach but a deputy.
func (v *Visitor) IsKeeper() bool { return v.IsCoach() && !v.Coach.Deputy }

// IsDeputy says whether a coach asks who helps with the training only.
func (v *Visitor) IsDeputy() bool { return v.IsCoach() && v.Coach.Deputy }

// IsOwner says whether a coach asks who may invite coaches.
func (v *Visitor) IsOwner() bool { return v.IsCoach() && v.Coach.Owner }

// IsAthlete says whether an athlete asks.
func (v *Visitor) IsAthlete() bool { return v != nil && v.Athlete != nil }

// open stores a login for the person and gives its token.
func (s *Service) open(ctx context.Context, l Login) (Opened, error) {
	token, err := newToken(s.Random)
	if err != nil {
		return Opened{}, err
	}
	l = s.dated(l)
	l.ID, err = s.Store.Open(ctx, token.Hash(), l)
	if err != nil {
		return Opened{}, err
	}
	return Opened{Token: token, Login: l}, nil
}

// dated fills in when the login begins and how long it holds.
func (s *Service) dated(l Login) Login {
	holds := CoachLogin
	if l.Athlete != 0 {
		holds = AthleteLogin
	}
	l.Since, l.SeenAt = s.Now(), s.Now()
	l.Expires = l.Since.Add(holds)
	return l
}
