package roster

import (
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
)

// Arrival says how far somebody has come in. Nothing is prescribed to anybody who
// is not Here.
type Arrival string

// The steps of coming in.
const (
	Invited   Arrival = "invited"   // a coach made the invitation; the questions are not answered yet
	Answered  Arrival = "answered"  // the answers are in; it is the coach's turn
	Here      Arrival = "here"      // a coach confirmed where to begin
	Withdrawn Arrival = "withdrawn" // the consent was taken back
)

// CheckID and ConsentID are unique within a club; 0 is none.
type (
	CheckID   int64
	ConsentID int64
)

// ConsentKind says what somebody agreed to.
type ConsentKind string

// The kinds of consent. A minor has Guardian in place of Adult.
const (
	ToKeeping ConsentKind = "keeping"  // what is kept, who sees it, for how long, how to leave
	ToHealth  ConsentKind = "health"   // that answers about health are kept, and who sees them
	IsAdult   ConsentKind = "adult"    // being of age
	Guardian  ConsentKind = "guardian" // by a parent or guardian, who is named
)

// Consent is one consent as it was given.
type Consent struct {
	ID          ConsentID
	Athlete     AthleteID
	Kind        ConsentKind
	Text        int       // version of the text that was agreed to
	On          day.Date  // on the athlete's date
	At          time.Time // its instant
	ByCoach     CoachID   // filled in by a coach with the person beside them; 0: by the athlete
	Guardian    string    // the guardian's name; of kind Guardian only
	WithdrawnAt time.Time // zero: it stands
}

// Stands says whether the consent has not been taken back.
func (c *Consent) Stands() bool { return c.WithdrawnAt.IsZero() }

// Source says how answers about health came in.
type Source string

// The sources.
const (
	FromPhone Source = "phone" // the athlete answered
	FromCoach Source = "coach" // a coach filled them in with the person beside them
	FromPaper Source = "paper" // a coach asked and keeps the answers on paper
)

// HealthCheck is what somebody answered to the health questions, once. Until it is
// handed in it is a draft, of which everybody has one at most.
type HealthCheck struct {
	ID       CheckID
	Athlete  AthleteID
	Form     int                 // version of the questions
	Fresh    bool                // asked again later on: health only
	Answers  map[string][]string // by question; empty of paper
	Sections []string            // those answered so far, in the order of answering
	Source   Source
	ByCoach  CoachID  // who filled it in or asked; 0: the athlete
	By       string   // the coach's name
	AskedOn  day.Date // of paper: when it was asked
	AskedBy  string   // of paper: who asked
	BegunAt  time.Time
	HandedAt time.Time // zero: a draft
	HandedOn day.Date  // on the athlete's date
	Advised  bool      // a clearance was advised when it was handed in
	Why      []string  // the reasons for that, as they stood
	SeenAt   time.Time // when a coach had looked at it; zero: not yet
	SeenBy   CoachID
	SeenName string // the coach's name
	Version  int    // counts changes
}

// Draft says whether the answers are not handed in yet.
func (c *HealthCheck) Draft() bool { return c.HandedAt.IsZero() }

// Paper says that the health questions were asked on paper; the zero value is that
// they were not.
type Paper struct {
	On day.Date // asked_on
	By string   // asked_by: who asked
}

// Check finds what is wrong with it on the day, at asked_on and asked_by.
func (p Paper) Check(today day.Date) []fault.Field {
	var faults []fault.Field
	note := func(place, message string) { faults = append(faults, fault.Field{Place: place, Message: message}) }
	switch {
	case p.On == 0:
		note("asked_on", "please give the day on which it was asked")
	case p.On > today:
		note("asked_on", "this day is still to come")
	case p.On < today-OldestPaper:
		note("asked_on", "that is more than a year ago; please ask again")
	}
	if m := CheckName(p.By); m != "" {
		note("asked_by", m)
	}
	return faults
}

// Clearance is what a doctor, or whoever else may, said: running may begin or go on.
type Clearance struct {
	GivenOn day.Date // given_on; never in the future
	GivenBy string   // given_by: who gave it; never empty
	Limits  string   // limits: what is to be kept to, in words; empty: none
}

// Check finds what is wrong with it on the day, at given_on, given_by and limits.
func (c Clearance) Check(today day.Date) []fault.Field {
	var faults []fault.Field
	note := func(place, message string) { faults = append(faults, fault.Field{Place: place, Message: message}) }
	switch {
	case c.GivenOn == 0:
		note("given_on", "please give the day on which it was given")
	case c.GivenOn > today:
		note("given_on", "this day is still to come")
	case c.GivenOn < today-OldestClearance:
		note("given_on", "that is more than a year ago; please have it given anew")
	}
	if strings.TrimSpace(c.GivenBy) == "" {
		note("given_by", "please say who gave it")
	} else if m := CheckName(c.GivenBy); m != "" {
		note("given_by", m)
	}
	if m := CheckText(c.Limits, NoteLength); m != "" {
		note("limits", m)
	}
	return faults
}

// How far back these may lie, in days. That a clearance counts for twelve months is
// the algorithm's (from memory, see internal/screening); the same for what was
// asked on paper is ours.
const (
	OldestClearance = 366
	OldestPaper     = 366
)

// Available are the times of the week in which somebody can train: one bit for each
// part of each day, from Monday morning on. Zero is not told.
type Available uint32

// DayPart is a part of a day.
type DayPart uint8

// The parts.
const (
	Morning DayPart = iota
	Midday
	Evening
)

const partsOfDay = 3

func bitOf(on time.Weekday, part DayPart) Available {
	return 1 << (partsOfDay*((int(on)+6)%7) + int(part))
}

// At says whether the time is one of them.
func (a Available) At(on time.Weekday, part DayPart) bool { return a&bitOf(on, part) != 0 }

// With adds a time.
func (a Available) With(on time.Weekday, part DayPart) Available { return a | bitOf(on, part) }
