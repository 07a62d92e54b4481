package page

import "halfhour.app/halfhour/web/part"

// StopMail stops letters of one kind, for whoever has one. Fields: do.
type StopMail struct {
	Plain   part.Plain
	Title   string // "Stop the weekly letter?"
	Words   string // "You get no weekly letter from Harbour any more."
	More    string // what else to know; may be empty
	Action  string
	Do      string // stop or back
	Button  string
	Stopped bool
}
