package page

import "halfhour.app/halfhour/web/part"

// OwnCalendar is an athlete's page about the calendar elsewhere, ClubCalendar a coach's.
type (
	OwnCalendar struct {
		Phone part.Phone
		Calendar
	}
	ClubCalendar struct {
		Desk part.Desk
		Calendar
	}
)

// Calendar is the private address of a calendar: whether there is one, and how it is
// made and taken away.
type Calendar struct {
	Lead   string
	Holds  []string // what stands in it, line by line
	There  string   // since when there is an address; empty: there is none
	Shown  *Address // just made; nil: it is not shown again
	Action string
	Key    string
	End    string // where it is taken away
	Back   part.Link
}

// Address is a calendar's address as it is shown once.
type Address struct {
	Text   string
	Webcal string // the same, for programs that open such addresses
	QR     part.QR
}
