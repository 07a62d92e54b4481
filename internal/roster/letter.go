package roster

// Detail says how much a weekly letter tells of athletes. Mail is read by more machines
// than one, so the coach says what may stand in it.
type Detail string

// The details, each with what the one before it tells.
const (
	Initials Detail = "initials" // initials and flags
	Names    Detail = "names"    // names and flags
	Reasons  Detail = "reasons"  // and the reason for each flag in a sentence, with its numbers
)

// Known says whether it is one of the details.
func (d Detail) Known() bool { return d == Initials || d == Names || d == Reasons }

// Wishes are what a coach wants by mail.
type Wishes struct {
	On       bool // the weekly letter
	Day      int  // of the week on which it is written, Monday is 1
	Hour     int  // of that day where the club is, 0 to 23
	NewsOnly bool // none where nothing is new
	All      bool // about everybody whom the coach sees, else about own athletes and those of nobody
	Detail   Detail
	AtOnce   bool // is told at once of warning signs, and of pain that stops running
}
