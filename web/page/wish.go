package page

import "halfhour.app/halfhour/web/part"

// Letters is what a coach wants of letters, what the next one would say, and those that
// were sent.
type Letters struct {
	Desk    part.Desk
	Due     string // "The next one is due on Sunday, 18:00."
	Refused string // why none is due although one is wanted; empty: no reason
	Form    LetterForm
	Preview Frame
	Now     SendNow
	Past    []PastLetter // the newest first
}

// LetterForm is what a coach may choose. Fields: letter_on, day, hour, news_only, whose,
// detail, at_once.
type LetterForm struct {
	Action   string
	On       bool
	Day      string // 1 to 7
	Days     []part.Option
	Hour     string // 0 to 23
	Hours    []part.Option
	Zone     string // the hour is told in
	NewsOnly bool
	Whose    string // own or all
	Detail   string // initials, names or reasons
	AtOnce   bool
	Errors   part.Errors
	Mistakes []part.Mistake
}

// whose are about whom a letter may be.
func (f LetterForm) whose() part.Choices {
	return part.Choices{Name: "whose", Label: "About whom", Value: f.Whose, Error: f.Errors.At("whose"), Options: []part.Option{
		{Value: "own", Words: "My own athletes, and those of nobody"}, {Value: "all", Words: "Everybody whom I see"},
	}}
}

// details are how much a letter may tell.
func (f LetterForm) details() part.Choices {
	return part.Choices{
		Name: "detail", Label: "How much it tells", Value: f.Detail, Error: f.Errors.At("detail"),
		Hint: "A letter passes many hands and stays in a mailbox. Halfhour itself always shows you everything.",
		Options: []part.Option{
			{Value: "initials", Words: "Initials and flags", Hint: "“I. O., ready to move up”"},
			{Value: "names", Words: "Names and flags", Hint: "“Ines Okafor, ready to move up”"},
			{Value: "reasons", Words: "Names, flags and why", Hint: "In a sentence with its numbers. What somebody told of pain is then in your mail, too."},
		},
	}
}

// Frame shows a letter inside a page.
type Frame struct {
	Title string
	HTML  string // where it comes from
	Plain string // the same as plain text
}

// SendNow sends the coach a letter. Fields: key.
type SendNow struct {
	Action string
	Key    string
	To     string // the address
	Wrong  string // why it was not; empty: it was, or nobody asked
}

// PastLetter is a letter that was written before.
type PastLetter struct {
	Words string // "The week of 6 April"
	Note  string // "sent on Sunday, 18:00"
	Href  string // empty: it was not sent
}

// SentLetter is one as it was sent.
type SentLetter struct {
	Desk    part.Desk
	Subject string
	Sent    string // "Sent on Sunday, 18:00"
	Gone    string // that it told of somebody who was erased; empty: it did not
	Letter  Frame
	Back    string
}

// Mails is which mail an athlete wants. Fields: decisions, monday, gentle.
type Mails struct {
	Action    string // empty: there is nothing to say
	Where     string // to which address; that none is known
	Warn      bool   // mail does not arrive
	Decisions bool
	Monday    bool
	Gentle    bool
}

// Gentle is what a club writes after silence. Fields: gentle_on, gentle_words.
type Gentle struct {
	Action string // empty: not an owner
	On     bool
	Words  string
	Errors part.Errors
}
