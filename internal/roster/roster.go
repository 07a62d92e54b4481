// Package roster holds the vocabulary of what is kept: the club, its coaches and
// athletes, their sessions and the decisions about them. Everything belongs to
// one club and is never seen from another.
package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Typed IDs. Each is unique within a club and never used again; 0 is none.
type (
	ClubID     int64
	CoachID    int64
	AthleteID  int64
	SessionID  int64
	PathwayID  int64 // one version of a pathway; an edit makes a new one
	DecisionID int64
	LoginID    int64
	PasskeyID  int64
	LetterID   int64
	LeaveID    int64
	NoteID     int64
)

// Key is made where a form is made, so that what is sent twice is stored once:
// 8 to 64 letters, digits, minuses or underscores.
type Key string

// Club is the tenant: coaches and athletes who belong together.
type Club struct {
	ID   ClubID
	Name string
	Zone string // IANA name; the day of the coach's morning
	Demo bool   // holds invented athletes only

	Minors  bool // takes people under 18 with a guardian's consent
	OwnOnly bool // coaches see only their own athletes and those of nobody; owners see all
}

// Coach is somebody who decides. An owner may also invite coaches, and is never a
// deputy. A deputy helps with the training: sees the roster, logs sessions, writes
// notes and decides what is proposed, and sees no answers about health.
type Coach struct {
	ID     CoachID
	Club   ClubID
	Name   string
	Email  string // lower case
	Owner  bool
	Deputy bool

	MailRefused time.Time // when a mail server refused mail to Email; zero: none did
	EmailAt     time.Time // when the coach changed Email; zero: never, or it was seen on another login
	EmailBy     LoginID   // the login that changed it; 0 with a zero EmailAt
}

// Held says that running is stopped by a coach's decision.
type Held string

// The ways of being held.
const (
	NotHeld  Held = ""
	Paused   Held = "paused"
	Referred Held = "referred"
)

// Standing is where an athlete stands on the pathway. Decisions change it; it is
// kept with each decision as it was before and after, so that one can be undone.
type Standing struct {
	Pathway    PathwayID
	Phase      string   // may be a half step
	PhaseSince day.Date // the date on which the phase began for the athlete
	LastPassed string   // the last phase left upwards; empty: none yet
	Held       Held
	HeldSince  day.Date
	ClearedOn  day.Date  // the newest clearance, on the athlete's date
	ClearedAt  time.Time // its instant
	InjuredOn  day.Date  // the newest injury
}

// Athlete is somebody on the way to thirty minutes.
type Athlete struct {
	ID            AthleteID
	Club          ClubID
	Coach         CoachID // whose athlete it is; 0: everybody's
	Name          string
	Email         string // may be empty
	BirthYear     int    // 0: not told
	Zone          string // IANA name
	SessionsAWeek int    // 2 to 6
	HeartUsable   bool
	Formula       intensity.Formula // of the predicted maximum (rule 4.2)
	Standing
	Arrival      Arrival
	ArrivalSince day.Date  // since when Arrival holds, on the athlete's date
	CheckSince   day.Date  // since when handed-in answers about health wait for a coach's look; zero: none do
	Available    Available // when the athlete can train
	CoachWord    string    // the coach's last words to the athlete; may be empty
	JoinedOn     day.Date  // on the athlete's date
	LeftAt       time.Time // zero: still here
	MailRefused  time.Time // when a mail server refused mail to Email; zero: none did
	Version      int       // counts changes, so that two coaches do not overwrite each other

	Group       GroupID // with whom the athlete trains on fixed days; 0: none
	Strength    int     // strength sessions a week, 0 to 3
	Legs        int     // how many of these are hard on the legs
	WeekVersion int     // counts wishes about the week, so that two at once do not overwrite each other
}

// Session is a session as it is kept: what was done, and how it came here.
type Session struct {
	ID      SessionID
	Athlete AthleteID
	Key     Key
	readiness.Session
	WarmUp    Around
	CoolDown  Around
	Routine   RoutineID // the club's version when it was told; the store fills it in
	Turn      string    // with Lifts: the name of the programme's session
	Lifts     []Lift    // of strength, when it is stored; read by themselves, as Lifted
	Note      string
	LoggedAt  time.Time
	ChangedAt time.Time // of the newest correction; zero: never corrected
	ByCoach   CoachID   // 0: entered by the athlete
	Version   int       // counts corrections
}

// Note is a coach's note about an athlete, for coaches.
type Note struct {
	ID      NoteID
	Athlete AthleteID
	Coach   CoachID
	By      string // the coach's name
	At      time.Time
	Text    string
	Private bool // not for deputies
}

// Choice is what a coach decided.
type Choice string

// The choices.
const (
	MoveUp   Choice = "move_up"
	Hold     Choice = "hold"
	HalfStep Choice = "half_step"
	EaseBack Choice = "ease_back"
	Pause    Choice = "pause"
	Resume   Choice = "resume" // the pause is over; the same as a clearance, and says where to begin
	Refer    Choice = "refer"
	Cleared  Choice = "cleared" // a referral is over
	Seen     Choice = "seen"    // looked at, nothing changes
)

// Decision is what a coach decided, with the verdict as it stood.
type Decision struct {
	ID       DecisionID
	Athlete  AthleteID
	Coach    CoachID
	By       string // the coach's name
	At       time.Time
	AsOf     day.Date // the day of the verdict
	Choice   Choice
	To       string // the phase it leads to; the same phase where nothing moves
	Reason   string // needed where it departs from the proposal
	Word     string // the coach's words to the athlete
	Proposal string // Fingerprint of the verdict
	Verdict  []byte // the verdict document (JSON) as it stood
	Before   Standing
	After    Standing
	Key      Key
	UndoneAt time.Time // zero: it stands

	Clearance Clearance // of a choice that ends a referral; else zero
}

// Shelf is a pathway as it is kept: one version of it.
type Shelf struct {
	ID      PathwayID
	Name    string
	Version int
	pathway.Pathway
}

// Actor is who makes a change, for the audit line, and what the actor may.
type Actor struct {
	Club    ClubID
	Coach   CoachID   // 0 unless a coach acts
	Athlete AthleteID // 0 unless an athlete acts
	Deputy  bool      // the coach is a deputy
	OwnOnly bool      // the coach sees only own athletes and those of nobody
}

// Limits of what is taken in.
const (
	NameLength  = 80    // characters of a name
	PhaseLength = 81    // characters of a phase's name, that of a half step included
	NoteLength  = 2000  // characters of a note, a reason, a word to the athlete
	EmailLength = 254   // bytes of an e-mail address
	OldestEntry = 183   // days back a session may be entered
	LongestDone = 14400 // seconds of one block
	MostBlocks  = 60    // of one session
	MostPains   = 12    // sites of one session
)
