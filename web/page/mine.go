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
// Fields of the form: kind (away, illness or injury), from, to, why, key.
type Leave struct {
	Action string
	Key    string
	Kind   string // away unless picked otherwise
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
	Over  string // its button: "Back today", "Well again today"
	Key   string
	Back  string // action: the last day away; field to
	Never string // action: takes it out again
	Today string // 2026-04-14, filled in as the last day
}

// ComingBack is how somebody comes back after an illness or an injury.
type ComingBack struct {
	Phone part.Phone
	Title string // "Coming back after being ill"
	Lead  string
	Steps []string // one after the other
	Way   string   // where the sessions begin again; empty: where they were
	Care  []string // when to ask a doctor first, and what all of it is
	Next  part.Link
}

// kinds are the reasons for being away.
func (l Leave) kinds() part.Choices {
	return part.Choices{
		Name: "kind", Label: "What is it?", Value: first(l.Kind, "away"), Error: l.Errors.At("kind"),
		Options: []part.Option{
			{Value: "away", Words: "Holiday, work, anything else"},
			{Value: "illness", Words: "Ill"},
			{Value: "injury", Words: "Injured", Hint: "The way back then begins at the first phase, and the coach looks first."},
		},
	}
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
