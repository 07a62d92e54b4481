package page

import "halfhour.app/halfhour/web/part"

// AllWeeks is everybody's week as one list by day.
type AllWeeks struct {
	Desk   part.Desk
	Title  string // "Everybody’s week"
	Sub    string // "8 to 14 June, 14 athletes"
	Before part.Link
	After  part.Link
	Groups []WeekGroup // which weeks can be looked at; empty: the club has no group
	Links  []part.Link // groups and holidays
	Days   []AllDay
	Closed []AllName // for whom nothing is planned at present
	Empty  string    // where there is nobody; else empty
}

// WeekGroup leads to the weeks of one group.
type WeekGroup struct {
	Name string
	Href string
	Here bool
}

// AllDay is one day.
type AllDay struct {
	Day   string // "Monday"
	Date  string // "8 June"
	Today bool
	Lines []AllLine
	Past  string // of a day gone by: what stands above its lines, which are folded: "Six done, two not done"; else empty
	Quiet string // where there is no line
}

// AllLine are the people who do the same at the same time.
type AllLine struct {
	What  string // "Running, in the morning", "With Early birds, 06:30"
	Small string // what stands below it; may be empty
	Names []AllName
}

// AllName is one of them.
type AllName struct {
	Name string
	Href string
	Word string // the phase, "is on Sunday now"; may be empty
}

// GroupsPageView is the groups and holidays of a club.
type GroupsPageView struct {
	Desk     part.Desk
	Groups   []OneGroup
	New      GroupForm // Action empty: deputies look only
	Holidays []OneHoliday
	Free     HolidayForm
	Mistakes []part.Mistake
}

// OneGroup is one group.
type OneGroup struct {
	Name   string
	Words  string // "Tuesday 18:30, Thursday 18:30"
	People string // "5 athletes"
	Weeks  string // leads to their week
	Form   GroupForm
	Remove string // where the form is sent that takes it away; empty: not here
}

// GroupForm asks for a group. Fields: key, version, name, meets[0] to meets[6].
type GroupForm struct {
	Action  string
	ID      string // before the ids of its fields, which tell several forms apart
	Key     string
	Version string // of one that is there
	Name    string
	Meets   [7]string // times like 18:30, from Monday; empty: not on that day
	Days    [7]string
	Open    bool
	Errors  part.Errors
}

// OneHoliday is one holiday.
type OneHoliday struct {
	Words  string // "24 June, Midsummer"
	Remove string
}

// HolidayForm asks for a holiday. Fields: key, name, from, to.
type HolidayForm struct {
	Action         string
	Key            string
	Name, From, To string
	Errors         part.Errors
}

// meets is the name of the field for a day.
func meets(i int) string { return "meets[" + string(rune('0'+i)) + "]" }
