// Package post is how mail comes about: which letters there are, to whom they go,
// until when they are worth sending, and what happens to one that nobody takes.
//
// A letter is written down in the transaction that makes it necessary, and sent
// afterwards. What stands in it is put together when it is sent first: until then the
// row says only of which kind it is and for whom. Of kinds that are kept it is stored
// then, and sent again as it was.
package post

import (
	"context"
	"errors"
	"net/mail"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Kind says what a letter is about.
type Kind string

// The kinds of a letter.
const (
	WayIn            Kind = "way_in"            // somebody asked for a new password or sign-in link
	Invitation       Kind = "invitation"        // an athlete's sign-in link, sent by a coach
	CoachInvitation  Kind = "coach_invitation"  // the link that makes a new coach, sent by an owner
	DeputyInvitation Kind = "deputy_invitation" // the same for a deputy
	NewDevice        Kind = "new_device"        // a coach signed in where he or she never did before
	NewAddress       Kind = "new_address"       // the link that confirms a coach's new e-mail address, to that address
	OldAddress       Kind = "old_address"       // that it was changed, to the address before

	Weekly    Kind = "weekly"     // how the week went, to a coach
	WeeklyNow Kind = "weekly_now" // the same, because the coach asked for one now
	AtOnce    Kind = "at_once"    // an athlete told of a warning sign, or of pain that stops running, to a coach
	Decided   Kind = "decision"   // what a coach decided, to the athlete
	Monday    Kind = "monday"     // the sessions of the week, to an athlete
	Gentle    Kind = "gentle"     // a word after silence, to an athlete
)

// Worth is how long a letter of the kind is worth sending. Whoever asked for a way
// in a day ago has asked again; an invitation waits longer. The numbers are ours.
func (k Kind) Worth() time.Duration {
	switch k {
	case WayIn, NewAddress, Monday:
		return 24 * time.Hour
	case NewDevice, Weekly, WeeklyNow, Decided, Gentle:
		return 3 * 24 * time.Hour
	}
	return 7 * 24 * time.Hour
}

// Wait is how long a letter of the kind waits before it is sent: a decision can be taken
// back with one touch, and most that are, are within a minute. Ours.
func (k Kind) Wait() time.Duration {
	if k == Decided {
		return 90 * time.Second
	}
	return 0
}

// Linked says whether a letter of the kind carries a one-time link.
func (k Kind) Linked() bool { return !k.Kept() && k != NewDevice && k != OldAddress }

// Kept says whether what stands in a letter of the kind is kept as it was sent.
func (k Kind) Kept() bool {
	switch k {
	case Weekly, WeeklyNow, AtOnce, Decided, Monday, Gentle:
		return true
	}
	return false
}

// Wanted says whether letters of the kind come by themselves, so that whoever gets
// them may stop them, and none goes to an address that was refused.
func (k Kind) Wanted() bool { return k.Kept() && k != WeeklyNow }

// Person is a coach or an athlete of a club.
type Person struct {
	Club    roster.ClubID
	Coach   roster.CoachID // one of the two is set
	Athlete roster.AthleteID
}

// Letter is one letter with what is known of it when it is sent.
type Letter struct {
	ID      roster.LetterID
	Club    roster.Club
	Kind    Kind
	Coach   roster.CoachID   // to whom; both zero: to the address alone
	Athlete roster.AthleteID //
	Name    string           // of that person; empty where nobody is here yet
	Address string           // empty: there is nobody to send it to (any more)
	By      string           // the name of the coach who sends it, or of AtOnce who noted it; empty: nobody did
	Device  string           // of NewDevice
	Since   time.Time        // of NewDevice: when that login began
	Present string           // the coach's address now; of OldAddress the one that was changed to
	MadeAt  time.Time
	Done    bool // sent, or dropped

	Week       day.Date          // of Weekly: the Monday of its week where the club is
	Session    roster.SessionID  // of AtOnce; 0: another thing than a session, or it is gone
	Decision   roster.DecisionID // of Decided; 0: that somebody was taken in
	Alarm      roster.Alarm      // of AtOnce
	Unwanted   bool              // the person wants no letters of the kind (any more)
	Stop       string            // the secret in the address that stops letters to the person; empty: nobody's
	Refused    bool              // a mail server refused the address, and has taken nothing since
	ComposedAt time.Time         // when what is kept of it was put together; zero: not yet, or nothing is
}

// Why is why a letter was dropped.
type Why string

// The reasons.
const (
	Refused Why = "refused" // the mail server takes nothing for that address
	Late    Why = "late"    // it is not worth sending any more
	Nobody  Why = "nobody"  // the person has left, or has no address
	Moot    Why = "moot"    // there is nothing to say any more
	Stopped Why = "stopped" // the person does not want such letters any more
)

// Link is a one-time link just made.
type Link struct {
	Path  string // on this Halfhour, with the code in it
	Until time.Time
}

// Mail is a letter ready to be put into words.
type Mail struct {
	Letter
	Here  string // how people reach this Halfhour: https://run.example.org
	Link  string // the whole address; empty: the kind has none
	Until time.Time

	Content Content // of a kind that is kept
}

// ErrRefused says that a mail server takes nothing for the address, now or later.
var ErrRefused = errors.New("the mail server refused the address")

// Carrier takes a letter away. Its errors hold no address and nobody's name; one
// that trying again cannot mend is ErrRefused.
type Carrier interface {
	Carry(ctx context.Context, m *Mail) error
}

// Store is what is kept of letters.
type Store interface {
	// Write keeps a letter that a coach sends, to an athlete of the club or to an
	// address, and hands it on to be sent, all in one transaction; of the kind NewAddress
	// the coach who sends it is also whom it is to. The same key twice is kept once. An athlete of another club is fault.NotFound.
	Write(ctx context.Context, who roster.Actor, k Kind, to roster.AthleteID, address string, key roster.Key) error
	// WaysIn keeps a letter of the kind WayIn for each person, and hands each on to
	// be sent, in one transaction. The same key twice is kept once.
	WaysIn(ctx context.Context, people []Person, key roster.Key) error
	// Letter gives one letter, or fault.NotFound.
	Letter(ctx context.Context, club roster.ClubID, id roster.LetterID) (Letter, error)
	// Compose keeps what stands in a letter, if nothing is kept of it yet.
	Compose(ctx context.Context, club roster.ClubID, id roster.LetterID, c Content, at time.Time) error
	// Content is what is kept of it, in order; empty where nothing is.
	Content(ctx context.Context, club roster.ClubID, id roster.LetterID) (Content, error)
	// Sent notes that the letter was sent, and that mail to its person is not refused.
	Sent(ctx context.Context, club roster.ClubID, id roster.LetterID) error
	// Drop notes that it will not be, and why.
	Drop(ctx context.Context, club roster.ClubID, id roster.LetterID, why Why) error
	// Refuse is Drop because the address was refused, and notes that at its person as
	// well, if the address is still that person's.
	Refuse(ctx context.Context, club roster.ClubID, id roster.LetterID, address string) error

	// EveryClub gives the numbers of all clubs.
	EveryClub(ctx context.Context) ([]roster.ClubID, error)
	// ForgetLetters removes the club's letters made before the first instant, the
	// weekly ones made before the second, and gives how many there were.
	ForgetLetters(ctx context.Context, club roster.ClubID, before, weekly time.Time) (int, error)
	// LettersThere are those of the letters that the club still has whole: none that
	// told of somebody who was erased.
	LettersThere(ctx context.Context, club roster.ClubID, of []roster.LetterID) ([]Stamp, error)

	// Due are coaches of all clubs whose weekly letter is due at the instant, or for
	// whom it is not worked out yet when it will be: by club and coach, those after
	// the one given, so many at most.
	Due(ctx context.Context, at time.Time, after Due, most int) ([]Due, error)
	// Plan carries the plans of one club out, all or none: it sets when the next
	// letter is due, writes the letters of those with a week unless that of the week
	// is there, and hands them on. Whoever was planned meanwhile is left alone. It
	// gives how many letters were written.
	Plan(ctx context.Context, club roster.ClubID, plans []Plan) (int, error)

	// HearerZones are the time zones of those whom Hearers gives.
	HearerZones(ctx context.Context, k Kind) ([]string, error)
	// Hearers are athletes of all clubs in the zones who can be written to and want
	// letters of the kind, which is Monday or Gentle: by club and athlete, those after
	// the one given, so many at most.
	Hearers(ctx context.Context, k Kind, zones []string, after Hearer, most int) ([]Hearer, error)
	// MaybeSilent are those of the athletes of whom nothing was heard for about a week
	// at the first instant, and to whom no coach has written, nor decided about them,
	// since the second. Whether it is silence, Service.Silence says.
	MaybeSilent(ctx context.Context, club roster.ClubID, of []roster.AthleteID, at, answered time.Time) ([]roster.AthleteID, error)
	// WriteTo writes letters of the kind to athletes of the club, and hands them on, all
	// or none; whoever is not here or is held is left out, and so is a key that is there
	// already. It gives how many it wrote.
	WriteTo(ctx context.Context, club roster.ClubID, k Kind, to []Addressed) (int, error)

	ChoiceStore
}

// ChoiceStore is what is kept of what people want of letters.
type ChoiceStore interface {
	// Chosen is what the coach who asks chose, or fault.NotFound.
	Chosen(ctx context.Context, who roster.Actor) (Chosen, error)
	// Choose keeps what the coach wants. Another day or hour, and letters that come
	// again, are to be planned anew.
	Choose(ctx context.Context, who roster.Actor, w roster.Wishes) error
	// Mails are those of the athlete who asks, or fault.NotFound.
	Mails(ctx context.Context, who roster.Actor) (Mails, error)
	// SetMails keeps which mail the athlete wants.
	SetMails(ctx context.Context, who roster.Actor, m Mails) error
	// GentleWord is the club's.
	GentleWord(ctx context.Context, club roster.ClubID) (GentleWord, error)
	// SetGentleWord keeps it.
	SetGentleWord(ctx context.Context, who roster.Actor, g GentleWord) error
	// WriteNow keeps a letter of the kind WeeklyNow to the coach and hands it on. The
	// same key twice is kept once. It gives false and keeps nothing where more than
	// most were made since.
	WriteNow(ctx context.Context, who roster.Actor, key roster.Key, since time.Time, most int) (bool, error)
	// PastLetters are the newest letters of the kinds Weekly and WeeklyNow to the coach
	// who asks, so many at most.
	PastLetters(ctx context.Context, who roster.Actor, most int) ([]Past, error)
	// PastLetter is one of them, or fault.NotFound.
	PastLetter(ctx context.Context, who roster.Actor, id roster.LetterID) (Past, error)
	// Stoppable is whose letters of the kind the secret stops, whichever the club, or
	// fault.NotFound.
	Stoppable(ctx context.Context, secret string, k Kind) (Stoppable, error)
	// Stop keeps whether the person wants letters of the kind.
	Stop(ctx context.Context, of *Stoppable, on bool) error
}

// Service writes and delivers letters.
type Service struct {
	Store     Store
	Carrier   Carrier
	Composer  Composer                                     // of the kinds that are kept
	Previewer Previewer                                    // of the weekly letter
	Files     Files                                        // where letters went that no mail server took; nil: none did
	Link      func(context.Context, *Letter) (Link, error) // makes the one-time link of a letter
	Here      string                                       // how people reach this Halfhour

	// Silence says since when nothing was heard of an athlete; fault.NotFound where
	// nobody can say.
	Silence func(context.Context, roster.ClubID, roster.AthleteID) (Silence, error)
	Now     func() time.Time
}

// Invite sends an athlete the sign-in link by mail. An athlete without an e-mail
// address is a fault at email.
func (s *Service) Invite(ctx context.Context, who roster.Actor, a *roster.Athlete, key roster.Key) error {
	if m := CheckAddress(a.Email); m != "" {
		return fault.At(fault.Field{Place: "email", Message: m})
	}
	return s.Store.Write(ctx, who, Invitation, a.ID, "", key)
}

// InviteCoach sends the link that makes a new coach or deputy to an address; what is
// wrong with it is a fault at email.
func (s *Service) InviteCoach(ctx context.Context, who roster.Actor, deputy bool, address string, key roster.Key) error {
	address = roster.LowerEmail(address)
	if m := CheckAddress(address); m != "" {
		return fault.At(fault.Field{Place: "email", Message: m})
	}
	kind := CoachInvitation
	if deputy {
		kind = DeputyInvitation
	}
	return s.Store.Write(ctx, who, kind, 0, address, key)
}

// NewAddress sends the link that confirms a coach's own new address to that address;
// what is wrong with it is a fault at email.
func (s *Service) NewAddress(ctx context.Context, who roster.Actor, address string, key roster.Key) error {
	address = roster.LowerEmail(address)
	if m := CheckAddress(address); m != "" {
		return fault.At(fault.Field{Place: "email", Message: m})
	}
	return s.Store.Write(ctx, who, NewAddress, 0, address, key)
}

// CheckAddress says what is wrong with an address that mail is to go to; empty
// when nothing is. It is stricter than what a form takes in as somebody's address:
// one address alone, as the rules of mail write it.
func CheckAddress(address string) string {
	if m := roster.CheckEmail(address); m != "" {
		return m
	}
	parsed, err := mail.ParseAddress(address)
	if err != nil || parsed.Name != "" || parsed.Address != address || strings.ContainsAny(address, "<>\"(),:;\\[]") {
		return "please give an e-mail address like name@example.org"
	}
	return ""
}

// WaysIn writes to each of the people who have an address that somebody named as
// theirs. Nobody at all is no fault: then there is nothing to write.
func (s *Service) WaysIn(ctx context.Context, people []Person, key roster.Key) error {
	if len(people) == 0 {
		return nil
	}
	return s.Store.WaysIn(ctx, people, key)
}

// Filed is a letter that went into a file, because no mail server is named.
type Filed struct {
	Name    string // of the file
	To      string // the address
	Subject string
	At      time.Time
	Text    string // its plain text; empty in a list
}
