package page

import "halfhour.app/halfhour/web/part"

// Mine is an athlete's own sessions, the newest first.
type Mine struct {
	Phone    part.Phone
	Lead     string // "31 sessions since February"
	Sessions []SessionRow
	LogHref  string
}

// Delete asks before a session is deleted. Fields: version.
type Delete struct {
	Phone   part.Phone
	Title   string // "Delete Sunday's session?"
	Session SessionRow
	Action  string
	Version string
	Back    string
}

// Leave is the times away of an athlete, on the athlete's page and on the phone.
// Fields of the form: from, to, why, key.
type Leave struct {
	Action string
	Key    string
	From   string // 2026-04-14
	To     string
	Why    string
	Errors part.Errors
	Times  []Time
}

// Time is one time away.
type Time struct {
	Words string // "20 to 27 March, holiday"
	Open  bool   // not over yet: offers the form with field to
	Key   string
	Back  string // action: the last day away; field to
	Never string // action: takes it out again
	Today string // 2026-04-14, filled in as the last day
}

// AwayPage is the phone's page for times away.
type AwayPage struct {
	Phone part.Phone
	Leave Leave
}

// facts are what became of the session, and its length.
func (s SessionRow) facts() string { return joined(", ", s.What, s.Length) }

// told is what was told of the session in one line.
func (s SessionRow) told() string {
	return joined("; ", with("effort ", s.Effort), with("talk: ", s.Talk), with("breath back: ", s.Breath), with("pain: ", s.Pain))
}
