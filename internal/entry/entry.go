// Package entry is what an athlete's phone does: it shows what is next, takes in
// what was done, and lets it be corrected. A coach may do the same for an athlete.
package entry

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Service takes in sessions. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Entry is one session as somebody tells it. What was left out stays its zero
// value.
type Entry struct {
	Key roster.Key // made with the form, so that sending twice stores once

	Started time.Time       // the instant; zero: Date at Clock in the athlete's zone
	Date    day.Date        // zero with Started: its date in the athlete's zone
	Clock   readiness.Maybe // minutes after midnight, 0 to 1439; not given: noon, or now if noon is yet to come

	Kind    readiness.SessionKind
	Phase   string // of a planned session; empty: the present one
	Outcome readiness.Outcome
	Whole   bool // all of it was done: the blocks are those of the phase
	Blocks  []readiness.Block

	Minutes        readiness.Maybe // 0 to 600
	PlannedMinutes readiness.Maybe // of strength and other
	Effort         readiness.Maybe // CR10, 0 to 10
	Talk           readiness.Talk
	Breath         readiness.Breath
	Hot, Limp      bool
	PainAsked      bool
	Pain           []readiness.Pain
	Signs          []readiness.Sign
	WarmUp         roster.Around
	CoolDown       roster.Around
	Turn           string        // of strength: the name of the programme's session
	Lifts          []roster.Lift // of strength, checked by whoever knows the exercises
	Note           string

	Unread []fault.Field // what could not even be read; refused together with the rest

	before *roster.Session // the session that is corrected; nil: it is a new one
}

// Result is what became of an entry.
type Result struct {
	ID      roster.SessionID
	Session roster.Session
	Again   bool           // it had been sent before, and says the same: nothing was stored
	Stop    bool           // a stop sign was given: stop, call the emergency number (rule 6.5)
	Bone    bool           // a bone sign was given (rule 6.4)
	Hurt    bool           // pain that pauses running (rule 6.1)
	There   roster.Session // on a conflict: the session that is there already
}

// Log stores a new session. Faults of single fields are fault.Invalid; another
// session that began in the same minute is fault.Conflict, with the one that is
// there in the result.
func (s *Service) Log(ctx context.Context, who roster.Actor, athlete roster.AthleteID, e Entry) (Result, error) {
	now := s.Now()
	file, shelf, err := s.open(ctx, who, athlete, now)
	if err != nil {
		return Result{}, err
	}
	kept, err := e.session(&file, &shelf.Pathway, now)
	if err == nil {
		err = mayLog(&file.Athlete, &kept.Session)
	}
	if err != nil {
		return Result{}, err
	}
	kept.Key, kept.LoggedAt, kept.ByCoach = e.Key, now, who.Coach
	id, again, err := s.Store.Log(ctx, who, kept, alarmOf(&kept))
	if fault.KindOf(err) == fault.Conflict {
		return s.twin(ctx, who, kept, err)
	}
	if err != nil {
		return Result{}, err
	}
	if again {
		return s.sentAgain(ctx, who, &file, shelf, id, e, now)
	}
	kept.ID = id
	return outcome(kept, false), nil
}

// open reads the athlete, if the actor may act for them, and their pathway.
func (s *Service) open(ctx context.Context, who roster.Actor, athlete roster.AthleteID, now time.Time) (roster.File, *roster.Shelf, error) {
	if !who.For(athlete) {
		return roster.File{}, nil, fault.New(fault.NotFound, "")
	}
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return roster.File{}, nil, err
	}
	shelf, err := s.Store.Shelf(ctx, who.Club, file.Athlete.Pathway)
	return file, shelf, err
}

// twin says that another session began in the same minute, and shows it.
func (s *Service) twin(ctx context.Context, who roster.Actor, kept roster.Session, cause error) (Result, error) {
	all, err := s.Store.Sessions(ctx, who.Club, kept.Athlete)
	if err != nil {
		return Result{}, err
	}
	for i := range all {
		if all[i].ID != kept.ID && all[i].Kind == kept.Kind && all[i].StartedAt.Equal(kept.StartedAt) {
			return Result{There: all[i]}, &fault.Error{
				Kind: fault.Conflict, Message: "A session that began at that time is there already.", Cause: cause,
				Fields: []fault.Field{{Place: "time", Message: "a session of this minute is there already"}},
			}
		}
	}
	return Result{}, cause
}

// outcome tells what the page after an entry has to say.
func outcome(kept roster.Session, again bool) Result {
	r := Result{ID: kept.ID, Session: kept, Again: again}
	for _, sign := range kept.Signs {
		if sign.Bone() {
			r.Bone = true
		} else {
			r.Stop = true
		}
	}
	r.Hurt = readiness.Pauses(&kept.Session)
	return r
}

// alarmOf is what a coach should know of the session at once.
func alarmOf(s *roster.Session) roster.Alarm {
	var a roster.Alarm
	r := outcome(*s, false)
	if r.Stop {
		a |= roster.AlarmSign
	}
	if r.Bone {
		a |= roster.AlarmBone
	}
	if r.Hurt {
		a |= roster.AlarmPain
	}
	return a
}

// Whole is the session as planned with every block done.
func Whole(plan []pathway.Block) []readiness.Block {
	blocks := make([]readiness.Block, len(plan))
	for i, b := range plan {
		blocks[i] = readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)}
	}
	return blocks
}
