package page

import (
	"strconv"

	"halfhour.app/halfhour/web/part"
)

// Checklist is what is done before or after a session, step by step. Its boxes are for
// the athlete alone and are sent nowhere.
type Checklist struct {
	Phone   part.Phone
	Title   string // "Before you go"
	Total   string // "About 9 minutes, in this order."
	Purpose string
	Caution string
	Groups  []Checks
	Out     []string  // what was left out, and why
	Roller  part.Link // where to say that there is a roller; zero: there is one, or none is asked for
	Notes   []string  // what only a person can see to
	Next    []part.Link
}

// Checks are the steps of one kind.
type Checks struct {
	Kind  string // "Movements"
	Steps []Check
}

// Check is one step.
type Check struct {
	ID     string
	Name   string
	Much   string // "10 times each side"
	How    string
	Figure string // of package figure; empty: none
}

// Roller is whether an athlete has a roller. Fields of its form: roller.
type Roller struct {
	Action string // empty: not shown
	Has    bool
}

// RoutineEdit is the club's routine, to be edited. Fields: key, of (hidden), and of each
// row before[i].move and before[i].count, after[i].move and after[i].count; a row
// without a movement is none.
type RoutineEdit struct {
	Desk     part.Desk
	Lead     string // "As Mara Lund made it on 3 April."
	Action   string
	Key      string
	Of       string
	Sections []RoutineKind
	Before   string // how long it takes together
	After    string
	Ours     string // action that goes back to ours
	OursKey  string
	Move     MoveForm
	Own      []OwnMove
	Errors   part.Errors
	Mistakes []part.Mistake
}

// RoutineKind are the rows of one kind.
type RoutineKind struct {
	Name    string // "Movements"
	Hint    string
	Rows    []RoutineRow
	Options []part.Option
}

// RoutineRow is one step, or room for one.
type RoutineRow struct {
	Place string // "before[2]"
	Label string // "Movements 1"
	Move  string // empty: none
	Count string // empty: as usual
}

// MoveForm adds a movement of the club's own. Fields: key, name, kind, how, sides, timed,
// usual, loads (repeated), demands (repeated).
type MoveForm struct {
	Action  string
	Key     string
	Name    string
	Kind    string
	How     string
	Usual   string
	Sides   bool
	Timed   bool
	Open    bool
	Kinds   []part.Option
	Loads   []Box
	Demands []Box
	Errors  part.Errors
}

// Box is one of several to tick.
type Box struct {
	Value, Words string
	On           bool
}

// OwnMove is a movement of the club's own that can be chosen.
type OwnMove struct {
	Words string // "Windmill, movements"
	How   string
	Away  string // action that puts it away
}

// id is the id of a step's box.
func (c Check) id() string { return "step-" + c.ID }

// field is the name of a field of the row, such as before[2].count.
func (r RoutineRow) field(what string) string { return r.Place + "." + what }

// wrong is what is wrong with a row.
func (v RoutineEdit) wrong(r RoutineRow) string {
	return first(v.Errors.At(r.field("move")), v.Errors.At(r.field("count")))
}

// kindID is the id of the i-th section.
func kindID(i int) string { return "kind-" + strconv.Itoa(i) }
