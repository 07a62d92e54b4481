package page

import (
	"strconv"

	"halfhour.app/halfhour/web/part"
)

// Lifting is a strength session on one page: what to do, with last time's numbers, and
// the fields for what was done. Its fields are in the package's comment.
type Lifting struct {
	Phone    part.Phone
	Title    string // "Strength, session A"
	About    string // "6 exercises, about 24 minutes"; may be empty
	Action   string
	Key      string
	Version  string // of the session whose sets are corrected; empty: a new one
	Turn     string // hidden
	Planned  string // hidden: minutes
	Purpose  string
	Caution  string
	Cautions []string // of a pregnancy or the time after a birth
	Stop     *Stop    // nothing is prescribed: no form
	Warn     string   // what a coach or a doctor has to look at first; may be empty
	Notes    []string // "You did session B yesterday. …"
	Swaps    []string // what does not fit today, and what stands in its place
	Lines    []LiftLine
	After    After // effort, pain, signs, when and note; Kind empty: not asked, as sets alone are corrected
	Errors   part.Errors
	Mistakes []part.Mistake
	Others   []part.Link
}

// LiftLine is one exercise. N is its number in the names of the fields.
type LiftLine struct {
	N        int
	ID       string // hidden
	For      string // hidden: the exercise in whose place it stands
	Name     string
	Figure   string // empty: none
	Cues     []string
	Forms    []string // "Easier: …", "Harder: …"
	Caution  string
	Goal     string // "2 × 10 at 8 kg, with 2 left over"; may be empty
	Last     string // "Last time, on Sunday: 10, 10, 9 at 8 kg"; empty: never
	Why      string // what is next and why; may be empty
	Weighted bool   // asks for a weight
	KG       string // as typed
	Weights  string // what there is, in kilograms, with blanks between
	Unit     string // beside the number of a set: "each side", "seconds"; empty: repetitions
	By       string // what a step of a set adds: "1", "5"
	Count    string // hidden: what each set was filled with
	Sets     []string
	Left     string
}

// Field is the name of a field of the exercise, such as lift[2].kg.
func (l LiftLine) Field(what string) string { return "lift[" + strconv.Itoa(l.N) + "]." + what }

// set is the name of the field of a set.
func (l LiftLine) set(n int) string { return l.Field("set[" + strconv.Itoa(n) + "]") }

// setWords are the label of a set: "Set 1", "Set 2, seconds each side".
func (l LiftLine) setWords(n int) string {
	words := "Set " + strconv.Itoa(n+1)
	if l.Unit != "" {
		words += ", " + l.Unit
	}
	return words
}

// button says what the form does.
func (v Lifting) button() string {
	if v.Version != "" {
		return "Keep the correction"
	}
	return "That was it"
}

// LiftCard says in a line what strength session is next.
type LiftCard struct {
	Has   bool // there is a programme
	Words string
	Link  string // "To the session"
	Href  string // empty: not shown
}

// Strength is an athlete's strength training, for coaches.
type Strength struct {
	Desk      part.Desk
	Name      string
	Back      string // the athlete's page
	Purpose   string
	Given     string // "Three sessions a week, given by Mara on 3 March"; empty: no programme
	Sessions  []StrengthSession
	Stop      string // why nothing is prescribed today; may be empty
	Warn      string
	Swaps     []string
	Cautions  []string
	Courses   []part.Lifts
	Kit       string
	KitHref   string
	EditHref  string // change the programme; empty: may not
	LogHref   string // enter a session; empty: there is nothing to enter
	Templates []part.Link
	Library   string // address
}

// StrengthSession is one of the programme's sessions.
type StrengthSession struct {
	Name  string // "Session A"
	Next  bool   // the one that is next
	About string // "6 exercises, about 24 minutes"
	Lines []StrengthLine
}

// StrengthLine is one exercise of it.
type StrengthLine struct {
	Name   string
	Target string // "2 × 8 to 12, 2 in reserve"
	Next   string // "8 kg; last 10, 10, 9"; empty: not next, or never done
}

// Programme is the form for a programme. Fields: key, of (hidden), a_week, and for each
// place session[i].slot[j].exercise, sets, low, high, reserve, patterns (hidden).
type Programme struct {
	Desk     part.Desk
	Name     string
	Back     string
	Action   string
	Key      string
	Of       string // hidden: the version it was made of
	AWeek    string
	Sessions []ProgrammeSession
	Groups   []ExerciseGroup // what can be picked
	More     bool            // another session can be added
	Ends     bool            // there is one that can be ended
	Errors   part.Errors
	Mistakes []part.Mistake
}

// ProgrammeSession is one session of the form.
type ProgrammeSession struct {
	N     int
	Name  string // hidden
	Slots []ProgrammeSlot
}

// ProgrammeSlot is one place of it; an empty Exercise is one that is left out.
type ProgrammeSlot struct {
	M, N                     int    // of the session, of the place
	Exercise, Patterns       string // Patterns is hidden
	Sets, Low, High, Reserve string
	Words                    string // "squat", "press overhead or core"; empty: one more
}

// Field is the name of a field of the place.
func (s ProgrammeSlot) Field(what string) string {
	return "session[" + strconv.Itoa(s.M) + "].slot[" + strconv.Itoa(s.N) + "]." + what
}

// label names the place for a screen reader.
func (s ProgrammeSlot) label(what string) string {
	return what + " of place " + strconv.Itoa(s.N+1)
}

// ExerciseGroup are the exercises of one pattern.
type ExerciseGroup struct {
	Name  string
	Items []part.Option
}

// Exercises is the library of a club.
type Exercises struct {
	Desk    part.Desk
	Groups  []ExercisesOf
	NewHref string // empty: may not add
}

// ExercisesOf are those of one pattern.
type ExercisesOf struct {
	ID, Name string
	Items    []ExerciseCard
}

// ExerciseCard is one exercise.
type ExerciseCard struct {
	Name    string
	About   string // "level 2 of 3, dumbbells, hard on the legs"
	Loads   string // "loads knee and hip"
	Figure  string
	Cues    []string
	Forms   []string
	Caution string
	Own     bool
	Away    bool
	Href    string // to change it; empty: may not
}

// ExerciseForm is the form for an own exercise. Fields: key or version (hidden), name,
// pattern, measure, sides, level, needs (repeated), loads (repeated), demands (repeated),
// hard, cues (one a line), easier, harder, caution, figure, away.
type ExerciseForm struct {
	Desk     part.Desk
	Title    string
	Action   string
	Key      string
	Version  string
	Name     string
	Pattern  string
	Patterns []part.Option
	Measure  string
	Sides    bool
	Level    string
	Needs    []Picked
	Loads    []Picked
	Demands  []Picked
	Hard     bool
	Cues     string
	Easier   string
	Harder   string
	Caution  string
	Away     bool
	Errors   part.Errors
	Mistakes []part.Mistake
}

// Picked is a box of several.
type Picked struct {
	Value, Words string
	On           bool
}

// KitForm says what there is to lift with. Fields: has (repeated), weights, least, most,
// step.
type KitForm struct {
	Phone    part.Phone
	Action   string
	Has      []Picked
	Weights  string // kilograms, as typed
	Least    string
	Most     string
	Step     string
	Errors   part.Errors
	Mistakes []part.Mistake
}

// sessionField is the name of the i-th session in the form.
func sessionField(i int) string { return "session[" + strconv.Itoa(i) + "]" }
