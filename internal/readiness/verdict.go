package readiness

import (
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
)

// Action is what the engine proposes (rule 10.1), the most careful first.
type Action uint8

// The actions.
const (
	Refer Action = iota
	Pause
	EaseBack
	Stay
	HalfStep
	MoveUp
	Arrived
)

// Flag is something the engine noticed (rule 10.3).
type Flag uint16

// The flags, as bits of a Flags.
const (
	FlagReady Flag = 1 << iota
	FlagArrived
	FlagPain
	FlagWarning
	FlagLoadJump
	FlagStalling
	FlagIrregular
	FlagQuiet
	FlagUnproven
	FlagMixed
	FlagLearning
	FlagBackToBack
	FlagHealthCheck
)

// Has says whether all bits of g are set.
func (f Flag) Has(g Flag) bool {
	return f&g == g
}

// State says how a condition of the gate stands.
type State uint8

// The states of a condition.
const (
	NotAskedHere State = iota
	Met
	Unmet
	Unknown
)

// Gate says whether the way to the next phase is open.
type Gate uint8

// The gates (rule 7).
const (
	Shut Gate = iota
	Unproven
	Open
)

// Cause is why somebody stalls (rule 9.1), or why a load jumped (rule 8.4).
type Cause uint8

// The causes.
const (
	NoCause Cause = iota
	CausePain
	CauseEffort
	CauseRecovery
	CauseShortened
	CauseUnplanned
	CauseHarder
	CauseLonger
)

// ConditionName names a condition of the gate.
type ConditionName uint8

// The conditions, in the order they are told.
const (
	Enough ConditionName = iota
	InFullEach
	Settled
	Easy
	NoPain
	Conditions // how many there are
)

// Rule is the number of a rule in the rule book, such as "9.4".
type Rule string

// LoadReport holds the numbers of rule 8, unrounded where a ratio.
type LoadReport struct {
	Learning      bool
	Week          float64 // AU in W0
	Reference     float64 // mean AU of the reference weeks; 0 while learning
	RunMinutes    float64
	RunReference  float64
	Filled        int // sessions of W0 whose effort was filled in
	Why           Cause
	HasRatios     bool // four weeks of history are there
	Ratio         float64
	RatioKnown    bool
	RatioWeighted float64
	WeightedKnown bool
	Monotony      float64
	MonotonyKnown bool
	Strain        float64
}

// Forecast is when thirty minutes may come (rule 11): the 10th, 50th and 90th
// percentile. The zero value is "not told".
type Forecast struct{ Early, Median, Late day.Date }

// Verdict is what the engine proposes, with the numbers it rests on. Words are
// made of it by Tell.
type Verdict struct {
	Action     Action
	To         string // empty where nothing is prescribed
	Blocks     []pathway.Block
	Gate       Gate
	Conditions [Conditions]State
	Flags      Flag
	Stalling   Cause
	Load       LoadReport
	Rules      []Rule
	evidence   evidence
}
