package page

import "halfhour.app/halfhour/web/part"

// Roster is the morning: who needs a decision, who goes steadily, who is silent,
// who is away.
type Roster struct {
	Desk     part.Desk
	News     News
	Whose    Whose
	Lead     string   // "Four people need a decision from you. Twenty-two are going steadily."
	Sub      string   // "Three have not logged anything for a week."; may be empty
	Find     string   // the name searched for; empty: everybody is shown
	Found    string   // "3 of 300 names hold “an”."; empty: nothing was searched
	Asked    []Ending // who asked to be erased
	Coming   []Coming // who is coming in, the coach's turn first
	Together []Together
	Decide   []Decide
	Steady   []Steady
	Quiet    []Quiet
	Away     []Away
	Weather  string // where the weather of today is; empty: nobody is here yet
	NewHref  string // the form for a new athlete; empty: not for deputies
	Begin    bool   // the club has no athletes yet: says how to begin
}

// Whose is the choice between the coach's own athletes and all. The zero value is
// no choice: there is nothing to choose.
type Whose struct {
	Mine string // address of the own ones
	All  string // address of all
	Own  bool   // the own ones are shown
}

// here is the address of what is shown.
func (w Whose) here() string {
	if w.Own {
		return w.Mine
	}
	return part.RosterAt
}

// value is how forms remember the choice.
func (w Whose) value() string {
	if w.Own {
		return "mine"
	}
	return ""
}

// Together settles the rows of Decide with the same proposal in one go. Its form
// sends choice and a pick for every row that is ticked.
type Together struct {
	ID     string // "move_up"; rows name it
	Choice string // "move_up"
	Words  string // "Settle the 4 ready to move up together"
	Button string // "Move up the ticked"
	Count  int    // rows that name it
}

// Decide is a row of somebody who needs a decision. Its form sends pick and
// choice.
type Decide struct {
	Name   string
	Href   string // the athlete's page
	Phase  string // "Walk-led, phase 3 of 4"
	Plan   string // "run 2 min, walk 3 min, six times"
	Strips []part.Strip
	Trend  part.Trend
	Load   part.Load
	Flag   part.Flagged   // what makes it a row here
	Why    string         // the verdict in a sentence
	More   []part.Flagged // further flags
	Pick   string         // hidden: athlete, proposal, version and key in one, as the handler packs them
	Group  string         // ID of the Together it may be settled with; empty: on its own
	First  part.Act       // what is proposed
	Second part.Act       // its alternative: a choice, or a link to the athlete's page where a reason is needed
}

// Steady is a row of somebody who needs nothing today.
type Steady struct {
	Name    string
	Href    string
	Phase   string // "Run-led, 2 of 7"
	Week    string // "2 of 3"
	Settles string // "57 s"; empty: not known
	Load    part.Load
	Next    string // "Two walks short of the gate"
}

// Quiet is a row of somebody who has not been heard of for a week.
type Quiet struct {
	Name  string
	Href  string
	Heard string // "9 days ago"
	Phase string
	Words string // "Nothing logged since the session 9 days ago."
}

// Away is a row of somebody who is not running.
type Away struct {
	Name  string
	Href  string
	Mark  part.Mark // pause, refer or leave
	What  string    // "Paused"
	Since string    // "since 3 April"; "until 20 April"
	Phase string
	Words string // what it waits for: "Time to ask whether it can end."; may be empty
}
