package page

import (
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"halfhour.app/halfhour/web/part"
)

// Joining is one page of joining: the consent, a section of questions, or the first
// walk. Its fields are in the package's comment.
type Joining struct {
	Phone     part.Phone
	Step      Step
	Title     string
	Intro     []string
	Seen      string // who sees the answers; empty: not said
	Consent   []Consent
	Tips      []string // how something is taken, step by step; may be empty
	Action    string
	Key       string
	Questions []Question
	Button    string
	Withdraw  Confirm  // takes the consent back; zero: there is none
	Skip      part.Act // leaves this page out; zero: it cannot be
	Errors    part.Errors
	Mistakes  []part.Mistake
}

// Step is how far joining is.
type Step struct{ Number, Of int }

// Consent is one thing to agree to, with what there is to know first.
type Consent struct {
	Name   string // of the field
	Title  string
	Points []string
	Tick   string // the words beside the box
	On     bool
}

// Question is one question as it is shown.
type Question struct {
	Name     string // of the field; also its id
	Label    string
	Hint     string
	Kind     string // one, many, effort (0 to 10), number, text (several lines), line, days
	Options  []Choice
	Rows     []DayRow // days: a row a day
	Value    string   // number, text, line: what was typed
	Unit     string
	Min, Max string
	Optional bool
	Then     []Then // questions that are asked where certain answers are picked
}

// Choice is one answer to pick.
type Choice struct {
	Value string
	Words string
	Hint  string
	On    bool
	Opens bool // picking it asks the questions of Then
}

// DayRow is one day of the week with its times. The times have the same words in
// every row.
type DayRow struct {
	Day   string // "Monday"
	Times []Choice
}

// Then is a question that only some are asked.
type Then = Question

// JoiningResult is what the answers come to, and what happens next.
type JoiningResult struct {
	Phone    part.Phone
	Title    string // "Nothing speaks against beginning"
	Words    []string
	Stop     *Stop    // clearance is advised; nil: it is not
	Why      []string // of the advice
	Whom     []string // whom to ask, and how
	Paper    string   // the page for the doctor; empty: none
	Heart    []HeartReason
	Cautions []string
	Walk     part.Link   // the first walk; zero: not offered, or done
	Walked   string      // "You walked ten minutes on 14 April and could chat."; empty: not yet
	Waiting  []string    // what happens next
	Answers  []part.Link // the sections again
}

// HealthAgain leads to the health questions once more.
type HealthAgain struct {
	Phone part.Phone
	Title string
	Words []string // why they are asked again
	Seen  string   // who sees the answers
	Begin part.Link
}

// HeartReason is why heart rate does not count, and what is used in its place.
type HeartReason struct{ Why, Instead string }

// DoctorPaper is a plain page to show to a doctor.
type DoctorPaper struct {
	Phone   part.Phone
	Name    string
	Born    string // "born in 1971"; empty: not told
	Date    string // "14 April 2026"
	Club    string
	Why     []string // the answers that led here
	Heart   []HeartReason
	Intends []string // what is intended, in words
	Back    string
}

// words say how far it is: "3 of 7".
func (s Step) words() string { return strconv.Itoa(s.Number) + " of " + strconv.Itoa(s.Of) }

// at is where the i-th step is drawn.
func (s Step) at(i int) string { return strconv.Itoa(20 * i) }

// box is the viewBox of all steps, without a gap after the last.
func (s Step) box() string { return "0 0 " + strconv.Itoa(20*s.Of-2) + " 5" }

// hint says below the question what helps, and that it may be left empty where it
// does not say so itself.
func (q Question) hint() string {
	if q.Optional && q.Kind != "many" && q.Kind != "days" && !strings.HasPrefix(q.Hint, "If you") {
		return joined(" ", q.Hint, "May be left empty.")
	}
	return q.Hint
}

// columns are the words of the times.
func (q Question) columns() []string {
	var words []string
	if len(q.Rows) > 0 {
		for _, t := range q.Rows[0].Times {
			words = append(words, t.Words)
		}
	}
	return words
}

// comma closes what stands between two of them.
func comma(between string) string {
	if between == "" {
		return ""
	}
	return ","
}

// described joins the group to its hint and its fault; it leads nowhere where there
// is neither.
func (q Question) described(wrong string) templ.Attributes {
	var by []string
	if q.hint() != "" {
		by = append(by, q.Name+"-hint")
	}
	if wrong != "" {
		by = append(by, q.Name+"-wrong")
	}
	if len(by) == 0 {
		return nil
	}
	return templ.Attributes{"aria-describedby": strings.Join(by, " ")}
}
