// Package part holds what pages are made of: the frames around them, the strip,
// the small pictures of figures, fields of forms. Each component has its view
// model beside it: plain values, already in words. Nothing here knows the rules,
// the database or the routes beyond the addresses below.
package part

// Addresses that frames link to.
const (
	RosterAt  = "/roster"
	PathwayAt = "/pathway"
	ClubAt    = "/club"
	SignInAt  = "/sign-in"
	SignOutAt = "/sign-out" // POST
	TodayAt   = "/today"
	MineAt    = "/sessions"
	MeAt      = "/me"
	WeekAt    = "/week"
	WeeksAt   = "/weeks"
	GroupsAt  = "/groups"
	GoAt      = "/go"
	JoiningAt = "/joining"
	LetterAt  = "/letter" // what a coach wants of letters

	ManifestAt = "/manifest.webmanifest"
	WorkerAt   = "/sw.js"
	NoSignalAt = "/no-signal"
)

// Section is the place in the coach's navigation that a page belongs to.
type Section uint8

// The sections.
const (
	NoSection Section = iota
	InRoster
	InWeeks
	InPathway
	InClub
)

// Desk is the frame of a coach's page.
type Desk struct {
	Title  string // of the page, without the product's name
	Club   string
	Date   string  // of the club's day: "Tuesday 14 April"; may be empty
	Coach  string  // who is signed in
	Demo   bool    // the club is invented; said on every page
	At     Section // which entry of the navigation is marked
	Notice Notice  // zero: none
	Loads  []string
}

// Phone is the frame of an athlete's page: narrow, one column.
type Phone struct {
	Title  string // of the page, without the product's name
	Demo   bool
	Back   string // address of the page before; empty: none
	For    string // the athlete, where a coach enters something for them; empty: the athlete is signed in
	At     string // TodayAt, WeekAt, MineAt or MeAt where the page is one of them
	Notice Notice // zero: none
	Loads  []string
}

// Plain is the frame of a page for somebody who is not signed in, and of pages
// that must work when nothing else does.
type Plain struct {
	Title  string
	Demo   bool
	Notice Notice
	Loads  []string
}

// Paper is the frame of pages that are there to be printed.
type Paper struct {
	Title string
	Back  Link
}

// Notice says on top of a page what was just done. The zero value is none.
type Notice struct {
	Text string // "Ines Okafor moved up to run 2 min 45, walk 3 min 15."
	Warn bool   // something was left undone, or needs another look
	Undo Undo   // zero: cannot be taken back
	More []string
	Next Link // where to go on; zero: nowhere
}

// Undo is the form that takes a decision back. The zero value is none.
type Undo struct {
	Action string // where the form is sent
	Fields []Hidden
}

// Hidden is a hidden field of a form.
type Hidden struct{ Name, Value string }

// Files that only some pages load, named in Loads of a frame: what every page
// loads stays small.
const (
	HeartStyle  = "heart.css"   // pages about heart rate
	LiftStyle   = "lift.css"    // pages about strength
	LiftScript  = "lift.js"     // the steps of numbers, in place
	FigureStyle = "figure.css"  // pages with drawn people: part.Figure
	TalkScript  = "talktest.js" // the guided talk test
	PaperStyle  = "paper.css"   // pages that are there to be printed
	GoStyle     = "go.css"      // the guided session
	WeekStyle   = "week.css"    // weeks, groups
	JoinStyle   = "joining.css" // joining, and the review that follows
	JoinScript  = "joining.js"  // questions of which several answers may be true
	WarmStyle   = "warmup.css"  // the checklist before and after, and the club's routine
	GoScript    = "phone/go.js"
	LetterStyle = "letter.css" // pages that show a letter
	// What waits on the phone to be sent, on Today.
	WaitingScript = "phone/today.js"
	// Signing in with a passkey, and a coach's passkeys.
	PasskeyScript = "passkey.js"
)

// titled is the title of a page with the product's name.
func titled(title string) string {
	if title == "" {
		return "Halfhour"
	}
	return title + " · Halfhour"
}
