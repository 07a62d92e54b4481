package page

import "halfhour.app/halfhour/web/part"

// SignIn is the form for coaches. Fields: email, password, next.
type SignIn struct {
	Plain  part.Plain
	Email  string
	Error  string // wrong password, or too many attempts
	Next   string // hidden
	NoClub bool   // nothing is set up yet: says where the set-up link is
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
	Name     string
	Email    string
	Errors   part.Errors
	Mistakes []part.Mistake
}

// Failure says what went wrong and what to do. It needs nothing but itself, so it
// is also the page for when the database is away.
type Failure struct {
	Plain     part.Plain
	Title     string // "There is nothing here"
	Text      string
	Reference string    // short; empty: none
	Back      part.Link // zero: the front door
}

// Conflict shows what was sent beside what is there now.
type Conflict struct {
	Phone  *part.Phone // exactly one of the two frames
	Desk   *part.Desk
	Title  string // "This session was corrected somewhere else meanwhile"
	Text   string
	Labels []string // "Effort", "Pain", …
	Yours  []string // as many as Labels; empty: not told
	There  []string
	Keep   part.Link // leave it as it is
	Again  part.Link // look again and correct
}

// desk is the coach's frame; empty where none was given.
func (v Conflict) desk() part.Desk {
	if v.Desk == nil {
		return part.Desk{Title: v.Title}
	}
	return *v.Desk
}

// differs says whether the two sides differ in the i-th line.
func (v Conflict) differs(i int) bool { return at(v.Yours, i) != at(v.There, i) }

// at is the i-th text; empty where there is none.
func at(texts []string, i int) string {
	if i >= len(texts) {
		return ""
	}
	return texts[i]
}
