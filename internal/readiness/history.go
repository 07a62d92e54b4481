// Package readiness carries out the rule book: from what an athlete did up to a
// day it says who is ready to move up, who is stalling, whose load jumped and who
// must stop, with the evidence for each. It is pure: the same history always
// gives the same verdict. The engine proposes; the coach decides.
package readiness

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
)

// Maybe is a whole number that may not have been given; the zero value is
// "not given".
type Maybe struct {
	n     int32
	known bool
}

// Some is a number that was given.
func Some(n int) Maybe { return Maybe{int32(n), true} }

// Known says whether it was given.
func (m Maybe) Known() bool { return m.known }

// Get is the number and whether it was given.
func (m Maybe) Get() (int, bool) { return int(m.n), m.known }

// Or is the number, or the other where it was not given.
func (m Maybe) Or(other int) int {
	if m.known {
		return int(m.n)
	}
	return other
}

// SessionKind says what sort of training a session was.
type SessionKind uint8

// The kinds of session (rule 2).
const (
	Planned  SessionKind = iota // on the pathway
	Extra                       // a run or walk outside the plan
	Strength                    // counts for load alone
	Other                       // counts for load alone; a rest day has 0 minutes
)

// Outcome says what became of a planned session (rule 2.1).
type Outcome uint8

// The outcomes. NotStated leaves it to the blocks.
const (
	NotStated Outcome = iota
	InFull
	Shortened
	StoppedForPain
	Missed
	CalledOff // heat, ice, illness, life
)

// Talk is how talking went during the runs: the answer of the talk test.
type Talk = intensity.Talk

// The answers of the talk test.
const (
	NotAsked = intensity.NoTalk
	Chat     = intensity.Chat
	Sentence = intensity.Sentence
	Words    = intensity.Words // only single words
)

// Breath is when the breath was back in the walks.
type Breath uint8

// The answers about the breath.
const (
	BreathNotAsked Breath = iota
	Early                 // before half of the walk
	Halfway
	Late
)

// Sign is a warning sign (rules 6.4, 6.5).
type Sign uint8

// The stop signs come first, then the bone signs.
const (
	ChestPressure Sign = iota
	Faint
	Breathless
	Palpitations
	HeatConfusion
	OneSidedWeakness
	CalfSwelling
	NightPain
	BoneTender
	HopPain
	GroinDeep
)

// Bone says whether the sign speaks of a bone; the others stop everything.
func (s Sign) Bone() bool { return s >= NightPain }

// Heart is what a recording showed of one block. On walks Seconds are those at
// or under the easy ceiling; on runs those above the zone 2 ceiling after the
// first 60 s. Low and High are the same with the ceiling one standard deviation
// lower and higher. Valid are the seconds with a usable heart rate; without
// Valid nothing was recorded.
type Heart struct{ Valid, Seconds, Low, High Maybe }

// Block is one run or walk of a session as planned and as done, in seconds.
type Block struct {
	Kind    pathway.Kind
	Planned int32
	Done    int32
	Settle  Maybe // on walks: from its start to the tap "my breath is back"
	Heart   Heart
}

// Pain is a score of 0 to 10 at one site, during the session and the next
// morning; without a next-morning score it was no worse than Score (rule 6.8).
type Pain struct {
	Site        string
	Score       int8
	NextMorning Maybe
}

// Session is one session as it was done.
type Session struct {
	StartedAt      time.Time
	Date           day.Date // the civil date it belongs to (rule 1.1)
	Kind           SessionKind
	Phase          string // of planned sessions; may be of another pathway
	Outcome        Outcome
	Minutes        Maybe // whole training; without it the blocks' done time
	PlannedMinutes Maybe // of strength and other
	Effort         Maybe // CR10, 0 to 10
	Talk           Talk
	Breath         Breath
	Hot            bool
	Limp           bool
	Blocks         []Block // empty: not told block by block
	PainAsked      bool    // false: not asked; true without Pain: asked, none
	Pain           []Pain
	Signs          []Sign
	Late           bool // told only after the newest clearance, which did not know of it
}

// History is everything the rules read of one athlete, up to a day.
type History struct {
	AsOf          day.Date
	Place         *time.Location
	HistorySince  day.Date // zero: the first session with load
	HeartUsable   bool     // rule 4.4
	Pathway       *pathway.Pathway
	Phase         string // exists on the pathway; may be a half step
	PhaseSince    day.Date
	LastPassed    string
	SessionsAWeek int       // 2 to 6; 0 stands for 3
	ClearedOn     day.Date  // zero: never
	ClearedAt     time.Time // zero: only the date is known
	InjuredOn     day.Date
	Leave         []day.Span
	Sessions      []Session // in any order; those after AsOf are not read
}
