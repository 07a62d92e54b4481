package access

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

// Hash is the SHA-256 of a secret: tokens and codes are never kept themselves.
type Hash [32]byte

// Purpose says what a one-time code is for.
type Purpose string

// The purposes of a code.
const (
	SetUp       Purpose = "set_up"       // name the club and its first coach
	AthleteLink Purpose = "athlete"      // an athlete's private sign-in link
	CoachLink   Purpose = "coach"        // somebody locked out
	CoachInvite Purpose = "coach_invite" // a new coach

	DeputyInvite Purpose = "deputy_invite" // a new deputy

	NewAddress Purpose = "coach_email" // a coach's new e-mail address; lets nobody in
)

// Code is a one-time code as kept.
type Code struct {
	Hash    Hash
	Purpose Purpose
	Club    roster.ClubID // 0 for SetUp
	Coach   roster.CoachID
	Athlete roster.AthleteID
	Expires time.Time
	UsedAt  time.Time // zero: not used yet
	Beside  bool      // earlier ones go on working; not kept
	Email   string    // of NewAddress: the address that it confirms; empty once it was used
}

// Login is a device that is signed in; a row that can be revoked.
type Login struct {
	ID      roster.LoginID
	Club    roster.ClubID
	Coach   roster.CoachID   // one of the two is set
	Athlete roster.AthleteID //
	Device  string           // in words, from the browser: "Firefox on Android"
	Since   time.Time
	SeenAt  time.Time // to the hour
	Expires time.Time
	Passkey roster.PasskeyID // that opened it; 0: opened another way
	Proved  time.Time        // when the password or a passkey was asked for again; zero: not since it was opened

	NewDevice bool // nobody signed in as the person on such a device within the year before, and nobody has claimed it yet
}

// Visitor is who asks, found by a token.
type Visitor struct {
	Login   Login
	Club    roster.Club
	Coach   *roster.Coach // one of the two is set
	Athlete *roster.Athlete
}

// Password is a coach found by e-mail address, with the argon2id hash (PHC
// string); empty where none was set.
type Password struct {
	Club  roster.ClubID
	Coach roster.CoachID
	Hash  string
}

// Store is what signing in reads and writes. Calls without a club go through
// functions of the database that give one row for one secret, so that the app's
// role can never list across clubs.
type Store interface {
	// AnyClub says whether a club exists.
	AnyClub(ctx context.Context) (bool, error)
	// Found makes the club with its default pathway and its first coach (the
	// owner, password as PHC string), using up the set-up code; used or expired
	// is fault.Gone.
	Found(ctx context.Context, code Hash, now time.Time, club roster.Club, owner roster.Coach, password string) (roster.ClubID, roster.CoachID, error)
	// ByEmail finds a coach, or fault.NotFound.
	ByEmail(ctx context.Context, email string) (Password, error)
	// SetPassword replaces the password, and ends the coach's other logins than keep
	// and links not used yet.
	SetPassword(ctx context.Context, who roster.Actor, password string, keep roster.LoginID) error

	// Open stores a login under the hash of its token. It is one on a new device when
	// the person had logins before, and none within the year on a device of the same
	// words that counts: one that is itself new and unclaimed does not in its first
	// seven days. A coach gets a letter about such a login.
	Open(ctx context.Context, token Hash, l Login) (roster.LoginID, error)
	// Visitor finds who holds the token; revoked, expired (by now) or left is
	// fault.NotFound. Marks it seen, at most once an hour, and with that puts its
	// end off, so that it lasts as long from now as it did from when it was seen
	// before; gives the login as it was before that.
	Visitor(ctx context.Context, token Hash, now time.Time) (Visitor, error)
	// Close revokes one login of the club: one's own or, by a coach, one of an
	// athlete whom the coach sees; any other is fault.NotFound.
	Close(ctx context.Context, who roster.Actor, id roster.LoginID) error
	// Logins of a coach or an athlete that still hold, the newest first.
	Logins(ctx context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, now time.Time) ([]Login, error)

	// Claim says that the login, which is the actor's own, is on a device that the
	// actor knows; any other is fault.NotFound.
	Claim(ctx context.Context, who roster.Actor, id roster.LoginID, now time.Time) error

	// PutCode stores a one-time code; earlier unused codes of the same purpose
	// for the same person end, unless it is to stand beside them.
	PutCode(ctx context.Context, who roster.Actor, c Code) error
	// Peek gives the code without using it, or fault.NotFound.
	Peek(ctx context.Context, code Hash) (Code, error)
	// Use marks the code used and opens the login in one transaction; used or
	// expired already is fault.Gone.
	Use(ctx context.Context, code Hash, now time.Time, token Hash, l Login) (Code, error)
	// Join makes a coach of an invitation, using it up, or a deputy where it is one
	// for deputies; used or expired already is fault.Gone, an e-mail address that a
	// coach has already fault.Conflict.
	Join(ctx context.Context, code Hash, now time.Time, c roster.Coach, password string) (roster.CoachID, error)
	// Club is the club itself, or fault.NotFound.
	Club(ctx context.Context, id roster.ClubID) (roster.Club, error)
	// Athlete is one athlete of the club, or fault.NotFound.
	Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error)
	// Coaches of the club who have not left, by name.
	Coaches(ctx context.Context, club roster.ClubID) ([]roster.Coach, error)

	// GiveRole makes the coach what the role says, and gives how many athletes became
	// everybody's with it. An actor who is no owner any more is fault.Forbidden, a
	// coach who is not there fault.NotFound, the last owner fault.Conflict.
	GiveRole(ctx context.Context, who roster.Actor, id roster.CoachID, role Role) (Freed, error)
	// EndMembership marks the coach as gone at the instant, ends logins and links,
	// forgets address and password, and gives how many athletes became everybody's;
	// errors as for GiveRole.
	EndMembership(ctx context.Context, who roster.Actor, id roster.CoachID, at time.Time) (Freed, error)
	// ChangeClub replaces name, zone, OwnOnly and Minors.
	ChangeClub(ctx context.Context, who roster.Actor, club roster.Club) error

	// ChangeAddress uses the actor's code for a new address up and makes that the actor's, noting
	// by which login; ends links made for the coach, and writes to the address before.
	// Used or expired is fault.Gone, an address that a coach has already fault.Conflict.
	ChangeAddress(ctx context.Context, who roster.Actor, by roster.LoginID, code Hash, now time.Time) error
	// SawAddress notes that the actor knows of the change, if it was not done by the login
	// and the login was there before it.
	SawAddress(ctx context.Context, who roster.Actor, by roster.LoginID) error

	// Tries is how many attempts there were under the key since the instant.
	Tries(ctx context.Context, key Hash, since time.Time) (int, error)

	// AskWayIn finds the coach or the athletes who have the address and hands on, in
	// the same transaction, that letters are to be written to them. For an address
	// that nobody has, the same is done for nobody.
	AskWayIn(ctx context.Context, email string) error
	// Tried counts an attempt under a key (an account or an address, hashed) and
	// gives how many there were since the instant, this one included.
	Tried(ctx context.Context, key Hash, now, since time.Time) (int, error)
	// Forgive forgets the attempts under the key.
	Forgive(ctx context.Context, key Hash) error

	PasskeyStore
}
