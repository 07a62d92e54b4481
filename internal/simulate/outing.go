package simulate

import (
	"math/rand/v2"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// Trouble is a set of things that may come between a plan and its recording.
type Trouble uint32

// The troubles. Seconds and chances in the comments are our own.
const (
	ShiftedStart Trouble = 1 << iota // the recording began up to 150 s before or after the plan
	OffBeat                          // blocks a few seconds longer or shorter, some runs up to 20 s early or late
	LeftOut                          // a run or a walk left out, or spent with what was done before it
	CutShort                         // a block done for 20 to 80 % of it
	EndedEarly                       // the last blocks not done
	Crossing                         // 20 to 90 s of standing, by which the block lasts longer
	Paused                           // nothing written for 20 to 120 s, while the clock goes on
	Wrist                            // heart rate 5 to 20 s late, and smoothed
	Dropout                          // 10 to 120 s without rows, or with zeros, or with 255
	CadenceLock                      // 30 to 150 s of steps taken for beats
	Stuck                            // the same value for 40 to 150 s
	Spikes                           // a second or three far off
	DryStrap                         // the first 1 to 3 min are nonsense
	ClockJump                        // the clock steps back by up to 9 s, or on by up to 30 s
	Doubled                          // rows written twice
	OnChange                         // a row when something changes, 1 to 8 s apart
	EveryFive                        // a row every five seconds
	RanOn                            // the recording goes on for up to 10 min after the plan
	StoppedSoon                      // the recording ends before the plan does
)

// AnyTrouble is all of them.
const AnyTrouble = StoppedSoon<<1 - 1

var troubleNames = [...]string{
	"shifted start", "off beat", "left out", "cut short", "ended early", "crossing", "paused", "wrist", "dropout",
	"cadence lock", "stuck", "spikes", "dry strap", "clock jump", "doubled", "on change", "every five", "ran on", "stopped soon",
}

// chances of each trouble where it may come, in the order above.
var chances = [...]float64{
	0.70, 0.70, 0.08, 0.08, 0.06, 0.12, 0.08, 0.35, 0.18,
	0.15, 0.06, 0.15, 0.07, 0.06, 0.07, 0.18, 0.08, 0.45, 0.06,
}

// Has says whether all of the other troubles are in the set.
func (t Trouble) Has(other Trouble) bool { return t&other == other }

// String names the troubles, separated by commas; empty for none.
func (t Trouble) String() string {
	var names []string
	for i, name := range troubleNames {
		if t.Has(1 << i) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// OutingOptions say what is given of an outing; the rest is drawn.
type OutingOptions struct {
	Plan    []pathway.Block // empty: drawn
	Done    []int           // seconds really done of each block of Plan; empty: what was planned, but for the troubles
	Heart   Heart           // zero: drawn
	Ceiling int             // beats a minute; 0: drawn, mostly between walking and running
	With    Trouble         // these surely
	May     Trouble         // each of these with its own chance
	Start   time.Time       // of the first sample; zero: the recording tells no date

	Speed, Steps bool // written with each row, as a device measures them
	Laps         bool // pressed where blocks begin, 0 to 3 s off, some forgotten
	AutoLaps     bool // laps at distances that have nothing to do with the plan
	Marks        bool // of a guided session: the plan's own boundaries; it is recorded from the first to the last
}

// Outing is a session as it was really done and what a device wrote down of it.
type Outing struct {
	Plan      []pathway.Block
	Recording trace.Recording
	Ceiling   int // beats a minute
	Blocks    []TrueBlock
	Artefacts []trace.Artefact // what the device made up, by the recording's own clock, in the order of their beginning
	Heart     Heart
	Delay     int // seconds by which the sensor shows everything late; 0 on a strap
	Troubles  Trouble
}

// TrueBlock is what really became of a block of the plan. Start and End are in
// seconds of the recording's own clock and may lie outside of it; a block that was
// left out ends where it starts.
type TrueBlock struct {
	Kind       pathway.Kind
	Planned    int // seconds
	Start, End int
	Done       int // seconds by a true clock

	// Of a walk after a run, both done in part at least, over the first seconds of
	// the walk: the lesser of planned and done.
	Judged bool
	Share  float64 // of these seconds with the heart itself at or under the ceiling, in whole beats; 0 to 1
	Settle int     // the first of ten of them in a row at or under it; trace.None: never

	// The same for heart rate as late and as smooth as the sensor shows it, without
	// what it made up. On a strap it is the same as the heart's own.
	WornShare  float64
	WornSettle int

	// Seconds of these for which a row stands, or stood at most ten seconds before,
	// that was not made up. Recorded says that they are 80 % of them at least.
	Valid    int
	Recorded bool
}

// Window is for how many seconds of the block the heart is judged: the lesser of
// planned and done.
func (b *TrueBlock) Window() int { return min(b.Planned, b.Done) }

// GoOut does a session and records it. The same seed and options give the same
// outing. It is a rough model made to try readers of recordings on, no claim about
// any real heart or device.
func GoOut(seed uint64, o OutingOptions) Outing {
	troubles := drawTroubles(newDice(seed, 1), o)
	plan := o.Plan
	if len(plan) == 0 {
		plan = drawPlan(newDice(seed, 2))
	}
	heart := o.Heart
	if heart == (Heart{}) {
		heart = drawHeart(newDice(seed, 3))
	}
	ceiling := o.Ceiling
	if ceiling == 0 {
		ceiling = drawCeiling(newDice(seed, 4), &heart)
	}
	trip := travel(newDice(seed, 5), plan, o.Done, troubles)
	beats := heart.beats(newDice(seed, 6), trip)
	device := wear(newDice(seed, 7), trip, beats, troubles, o)
	return Outing{
		Plan: plan, Ceiling: ceiling, Heart: heart, Delay: device.delay, Troubles: troubles,
		Recording: device.recording(o.Start), Artefacts: device.artefacts(),
		Blocks: truth(trip, beats, device, ceiling),
	}
}

// drawTroubles are those that come. Where two exclude each other the first stays:
// no device writes rows in two rhythms, and a wrist has no dry strap.
func drawTroubles(d dice, o OutingOptions) Trouble {
	found := o.With
	for i, chance := range chances {
		if d.of(chance) {
			found |= o.May & (1 << i)
		}
	}
	if o.Marks {
		found &^= ShiftedStart | StoppedSoon
	}
	for _, pair := range [...][2]Trouble{{OnChange, EveryFive}, {Wrist, DryStrap}, {StoppedSoon, RanOn}} {
		if found.Has(pair[0] | pair[1]) {
			drop := pair[1]
			if o.With.Has(drop) && !o.With.Has(pair[0]) {
				drop = pair[0]
			}
			found &^= drop
		}
	}
	return found
}

// dice are what chance decides with: one for each part of an outing, so that a
// trouble of the device leaves the heart as it was.
type dice struct{ *rand.Rand }

func newDice(seed, part uint64) dice {
	return dice{rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15*part))}
}

// of is true with the chance, 0 to 1.
func (d dice) of(chance float64) bool { return d.Float64() < chance }

// between is a number from low to high.
func (d dice) between(low, high float64) float64 { return low + (high-low)*d.Float64() }

// whole is a whole number from low to high, both included.
func (d dice) whole(low, high int) int { return low + d.IntN(high-low+1) }
