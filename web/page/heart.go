package page

import "halfhour.app/halfhour/web/part"

// Heart is everything known of somebody's heart rate.
type Heart struct {
	Phone     part.Phone
	Desk      part.Desk // with a title it is a coach's page, and Phone is not read
	Name      string    // the athlete; said on a coach's page
	Back      string    // the athlete's page, for a coach
	Off       string    // heart rate does not count for this person; empty: it counts
	Ceiling   Ceiling
	TalkHref  string // the guided talk test; empty: not offered
	Offers    []Offer
	History   []Held
	Measured  []Measured
	Resting   Measuring
	Max       *Measuring // nil: for coaches only
	Formulas  *Formulas  // nil: for coaches only
	EditHref  string     // where a coach says whether heart rate can be used
	FormError string     // a fault that belongs to no field
}

// Ceiling is an easy ceiling in words. An empty BPM is none.
type Ceiling struct {
	BPM   string // "132"
	From  string // "From a talk test, since 12 April."
	Sure  string // "Likely right to within 5 beats."
	Hard  string // "Zone 2 ends at 151."; empty: not known
	Href  string // the page about heart rate
	Words string // where there is none: what would give one
}

// Offer is a heart rate above the maximum that was thought. Fields: recording,
// choice (take or leave), key.
type Offer struct {
	Words  string // "On 12 April a recording holds 187 for ten seconds; the maximum was predicted at 180."
	Href   string // the recording
	Action string // empty: only told (to athletes)
	Key    string
	Fields []part.Hidden
}

// Held is a ceiling of the past or present.
type Held struct{ Since, BPM, From string }

// Measured is one thing measured.
type Measured struct {
	What  string // "Talk test"
	Value string // "132 beats a minute"
	When  string
	By    string // "by Mara Lund", "by the athlete"
	Back  string // action that takes it back; empty: not yours to
}

// Measuring is the form for a number. Fields: kind (hidden), bpm, on, key.
type Measuring struct {
	Action string
	Key    string
	Kind   string
	BPM    string
	On     string
	Max    string // the last date that can be given
	Errors part.Errors
	Open   bool
}

// Formulas is the choice of the formula of the predicted maximum. Field: formula.
type Formulas struct {
	Action  string
	Value   string
	Options []part.Option
	Error   string
}

// id keeps the fields of the two forms apart.
func (m Measuring) id(field string) string { return m.Kind + "-" + field }
