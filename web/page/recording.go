package page

import "halfhour.app/halfhour/web/part"

// Recording is the heart-rate recording of a session, or the way to add one.
type Recording struct {
	Phone part.Phone
	Desk  part.Desk // with a title it is a coach's page, and Phone is not read
	Title string    // "Sunday’s session"
	About string    // "Ines Okafor, 30 min, in full"
	Strip *part.Strip
	Off   string // heart rate does not count here, and why; empty: it counts

	// What the recording shows; Trace is nil where there is none.
	Trace    *part.Trace
	Mixed    string // breath and heart disagree; empty: they do not
	Lead     string // "Five of six walks settled."
	Facts    []Fact
	Lost     []LostWords
	Warnings []string
	Walks    []Walk
	NoRate   *part.Link // no ceiling is known: where one comes from
	Stale    string     // why reading it anew may say something else; empty: it would not
	Anew     string     // action
	Remove   Confirm

	Upload  Upload
	Correct part.Link // to the session
}

// Fact is one thing known of a recording.
type Fact struct{ Name, Words string }

// LostWords explains a letter of the picture.
type LostWords struct{ Sign, Words string }

// Walk is what one walk shows. Empty cells are not known.
type Walk struct {
	Name   string // "Walk 1"
	Share  string // "95%"
	Range  string // "88% to 98%": with the ceiling lower and higher
	Settle string // "57 s"
	Drop   string // "31 beats"
	Heart  Told
	Breath Told
	Both   Told
	Why    string // why nothing of the heart can be said; empty: Share and the others say it
	Doubt  string // why the heart cannot tell all the same; may be empty
	Mixed  bool
}

// Told is an answer in words with its sign.
type Told struct {
	State part.State
	Words string // "settled"
}

// Upload is the form for a file. Fields: file, replace, anyway.
type Upload struct {
	Action  string
	Open    bool   // shown at once; else unfolded on request
	Replace string // what ticking the box does; empty: not asked
	Anyway  string
	Ticked  map[string]bool // which of the two are ticked already
	Refused string          // why the file was not taken without a tick; empty: it was not refused so
	Errors  part.Errors
}

// mark is the sign beside the answer.
func (t Told) mark() part.Mark { return part.Mark(t.State) }
