package page

import (
	"strconv"

	"halfhour.app/halfhour/web/part"
)

// Today is what an athlete's phone shows first.
type Today struct {
	Phone   part.Phone
	News    News
	Name    string      // first name
	Day     string      // "Tuesday, session 2 of 3"
	Big     string      // "Run 2 minutes, walk 3, six times"
	Strip   *part.Strip // nil: nothing is prescribed
	Advice  string      // how hard; may be empty
	Rest    string      // "Next session: Thursday, in the morning. Rest is part of it.", "Due today, in the evening."; may be empty
	Beside  []string    // what else the week has for today
	Missed  []string    // what became of what was missed
	Whole   part.Link   // to the whole week; zero: there is none
	Stop    *Stop       // nil: may run
	Before  *Before     // what comes before the first session; nil: nothing does
	Limits  string      // of a clearance, in the doctor's words; empty: none
	LimitBy string      // "Dr Aune, on 14 April"
	Start   part.Link   // to the guided session; zero: not offered
	Done    part.Link   // "I have done it already"; zero: not offered
	Weather Weather
	CallOff *CallOff    // in the place of Start; nil: the weather is no reason
	WarmUp  string      // "Before you go, 9 minutes"; empty: none
	WarmHow string      // its steps in a sentence
	WarmAt  []part.Link // to the checklists
	Word    string      // the coach's words; empty: none
	WordBy  string      // "Mara, on Sunday"; may be empty
	Follow  []FollowUp
	Week    []WeekDay
	WeekSum string      // "1 of 3 done"
	Moved   string      // "You moved up yesterday."; may be empty
	Away    string      // "You are away until 20 April."; may be empty
	Back    string      // where the way back begins after a gap; may be empty
	Lift    LiftCard    // strength; not Has: not shown
	Others  []part.Link // log something else, my sessions, I am away
}

// Before says what a newcomer does before anything is prescribed.
type Before struct {
	Words []string
	Next  part.Link // zero: it is the coach's turn
}

// Stop says why there is no running today.
type Stop struct {
	Kind  string // stop, bone, referred or paused
	Title string // "No running for now"
	Words []string
}

// FollowUp asks how a pain felt the morning after. Fields: key, and per place
// morning[i].site (hidden) and morning[i].score.
type FollowUp struct {
	Action string
	Key    string
	After  string // "After Monday's session"
	Pains  []Morning
	Errors part.Errors
}

// Morning is one place asked about.
type Morning struct {
	Site  string // "left shin"
	Words string // "How is your left shin this morning?"
	Value string
}

// WeekDay is one session of the week, done or still to come.
type WeekDay struct {
	Day   string // "Sunday"; "still to come"
	What  string // "in full, effort 4"
	Strip part.Strip
	Href  string // correct it; empty: not done yet
}

// Stopped is the page after a warning sign or a pain that stops running was
// logged.
type Stopped struct {
	Phone part.Phone
	Stop  Stop
	Next  part.Link // to Today
}

// morning is the name of a field of the i-th place, such as morning[0].score.
func morning(i int, what string) string { return "morning[" + strconv.Itoa(i) + "]." + what }

// group is the id of the i-th question. The key keeps those of two sessions
// apart.
func (f FollowUp) group(i int) string { return "morning-" + f.Key + "-" + strconv.Itoa(i) }

// wrong is what is wrong with the i-th answer.
func (f FollowUp) wrong(i int) string {
	if m := f.Errors.At(morning(i, "score")); m != "" {
		return m
	}
	if i == 0 {
		return f.Errors.At("next_morning")
	}
	return ""
}
