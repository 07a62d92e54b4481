package page

import "halfhour.app/halfhour/web/part"

// Papers are printed weeks: one page for each athlete.
type Papers struct {
	Paper  part.Paper
	Sheets []Sheet
	Empty  string // why there are none
}

// Sheet is the week of one athlete on paper.
type Sheet struct {
	Name  string
	Week  string // "13 to 19 April"
	Phase string
	Plan  string     // the sessions of the phase in words; empty: nothing is planned
	Strip part.Strip // the same as a picture
	Rows  []PaperRow
	Quiet string // why there is nothing
}

// PaperRow is one session with its boxes.
type PaperRow struct {
	When   string // "Tuesday 14 April, in the morning"
	What   string // "Run and walk"
	Runs   bool   // one of the pathway: talk and breath are asked
	Before string // done already: how; then there are no boxes
}

// WeekForm is the printed boxes as a form, for the whole week.
type WeekForm struct {
	Desk     part.Desk
	Name     string
	Href     string
	Sub      string
	Action   string
	Rows     []WeekFormRow
	Quiet    string
	Print    part.Link
	Whole    part.Link // the whole form of a session, with warning signs
	Mistakes []part.Mistake
}

// WeekFormRow is one session of it. Field names begin with At.
type WeekFormRow struct {
	At      string // "rows[0]."
	Title   string // "Tuesday 14 April: run and walk"
	Phase   string // of a run or walk; hidden
	Plan    string // what it was to be: "L2: run 1 min 30, …"; empty: nobody knows
	Runs    bool
	Done    string    // stored already: how; then there are no fields
	Look    part.Link // to what is stored
	Later   string    // it is still to come; then there are no fields
	Key     string
	Kind    string
	Date    string
	From    string // bounds of the date
	To      string
	Became  string // all, part, not
	Minutes string
	Effort  string
	Talk    string
	Breath  string
	Pain    string // none or some
	Site    string
	Score   string
	Errors  part.Errors // by the name without At
}

// field is a field of the row.
func (r WeekFormRow) field(name string) string { return r.At + name }

func (r WeekFormRow) choices(name, label, value string, options ...part.Option) part.Choices {
	return part.Choices{Name: r.field(name), Label: label, Value: value, Error: r.Errors.At(name), Options: options}
}

// minutesLabel asks for minutes where they have to be told.
func (r WeekFormRow) minutesLabel() string {
	if r.Runs {
		return "Minutes, if part of it was done"
	}
	return "Minutes"
}

func talks() []part.Option {
	return []part.Option{{Value: "chat", Words: "Could chat"}, {Value: "sentence", Words: "A short sentence"}, {Value: "words", Words: "Only single words"}}
}

func breaths() []part.Option {
	return []part.Option{{Value: "early", Words: "Early in the walks"}, {Value: "half", Words: "About half way"}, {Value: "late", Words: "Late, or not"}}
}
