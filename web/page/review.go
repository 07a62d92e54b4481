package page

import "halfhour.app/halfhour/web/part"

// Review is what a newcomer answered, for the coach who says where to begin. Its
// fields are in the package's comment.
type Review struct {
	Desk      part.Desk
	Name      string
	Href      string // the athlete's page
	About     string // "47, answered yesterday on the phone"
	Lead      string // "Nothing speaks against beginning."
	Sub       string // what is to be done now
	Advice    *Advice
	Heart     []HeartReason
	Injuries  []string
	Bone      []string // for the athlete and coaches alone
	Cautions  []string
	Facts     []Figure // age, height and weight, resting heart rate, days
	Walk      string   // how the first walk went; empty: none was walked
	Sections  []Answered
	Fill      part.Link // the same pages, filled in with the person beside; zero: none
	Begin     *Begin    // nil: not to be confirmed now
	Clearance *Clearance
	Look      *Look    // nil: nothing is to be looked at anew
	Refer     *Confirm // nil: nothing to refer
	Consents  []string // "Agreed on 12 April 2026, on the phone."
	Errors    part.Errors
	Mistakes  []part.Mistake
}

// Advice is that a doctor is asked first, with the answers that say so.
type Advice struct {
	Title string
	Words []string
	Why   []string
}

// Answered is a section with what was answered.
type Answered struct {
	Title   string
	Private bool // between the athlete and coaches
	Rows    []Answer
}

// Answer is one question with its answer in words.
type Answer struct{ Asked, Words string }

// Begin is the form that confirms where a newcomer begins. Fields: key, phase,
// sessions_a_week, version, heart_off.
type Begin struct {
	Action   string
	Key      string
	Version  string
	Name     string     // first name
	Proposed string     // "L1"
	Title    string     // "Walk-led, phase 1 of 4"
	Plan     string     // "run 1 min, walk 4 min, six times"
	Strip    part.Strip // of the proposed phase
	Reasons  []string   // why there
	Phases   []PhaseOption
	Phase    string // picked; empty: the proposed one
	AWeek    string // "3"
	HeartOff bool   // heart rate cannot be used
	AWeekWhy string // "Ticked four mornings and an evening."; may be empty
	Button   string
}

// Look is the form with which a coach says that fresh answers were looked at.
// Fields: check, heart_off.
type Look struct {
	Action   string
	Check    string
	Name     string // first name
	HeartOff bool
	Refer    part.Link // to refer instead
}

// Clearance is the form that records what a doctor said. Fields: key, version,
// given_on, given_by, limits.
type Clearance struct {
	Action  string
	Key     string
	Version string
	On      string // 2026-04-14
	Most    string // the latest day it can have
	By      string
	Limits  string
	Paper   string // the page for the doctor
}

// picked is the phase that is picked.
func (b Begin) picked() string { return first(b.Phase, b.Proposed) }

// stages groups the phases.
func (b Begin) stages() []stage { return Person{Phases: b.Phases}.stages() }

// Coming is a row of somebody who is coming in.
type Coming struct {
	Name  string
	Href  string
	Mark  part.Mark // health_check, refer, learning
	What  string    // "Answered", "Invited", "Waits for a clearance"
	Since string    // "yesterday"
	Words string    // "Nothing speaks against beginning; B1 is proposed."
	Act   part.Link // the one thing to do
	First bool      // it is the coach's turn
}

// LimitsHint stands at the field for the limits of a clearance: it says who reads them.
const LimitsHint = "What to do and to leave: effort, heart rate, hills, heat, signs to stop at. The athlete reads this on Today, and deputies read it too, so please write no diagnosis."

// Health is what matters of an athlete's health, in short. The zero value is not
// shown: nothing is known. A deputy is shown the limits alone.
type Health struct {
	Limits    string   // of the newest clearance, for a deputy; empty: none, or a coach reads them with it
	Lead      string   // "Asked on 12 April 2026, on the phone."
	Lines     []string // what to keep in mind
	Private   []string // bone risk, between the athlete and coaches
	Clearance []string // "Cleared on 14 April by Dr Aune."; with its limits
	Consents  []string // "Agreed to keeping health answers on 12 April 2026."
	Links     []part.Link
}

// Known says whether there is something to show.
func (h Health) Known() bool { return h.Lead != "" || len(h.Links) > 0 }
