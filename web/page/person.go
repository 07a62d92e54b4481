package page

import "halfhour.app/halfhour/web/part"

// Person is the form for an athlete: a new one, or a change of what is known.
// Its fields are in the package's comment.
type Person struct {
	Desk      part.Desk
	Title     string // "A new athlete", "Change what is known of Ines Okafor"
	Action    string
	Back      string
	New       bool
	Key       string
	Version   string
	Name      string
	Email     string
	Refused   string // that mail to it was refused, and when; empty: it was not
	BirthYear string
	Zone      string
	Zones     []string // suggestions; may be empty
	AWeek     string   // "2" to "6"
	HeartOff  bool     // heart rate cannot be used
	Phase     string
	Phases    []PhaseOption // in order; new ones only
	Answers   string        // new: who asks the health questions: phone or paper
	AskedOn   string        // new, paper: 2026-04-14
	AskedBy   string        // new, paper
	Today     string        // the latest day AskedOn can have
	InjuredOn string        // 2026-04-14
	Errors    part.Errors
	Mistakes  []part.Mistake
}

// PhaseOption is one phase to begin with.
type PhaseOption struct {
	Value string // "B1"
	Stage string // "Walking base"
	Words string // "walk 15 min"
}

// Added is the page after a new athlete was taken in, or after a new link was
// made: the link is shown this once.
type Added struct {
	Desk  part.Desk
	Title string // "Ines Okafor is in. Here is the way for her phone."
	Link  SignLink
	Href  string // the athlete's page
	More  string // the form for another one; empty: not offered
}

// button says what the form does.
func (v Person) button() string {
	if v.New {
		return "Add and make the sign-in link"
	}
	return "Keep the change"
}

// week is how many sessions a week are picked.
func (v Person) week() string {
	if v.AWeek == "" {
		return "3"
	}
	return v.AWeek
}

// stage is the phases to choose from of one stage.
type stage struct {
	name   string
	phases []PhaseOption
}

// stages groups the phases, which come in order.
func (v Person) stages() []stage {
	var stages []stage
	for _, p := range v.Phases {
		if k := len(stages); k == 0 || stages[k-1].name != p.Stage {
			stages = append(stages, stage{name: p.Stage})
		}
		last := &stages[len(stages)-1]
		last.phases = append(last.phases, p)
	}
	return stages
}

// listOf is the id of the suggestions of time zones; empty where there are none.
func listOf(zones []string) string {
	if len(zones) == 0 {
		return ""
	}
	return "zones"
}

// emailHint says what the address is for, and whether it works.
func (v Person) emailHint() string {
	if v.Refused != "" {
		return v.Refused + " Not needed for signing in."
	}
	return "Not needed for signing in."
}
