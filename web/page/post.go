package page

import "halfhour.app/halfhour/web/part"

// Forgotten asks for a way in by mail. Fields: email.
type Forgotten struct {
	Plain  part.Plain
	Action string
	Email  string
	Errors part.Errors
	Files  bool // no mail server is named: the letter goes into a file
}

// MailTo is a form that sends a link by mail. Fields: key; where it asks for the
// address also email and role.
type MailTo struct {
	Action string // empty: nothing can be sent
	Key    string
	To     string // the address it goes to; empty: the form asks for one
	Email  string // as typed
	Errors part.Errors
}

// Mailbox is letters that went into files, the newest first.
type Mailbox struct {
	Desk    part.Desk
	Letters []Letter
}

// Letter is one of them.
type Letter struct {
	Href    string
	Subject string
	To      string
	At      string // "today, 14:03"
}

// OneLetter is its text.
type OneLetter struct {
	Desk   part.Desk
	Letter Letter
	Lines  []LetterLine
	Back   string
}

// LetterLine is a paragraph of a letter; a link where it is an address of this
// Halfhour alone on its line.
type LetterLine struct {
	Words string
	Href  string // empty: words
}
