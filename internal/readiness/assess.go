package readiness

import "halfhour.app/halfhour/internal/day"

// Assess carries out the rule book for the day h.AsOf.
func Assess(h *History) Verdict { return Verdict{Action: Stay, To: h.Phase} }

// Arrival says when thirty minutes may come (rule 11), from all sessions since
// the start; the zero value while the verdict pauses or refers.
func Arrival(h *History, v *Verdict) Forecast { return Forecast{} }

// Sentence says the verdict to the coach in a sentence or two.
func (v *Verdict) Sentence() string { return "" }

// Condition is one condition of the gate in words.
type Condition struct {
	Name  ConditionName
	State State
	Asked string
	Seen  string
}

// Evidence tells every condition of the gate in words: what was asked, what was seen.
func (v *Verdict) Evidence() []Condition { return nil }

// Fingerprint changes when the verdict says something else to the coach: the
// action, where it leads, the flags and causes. It is the same on two days that
// propose the same.
func (v *Verdict) Fingerprint() string { return "" }

// LastRun is the date of the newest run (rule 9.4), zero where there is none.
func LastRun(h *History) day.Date { return 0 }
