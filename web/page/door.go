package page

import "halfhour.app/halfhour/web/part"

// SignIn is the form for coaches. Fields: email, password, next.
type SignIn struct {
	Plain  part.Plain
	Email  string
	Error  string // wrong password, or too many attempts
	Next   string // hidden
	NoClub bool   // nothing is set up yet: says where the set-up link is
	Key    KeyAsk // zero: there are no passkeys at this address
}

// Landing is what an athlete's or a coach's one-time link opens. Only its button
// uses the link up, so that previews of messages do not. Fields: key; of a coach
// also password, which may be empty.
type Landing struct {
	Plain  part.Plain
	Name   string // "Ines Okafor"
	Club   string
	Action string
	Key    string
	Coach  bool // offers a new password
	Errors part.Errors
}

// SetUp names the club and its first coach. Fields: club, zone, name, email,
// password.
type SetUp struct {
	Plain    part.Plain
	Action   string
	Club     string
	Zone     string
	Zones    []string // suggestions; may be empty
	Name     string
	Email    string
	Errors   part.Errors
	Mistakes []part.Mistake
}

// Join is what a coach's invitation opens. Fields: name, email, password.
type Join struct {
	Plain    part.Plain
	Action   string
	Club     string
	Deputy   bool // the invitation is one for deputies
	Name     string
	Email    string
	Errors   part.Errors
	Mistakes []part.Mistake
}

// NoSignal is shown by a phone in place of a page that it does not keep. Nothing of
// anybody is in it.
type NoSignal struct {
	Plain part.Plain
	Today string // addresses of what works without
	Go    string
}

// Failure says what went wrong and what to do. It needs nothing but itself, so it
// is also the page for when the database is away.
type Failure struct {
	Plain     part.Plain
	Title     string // "There is nothing here"
	Text      string
	Reference string    // short; empty: none
	Back      part.Link // zero: the front door
	Again     Again     // zero: there is nothing to send again
}

// Again is a form that sends once more what could not be stored.
type Again struct {
	Action string
	Fields []Kept
}

// Kept is a field as it was sent.
type Kept struct{ Name, Value string }
