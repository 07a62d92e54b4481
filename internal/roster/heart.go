package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/trace"
)

// RecordingID and MeasurementID are unique within a club; 0 is none.
type (
	RecordingID   int64
	MeasurementID int64
)

// Recording is a heart-rate recording that belongs to a session, with what was
// read in it then. It is read anew only when somebody asks for it.
type Recording struct {
	ID       RecordingID
	Athlete  AthleteID
	Session  SessionID
	On       day.Date          // the session's date
	Digest   [32]byte          // SHA-256 of the file, so that the same one is recognised
	Format   string            // fit, gpx, csv, strap
	Started  time.Time         // of its first sample; zero where the file tells no date
	Body     []byte            // packed by trace.Pack; empty where it was not asked for
	Reading  trace.Reading     // without Rates
	Ceiling  intensity.Ceiling // the easy ceiling it was judged with; zero: there was none
	Hard     intensity.Ceiling
	Rules    int // trace.Rules of the time of reading
	ReadAt   time.Time
	AddedAt  time.Time
	ByCoach  CoachID // 0: added by the athlete
	PassedBy bool    // its peak is not to be offered as a maximum
}

// MeasurementKind says what was measured.
type MeasurementKind string

// The kinds of measurement.
const (
	TalkTested   MeasurementKind = "talk_test" // heart rate of the last comfortable stage
	MaxMeasured  MeasurementKind = "max"       // in a test
	MaxObserved  MeasurementKind = "observed"  // a higher rate than expected in a recording, taken by a coach
	RestMeasured MeasurementKind = "resting"
)

// Measurement is something measured of somebody's heart. It holds from its date on
// (rule 4.5).
type Measurement struct {
	ID      MeasurementID
	Athlete AthleteID
	Key     Key
	On      day.Date
	Kind    MeasurementKind
	BPM     intensity.BPM
	Stages  []intensity.Stage // of a talk test; else empty
	At      time.Time
	ByCoach CoachID // 0: by the athlete
	By      string  // the coach's name; empty: by the athlete
}
