package access

import (
	"context"
	"encoding/binary"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

// Site is where passkeys belong: browsers show them to nobody else. The zero value
// is a place where there can be none.
type Site struct {
	Name   string // the host name, such as run.example.org; WebAuthn's relying party ID
	Origin string // as browsers say it: https://run.example.org
}

// Passkey is a coach's passkey as kept. All of it is public: what is secret never
// leaves the authenticator.
type Passkey struct {
	ID         roster.PasskeyID
	Club       roster.ClubID
	Coach      roster.CoachID
	Credential []byte // how the authenticator names it
	PublicKey  []byte // a COSE key
	Count      uint32 // how often it signed, as it says; 0: it does not count
	Eligible   bool   // may be kept by a service and used on several devices
	BackedUp   bool   // is kept so
	Transports []string
	Site       string // the host name it was made for
	Name       string // in the coach's words
	CreatedAt  time.Time
	UsedAt     time.Time // zero: never yet
	RefusedAt  time.Time // when its count went back, since when it is refused; zero: never
}

// KeyOwner is whose passkey it is, as authenticators keep it and show it to choose
// from.
type KeyOwner struct {
	Handle []byte // of club and coach; says nothing of the person
	Name   string
	Email  string
}

// handle names a coach to authenticators: the two numbers, eight bytes each.
func handle(club roster.ClubID, coach roster.CoachID) []byte {
	return binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, uint64(club)), uint64(coach))
}

// Handle names the passkey's coach to authenticators.
func (k *Passkey) Handle() []byte { return handle(k.Club, k.Coach) }

// Signed is what a passkey has just signed.
type Signed struct {
	Count    uint32
	BackedUp bool
}

// follows says whether the count may come after the one that is kept. An
// authenticator that counts must have gone on; one that does not stays at 0
// (Web Authentication Level 2, section 6.1.1; from memory).
func (n Signed) follows(kept uint32) bool {
	return n.Count > kept || n.Count == 0 && kept == 0
}

// Keys speaks with browsers about passkeys. Questions and answers are JSON; a
// question asks for the person to be verified, and an answer without that, for
// another challenge or from another origin is fault.Invalid.
type Keys interface {
	// AskToMake is the question for a new passkey; the authenticators of those that
	// are there already make none.
	AskToMake(site Site, owner KeyOwner, challenge []byte, there []Passkey) ([]byte, error)
	// Made reads the answer: the passkey without its number, person, name and dates.
	Made(site Site, owner KeyOwner, challenge, answer []byte) (Passkey, error)
	// AskToSign is the question for a signature by one of these passkeys, or by any
	// of the site.
	AskToSign(site Site, challenge []byte, by []Passkey) ([]byte, error)
	// Named says which credential an answer names. Nothing of it is proved yet.
	Named(answer []byte) ([]byte, error)
	// Signed checks that the passkey gave the answer.
	Signed(site Site, challenge, answer []byte, by *Passkey) (Signed, error)
}

// PasskeyStore is the part of Store about passkeys.
type PasskeyStore interface {
	// BeginCeremony keeps until when the secret of the hash may be used, and forgets
	// all that are over.
	BeginCeremony(ctx context.Context, secret Hash, now, until time.Time) error
	// EndCeremony uses the secret up; never begun, used or over is fault.Gone.
	EndCeremony(ctx context.Context, secret Hash, now time.Time) error

	// AddPasskey keeps a passkey; a credential that is there already is fault.Conflict.
	AddPasskey(ctx context.Context, who roster.Actor, k Passkey) (roster.PasskeyID, error)
	// Passkeys of a coach that were not removed, the newest first.
	Passkeys(ctx context.Context, club roster.ClubID, coach roster.CoachID) ([]Passkey, error)
	// ByCredential finds a passkey of any club; removed or unknown is fault.NotFound.
	ByCredential(ctx context.Context, credential []byte) (Passkey, error)
	// SignedBy notes that the passkey signed. One that was removed or refused, or
	// whose count has not gone on, is fault.Conflict.
	SignedBy(ctx context.Context, k Passkey, n Signed, now time.Time) error
	// RefusePasskey notes that its count went back: from now on it is refused.
	RefusePasskey(ctx context.Context, k Passkey, now time.Time) error
	// RemovePasskey removes a coach's own and ends the logins that it opened, but for
	// keep; another's or none is fault.NotFound.
	RemovePasskey(ctx context.Context, who roster.Actor, id roster.PasskeyID, now time.Time, keep roster.LoginID) error
	// Prove notes on the login that its coach was asked again just now.
	Prove(ctx context.Context, who roster.Actor, id roster.LoginID, now time.Time) error
}
