package page

import "halfhour.app/halfhour/web/part"

// OwnWeek is an athlete's week on the phone.
type OwnWeek struct {
	Phone part.Phone
	Week  WeekList
	Ways  WeekWays
	Away  part.Link // "I am away"
}

// CoachWeek is the same for a coach.
type CoachWeek struct {
	Desk  part.Desk
	Name  string
	Href  string // the athlete's page
	Week  WeekList
	Ways  WeekWays
	Links []part.Link // everybody's week, times away
}

// WeekList is a week as seven rows.
type WeekList struct {
	Title  string // "This week"
	Sub    string // "8 to 14 June, 1 of 3 done"
	Before part.Link
	After  part.Link
	Closed []string // why nothing is planned; empty: something is
	Told   []string // what gives way, what finds no day
	Moving string   // "Where should Thursday's run go?"; empty: nothing is being moved
	Leave  string   // the address that moves nothing, while moving
	Rows   []WeekRow
}

// WeekRow is one day.
type WeekRow struct {
	ID    string // of the row: "monday"
	Day   string // "Monday"
	Date  string // "8 June"
	Today bool
	Quiet string // where there is no session: "rest", "away", "Midsummer"
	Items []WeekItem
	Place *WeekPlace // while something is being moved
}

// WeekItem is one session.
type WeekItem struct {
	What  string // "Run 1 min, walk 2 min, ten times"
	When  string // "in the evening", "18:30 with Early birds"; may be empty
	Note  string // "missed; it is on Sunday now", "fixed by your coach"; may be empty
	Over  bool   // missed: shown quietly
	Here  bool   // it is this one that is being moved
	Strip *part.Strip
	Move  part.Link // zero: it cannot be moved
	Do    part.Link // of one of today: where it is done; zero: nowhere special
	Look  part.Link // of one that is done: correct it; zero: it cannot be
}

// WeekPlace is a day as the place to which something is moved. Fields: key, kind,
// from, to, part and insist.
type WeekPlace struct {
	Action  string // empty: it cannot be moved here
	Fields  []part.Hidden
	Button  string        // "Move it here"
	Parts   []part.Option // values of part, each with a button, in place of Button
	Costs   []string      // what would give way or move with it
	Refused string        // why it cannot be, or cannot by rights
	Quiet   bool          // a button to be thought over: a coach insists
}

// WeekWays are what of weeks stays the same.
type WeekWays struct {
	Habits string // where the form is sent; empty: not to be changed here
	Key    string
	Times  []WeekTimes
	Coach  bool // strength and the group can be set, too
	First  string
	Strong part.Choices // strength
	Legs   part.Choices
	Groups part.Choices
	Errors part.Errors

	Pins  []WeekPin
	Pin   string // where the form for another fixed day is sent; empty: not offered
	Kinds []part.Option
	Days  []part.Option
	Parts []part.Option
}

// WeekTimes are the times of one day: three boxes to tick.
type WeekTimes struct {
	Day   string // "Monday"
	Boxes [3]WeekBox
}

// WeekBox is one of them.
type WeekBox struct {
	Value string // of the field times: "monday-morning"
	Label string // "Monday morning"
	On    bool
}

// WeekPin is a fixed day.
type WeekPin struct {
	Words string // "Run on Tuesday evenings"
	By    string // "fixed by your coach"; may be empty
	Lift  string // where the form is sent that ends it; empty: it cannot be ended here
}
