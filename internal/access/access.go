// Package access is how people come in: setting up the first club, signing in
// with a password or a one-time link, and the logins that hold until somebody
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

// Access lets people in.
type Access struct {
	store  Store
	hasher Hasher
	random io.Reader
	now    func() time.Time
}

// New makes the use case; random gives the bytes of tokens and codes and must be
// fit for secrets.
func New(store Store, hasher Hasher, random io.Reader, now func() time.Time) *Access {
	return &Access{store: store, hasher: hasher, random: random, now: now}
}

// Opened is a login just made. The token goes to the browser and nowhere else.
type Opened struct {
	Token Token
	Login Login
}

// Visitor finds who holds the token; fault.NotFound when nobody does (any more).
func (a *Access) Visitor(ctx context.Context, token Token) (Visitor, error) {
	if !token.sound() {
		return Visitor{}, fault.New(fault.NotFound, "")
	}
	return a.store.Visitor(ctx, token.Hash(), a.now())
}

// SetUpNeeded says that no club exists yet.
func (a *Access) SetUpNeeded(ctx context.Context) (bool, error) {
	any, err := a.store.AnyClub(ctx)
	return !any, err
}

// Logins are the visitor's own logins that still hold, the newest first.
func (a *Access) Logins(ctx context.Context, v *Visitor) ([]Login, error) {
	return a.store.Logins(ctx, v.Club.ID, v.Login.Coach, v.Login.Athlete, a.now())
}

// AthleteLogins are the logins of one athlete of the coach's club.
func (a *Access) AthleteLogins(ctx context.Context, who roster.Actor, athlete roster.AthleteID) ([]Login, error) {
	return a.store.Logins(ctx, who.Club, 0, athlete, a.now())
}

// Coaches of the club, by name.
func (a *Access) Coaches(ctx context.Context, club roster.ClubID) ([]roster.Coach, error) {
	return a.store.Coaches(ctx, club)
}

// Close ends a login: the visitor's own or, for coaches, one of an athlete of
// the club; any other is fault.NotFound.
func (a *Access) Close(ctx context.Context, who roster.Actor, id roster.LoginID) error {
	return a.store.Close(ctx, who, id)
}

// Actor is the visitor as the one who makes a change.
func (v *Visitor) Actor() roster.Actor {
	return roster.Actor{Club: v.Club.ID, Coach: v.Login.Coach, Athlete: v.Login.Athlete}
}

// IsCoach says whether a coach asks.
func (v *Visitor) IsCoach() bool { return v != nil && v.Coach != nil }

// IsOwner says whether a coach asks who may invite coaches.
func (v *Visitor) IsOwner() bool { return v.IsCoach() && v.Coach.Owner }

// IsAthlete says whether an athlete asks.
func (v *Visitor) IsAthlete() bool { return v != nil && v.Athlete != nil }

// open stores a login for the person and gives its token.
func (a *Access) open(ctx context.Context, l Login) (Opened, error) {
	token, err := newToken(a.random)
	if err != nil {
		return Opened{}, err
	}
	l = a.dated(l)
	l.ID, err = a.store.Open(ctx, token.Hash(), l)
	if err != nil {
		return Opened{}, err
	}
	return Opened{Token: token, Login: l}, nil
}

// dated fills in when the login begins and how long it holds.
func (a *Access) dated(l Login) Login {
	holds := CoachLogin
	if l.Athlete != 0 {
		holds = AthleteLogin
	}
	l.Since, l.SeenAt = a.now(), a.now()
	l.Expires = l.Since.Add(holds)
	return l
}
