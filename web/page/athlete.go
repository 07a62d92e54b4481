package page

import "halfhour.app/halfhour/web/part"

// Athlete is one athlete in full, for a coach.
type Athlete struct {
	Desk      part.Desk
	Name      string
	About     string // "41, sixth week, walk-led phase 3 of 4"
	Left      string // "Left the club on 3 April."; empty: still here
	Headline  string // the proposal in words: "Ready to move up to run 2 min 45, walk 3 min 15."
	Why       string // the verdict in a sentence or two
	Flags     []part.Flagged
	Standing  part.Flagged // paused, referred or on leave: "Paused since 3 April"; zero: none of these
	Decision  Decision
	Gate      Gate
	Newest    *Session // nil: nothing logged yet
	Sessions  []SessionRow
	MoreHref  string // all sessions, where Sessions holds the newest only; empty: these are all
	LogHref   string // entering a session for the athlete
	Weeks     part.Weeks
	Settles   part.Settles
	Sites     []part.Site
	Stays     []Stay
	Heart     Ceiling // zero: not shown
	Health    Health  // zero: not shown
	Lift      LiftCard
	Week      string  // to the week; empty: whoever has left has none
	Coming    *Coming // is not here yet: nothing is decided; nil: is here
	Arrival   string  // how soon thirty minutes may come, as a range; empty: not told
	Figures   []Figure
	Decisions []Decided
	Notes     []Note
	NoteForm  NoteForm
	Leave     Leave
	Access    Access
	EditHref  string // empty: not for deputies
	KeptHref  string // what is kept of the athlete; empty: not for this coach
	Hand      HandOver
	LeaveClub Confirm  // zero where the athlete has left
	Return    Confirm  // zero where the athlete is here
	Rules     []string // "7", "10.1": behind the verdict
}

// Decision is the form with which a coach decides. Fields: choice, reason, word,
// pick, key.
type Decision struct {
	Action   string
	Pick     string // hidden: athlete, proposal and version, as the handler packs them
	Key      string
	Proposed part.Option   // Value is the choice: "Move up to run 2 min 45, walk 3 min 15"
	Others   []part.Option // Hint says what each one does
	Choice   string        // what is ticked; empty: the proposed one
	To       []part.Option // phases to begin with, where a choice lets the coach pick; sent as to
	ToValue  string
	Reason   string
	Clears   bool   // recording a clearance is among the choices
	GivenOn  string // of a clearance: 2026-04-14
	GivenBy  string
	Limits   string
	Word     string // to the athlete
	Errors   part.Errors
	Settled  string // "You decided this morning: move up. Undo on top." where nothing is asked; may be empty
}

// Gate is what must be seen before the next phase.
type Gate struct {
	Phase      string // "walk-led phase 3 of 4"
	Verdict    string // "The gate is open."
	Conditions []part.Condition
}

// Session is one session drawn large.
type Session struct {
	Title string // "Sunday, session 3 of 3"
	Facts string // "30 min, effort 4 of 10, no pain"
	Strip part.Strip
	Words string      // the blocks in words: "run 2 min, walk 3 min, six times; breath back after 49 s at the median"
	Note  string      // the athlete's own words; may be empty
	Href  string      // correct it
	Trace *part.Trace // its recording; nil: Strip is drawn
	Heart string      // what the recording says in a sentence
	Heard part.Link   // to the recording, or to where one is added; zero: neither
}

// SessionRow is one session in the list. Empty cells are not told.
type SessionRow struct {
	Date   string // "Sun 12 April"
	What   string // "In full", "Cut short", "Extra run", "Strength"
	Strip  part.Strip
	Length string // "30 min"
	Effort string // "4"
	Talk   string // "a short sentence"
	Breath string // "49 s"
	Pain   string // "left shin 4"
	Note   string
	Href   string    // correct it
	Heard  part.Link // to the recording, or to where one is added; zero: neither
}

// Stay is a time on one phase.
type Stay struct {
	Phase    string // "Walk-led 2 of 4"
	Plan     string // in words
	From, To string // "3 March", "24 March"; To is empty for the present one
	Sessions string // "9 sessions"
	Strip    part.Strip
}

// Figure is one number with what to keep in mind of it.
type Figure struct {
	Name    string // "Load this week"
	Value   string // "252 AU"
	Caution string // may be empty
}

// Decided is a decision of the past.
type Decided struct {
	When     string // "Monday 6 April, 7.40"
	By       string
	Words    string // "Moved up to run 2 min, walk 3 min"
	Against  string // the proposal it departed from: "Proposed was: stay"; empty where it followed
	Reason   string
	Word     string // to the athlete
	Verdict  string // the verdict's sentence as it stood
	Undone   string // "Taken back on …"; empty: it stands
	UndoForm part.Undo
}

// Note is a coach's note.
type Note struct {
	When, By, Text string
	Private        bool // not for deputies
}

// NoteForm adds a note. Fields: text, private, key.
type NoteForm struct {
	Action  string
	Key     string
	Text    string
	Private bool
	Plain   bool // a deputy's: none of it is private
	Errors  part.Errors
}

// Access is how the athlete comes in.
type Access struct {
	LinkAction string    // makes a new link; the one before ends
	Link       *SignLink // just made: shown this once; nil: none
	Logins     []Login
	Refused    string // the address mail was refused for, and when; empty: none
}

// SignLink is a one-time link just made.
type SignLink struct {
	Address string // whole address
	QR      part.QR
	Until   string // "It works once, until 28 April."
	Near    bool   // the address opens on this computer alone
	For     string // whom to give it to: "Ines Okafor"
	Mail    MailTo // sends it by mail; zero: not offered
}

// Login is one device that is signed in.
type Login struct {
	Device string // "Firefox on Android"
	Since  string // "since 3 March"
	Seen   string // "seen today"
	This   bool   // the one that looks at this page
	Action string // ends it
}

// Confirm is a button that asks first. The zero value is none.
type Confirm struct {
	Action string
	Fields []part.Hidden
	Button string // "Ines has left the club"
	Words  string // what it does
}

// picked says whether a choice is ticked: what was picked, else the proposed one.
func (d Decision) picked(choice string) bool {
	if d.Choice == "" {
		return choice == d.Proposed.Value
	}
	return choice == d.Choice
}

// departs says that something else than the proposal is picked, or that the rest
// of the form holds something to look at.
func (d Decision) departs() bool {
	return d.Proposed.Value == "" || d.Choice != "" && d.Choice != d.Proposed.Value ||
		d.Reason != "" || d.Errors.At("reason") != "" || d.Errors.At("to") != ""
}

// clearing says whether the fields of a clearance are shown at once: where it is
// what is proposed or picked, or something is wrong with it.
func (d Decision) clearing() bool {
	const cleared = "cleared"
	return first(d.Choice, d.Proposed.Value) == cleared || d.Errors.At("given_on") != "" || d.Errors.At("given_by") != "" || d.Errors.At("limits") != ""
}
