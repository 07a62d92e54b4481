// Package heart takes in what heart rate shows: recordings of sessions, and the
// measurements from which the easy ceiling comes. What a recording shows of a
// session's blocks is written into the session, and the engine reads it there.
package heart

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// File is a file as it was sent, read.
type File struct {
	Format    string // fit, gpx, csv, strap
	Recording trace.Recording
}

// Service takes in heart-rate evidence. Now is the clock; Read reads a file (its
// faults are fault.Invalid at file).
type Service struct {
	Store Store
	Now   func() time.Time
	Read  func(body []byte) (File, error)
}

// Seen is a recording as it is shown beside its session.
type Seen struct {
	Athlete   roster.Athlete
	Session   roster.Session
	Recording *roster.Recording // nil: the session has none
	Reading   trace.Reading     // with Rates, for drawing
	Walks     []Walk            // one for each judged walk of the session
	Mixed     bool              // breath and heart disagree in one of them
	Usable    bool              // heart rate counts for this person and session (rule 4.4)
	Stale     bool              // read with older rules, or another ceiling would hold now: reading anew may say something else
}

// Walk is what breath and heart say of one walk, and both together (rules 3.2 to
// 3.5).
type Walk struct {
	Block               int // its index in the session's blocks
	Breath, Heart, Both Said
	Mixed               bool
}

// Said is what is known of a walk.
type Said uint8

// The answers.
const (
	CannotTell Said = iota
	HasSettled
	HasNotSettled
)

// Pulse is everything known of somebody's heart rate.
type Pulse struct {
	Athlete      roster.Athlete
	Today        day.Date
	Easy         intensity.Ceiling // today; zero Source: none
	Hard         intensity.Ceiling
	History      intensity.History    // easy ceilings, the oldest first
	Measurements []roster.Measurement // the newest first
	Recorded     map[roster.SessionID]bool
	Offers       []Offer
}

// Offer is a heart rate in a recording above the maximum that was thought: offered
// as the measured one, never taken silently.
type Offer struct {
	Recording roster.RecordingID
	Session   roster.SessionID
	Date      day.Date
	Peak      intensity.BPM
	Expected  intensity.BPM // the maximum it exceeds, rounded down
	Measured  bool          // that one was measured; else predicted
}
