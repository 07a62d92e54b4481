// Package trace reads a heart-rate recording of a walk-run session: it takes out
// what a sensor made up, finds the blocks of the plan in it, and says of every
// walk after a run what the heart shows, or why it cannot be told. Wrong
// certainty is worse than "can't tell". It is pure: the same recording, plan and
// ceilings always give the same reading.
package trace

import (
	"time"

	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
)

// Unknown stands where a sample holds no speed or no steps.
const Unknown = -1

// Limits of a recording.
const (
	MostSamples = 43_200    // samples
	LongestTime = 12 * 3600 // seconds from the first to the last
	Hold        = 10        // seconds that a sample holds, at most, when no other follows
	highestBPM  = 250       // above it, a number is no heart rate
	lowestBPM   = 25        // below it, likewise
	shortest    = 30        // seconds of the shortest walk that is judged
)

// farthest bounds how far from the first a sample may lie, in seconds, so that no
// sum of times runs over.
const farthest = 1_000_000_000

// Sample is one line of a recording.
type Sample struct {
	At    int32 // seconds since the first sample, on the recording's own clock
	BPM   int16 // beats a minute as written down; 0: none
	Speed int16 // centimetres a second, or Unknown
	Steps int16 // steps (of both feet) a minute, or Unknown
}

// Recording is what a device wrote down, in the order in which it stands in the
// file: nothing sorted, nothing taken out. It never holds a position.
type Recording struct {
	Start   time.Time // of the first sample; zero where the file tells no date
	Samples []Sample
	Laps    []int32 // seconds since the first sample at which a new lap began; 0 is not among them
	Marks   []int32 // of a guided session: where each block of the plan began, and where the last ended
}

// Ceilings are the heart rates against which a recording is judged, each with the
// same one standard deviation lower and higher; 0 is not known.
type Ceilings struct {
	Easy, EasyLow, EasyHigh intensity.BPM // the top of zone 1
	Hard, HardLow, HardHigh intensity.BPM // the top of zone 2
}

// Alignment is what the blocks of the plan were found by.
type Alignment string

// The alignments, the most trusted first.
const (
	ByMarks Alignment = "marks" // a guided session wrote them down
	ByLaps  Alignment = "laps"  // laps that fit the plan
	BySpeed Alignment = "speed" // speed or steps
	ByHeart Alignment = "heart_rate"
	ByPlan  Alignment = "plan" // nothing better: planned times from the first sample
)

// ArtefactKind says what a sensor made up.
type ArtefactKind string

// The kinds of artefact.
const (
	Gap         ArtefactKind = "gap"          // nothing was written down for more than Hold seconds
	NoContact   ArtefactKind = "no_contact"   // zeros and other numbers that stand for nothing
	Held        ArtefactKind = "held"         // the same value for too long
	Spike       ArtefactKind = "spike"        // a few seconds far off
	CadenceLock ArtefactKind = "cadence_lock" // steps taken for beats
)

// Artefact is a stretch without a usable heart rate; seconds of the recording's
// own clock, To not included.
type Artefact struct {
	From, To int
	Kind     ArtefactKind
}

// State says what the heart rate of a walk shows.
type State string

// The states. A run has none.
const (
	NoState       State = ""
	Settled       State = "settled"
	NotSettled    State = "not_settled"
	NotAssessable State = "not_assessable"
)

// Reason says why a walk is not assessable.
type Reason string

// The reasons.
const (
	NoReason     Reason = ""
	FollowsNoRun Reason = "follows_no_run"
	NotDone      Reason = "not_done"     // it was left out
	NotRecorded  Reason = "not_recorded" // wholly outside the recording
	TooLittle    Reason = "too_little"   // usable for less than 80 % of it
	TooShort     Reason = "too_short"    // under 30 s
	Unclear      Reason = "unclear"      // the plan fits the recording in more than one way
	NoCeiling    Reason = "no_ceiling"
)

// None stands in a Block where there is no such second or beat.
const None = -1

// Block is one block of the plan as it was found. Seconds are of the recording's
// own clock and may lie outside of it; a block that was left out ends where it
// starts.
type Block struct {
	Kind       pathway.Kind
	Planned    int // seconds
	Start, End int
	Valid      int // seconds with a usable heart rate

	// Of a walk after a run: seconds of Valid at or under the easy ceiling, at the
	// plain ceiling and one standard deviation lower and higher.
	Easy, EasyLow, EasyHigh int
	Settle                  int // the first of ten valid seconds in a row at or under the ceiling, from the start of the walk; None: never
	Drop                    int // beats lost in the first 60 s; None: not to be told
	State                   State
	Reason                  Reason

	// Of a run: usable seconds after its first 60 s, and those of them above the
	// zone 2 ceiling.
	HardValid               int
	Hard, HardLow, HardHigh int
}

// Reading is what a recording shows of a plan.
type Reading struct {
	Seconds   int // from the first sample to the last
	Samples   int
	Coverage  float64 // usable seconds of the plan / seconds of the plan inside the recording, 0 to 1
	Offset    int     // where the plan began, in seconds of the recording's own clock; may be negative
	By        Alignment
	Warnings  []string // sentences for a person
	Artefacts []Artefact
	Blocks    []Block // one for each block of the plan, in its order
	Lag       int     // seconds by which the heart rate came late, which was made up for in judging the blocks
	Peak      int     // the highest heart rate held for ten seconds, not in the first 180 and not that of the steps; 0: none to be told
	Rates     []int16 // usable heart rate of every second; 0: none. For drawing
}
