package screening

// Advice says whether a doctor should be asked first. A higher value is stricter.
type Advice uint8

// The advices of the algorithm.
const (
	NotNeeded        Advice = iota // begin
	Clearance                      // ask a doctor first; nothing is prescribed until then
	StopAndClearance               // stop what is being done, and ask a doctor
)

// Result is what answers lead to.
type Result struct {
	Advice   Advice
	Why      []string // the reasons of the advice, a sentence each; empty when none is needed
	Heart    Heart
	Bone     []string // bone risks; for the athlete and the coach only
	Injuries []string // earlier and present injuries and operations
	Cautions []string // what to be careful with, a sentence or two each
	Age      int      // years, the year of birth alone being known: the age reached this year; 0: not told
	BMI      float64  // kg/m²; 0: height or weight not told
	Start    Start    // the zero value where no starting questions were asked
}

// Heart says whether heart rate can be read as effort (rule 4.4).
type Heart struct {
	Usable  bool
	Reasons []Reason // why not; empty when usable
}

// Reason is why heart rate says nothing of somebody's effort.
type Reason struct {
	Words   string // a sentence
	Instead string // what is used instead, a sentence
}

// Start is where to begin.
type Start struct {
	Rule    string   // the phase of the default pathway that the rule book names; empty: not asked
	Lower   bool     // one phase lower than that, once, where there is a lower one
	Phase   string   // the phase of the default pathway that comes of it
	Reasons []string // a sentence each
}
