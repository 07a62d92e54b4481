package page

import "halfhour.app/halfhour/web/part"

// About is what is kept of an athlete and who looked at it: the athlete's own page
// (Phone), or a coach's (Desk).
type About struct {
	Phone      part.Phone
	Desk       part.Desk
	Name       string
	Back       string   // of a coach's: the athlete's page
	Logins     []Login  // the athlete's own page only
	Facts      []Figure // "Name", "E-mail", …
	Kept       []string // "38 sessions"
	Agreed     []string // "Your answers about health may be kept: agreed to on 3 April."
	CalendarAt string   // the calendar elsewhere; empty: not the own page
	Roller     Roller   // the athlete's own page only
	Looks      []Month  // the newest first
	Older      []Month  // folded away
	Archive    string   // where the file comes from
	Asked      string   // "Ana asked to be erased on 3 April. It happens by itself on 10 April."; empty: nobody asked
	Stays      string   // how long somebody who left is kept
	EraseAt    string   // the athlete's: where to ask; empty: asked already
	KeepMe     string   // the athlete's: action that takes it back; empty: nobody asked
	Erase      Erase    // a coach's
	Mails      Mails    // the athlete's own page only
}

// Month is who looked at what in a month.
type Month struct {
	Name  string // "November"
	Lines []string
}

// Erase is the form with which a coach erases an athlete. Fields: name.
type Erase struct {
	Action string
	Typed  string
	Errors part.Errors
}

// AskErase asks once more before an athlete asks to be erased.
type AskErase struct {
	Phone   part.Phone
	When    string // "on 21 April"
	Action  string
	Archive string
	Back    string
}

// Keeping is how long a club keeps those who left, and who goes soon. Fields:
// keep_months.
type Keeping struct {
	Action  string // empty: not an owner
	Months  string
	Words   string   // "Athletes who left are kept for 24 months, then everything about them is erased."
	Asking  []Ending // who asked
	Ending  []Ending // who left, and goes within a month
	Never   []Ending // who never began, and goes within a month
	Tallies []string
	Errors  part.Errors
}

// Ending is an athlete who is erased on a day.
type Ending struct {
	Name string
	Href string
	When string // "on 3 December"
}

// whom is the athlete as the page speaks of them.
func (v About) whom() string {
	if v.Back == "" {
		return "you"
	}
	return v.Name
}

// goes is what the athlete does outside.
func (v About) goes() string {
	if v.Back == "" {
		return "walk and run"
	}
	return "walks and runs"
}
