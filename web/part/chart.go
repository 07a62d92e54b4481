package part

// Trend is how soon the breath came back in the newest sessions.
type Trend struct {
	Seconds []int  // a session each, the oldest first; empty: nothing known
	Half    int    // half of a walk, in seconds: the dashed line; 0: none
	Figure  string // "settles in 49 s"; said below the picture
	Label   string // in words: "Settle times of the last seven sessions: 71, 66, … 49 s; half a walk is 90 s."
}

// Load is the load of the last weeks.
type Load struct {
	Weeks  []int  // AU, the oldest first, the present week last
	Jump   bool   // the present week stands out: hatched, not only coloured
	Figure string // "252 this week"; empty: not shown
	Label  string // in words: "Load of six weeks: 180, 198, … 252."
}

// Week is one week of the athlete page's chart, the oldest first.
type Week struct {
	Label      string // "6 to 12 April"
	Short      string // "12 Apr", below every few bars
	Load       int    // AU
	LoadText   string // "252"; with a mark where efforts were filled in
	RunSeconds int
	RunPlanned int    // seconds
	RunText    string // "36 min"
	PlanText   string // "36 min"
	Sessions   string // "3 of 3"
	Remark     string // "1 effort filled in"; may be empty
}

// Weeks is load and running by week, planned beside done.
type Weeks struct {
	Label string // the chart in words, one or two sentences
	Weeks []Week
}

// Settle is the settle time of one session.
type Settle struct {
	Date   string // "12 April"
	Median int    // seconds
	Half   int    // seconds: half of its walk
	Text   string // "52 s of 3 min"
}

// Settles is the settle times of all sessions, the oldest first.
type Settles struct {
	Label  string
	Points []Settle
}

// Ache is pain at one place after one session.
type Ache struct {
	Date    string // "12 April"
	Day     int    // days since the first date of the chart
	During  int    // 0 to 10
	Morning int    // 0 to 10; -1: not told
}

// Site is pain at one place over time, the oldest first.
type Site struct {
	Name  string // "Left shin"
	Label string // in words
	Days  int    // length of the time shown, in days: the same for all sites
	Aches []Ache
}

// first and last say below a chart where it begins and ends.
func (w Weeks) first() string {
	if len(w.Weeks) == 0 {
		return ""
	}
	return w.Weeks[0].Short
}

func (w Weeks) last() string {
	if len(w.Weeks) == 0 {
		return ""
	}
	return w.Weeks[len(w.Weeks)-1].Short
}
