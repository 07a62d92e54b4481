// Package lift is strength training: the programme a coach gives, what of it is next
// for an athlete and with how much, what was done, and the exercises of a club. That a
// session was done is kept by whoever takes in sessions; this says what can be told of
// its exercises.
package lift

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
)

// Service knows what is lifted. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Today is what an athlete does next for strength.
type Today struct {
	Athlete  roster.Athlete
	Date     day.Date // the athlete's own
	Way      Way
	Program  roster.Program // zero ID: none was given yet; without sessions: it was ended
	Turn     string         // which session is next; empty: none
	Lines    []Line         // its exercises; empty where Way prescribes none
	Swaps    []Swap         // what does not fit today, and what stands in its place
	Need     strength.Need
	Cautions []string
	Minutes  int // the session as planned
	Kit      roster.Kit
	Library  strength.Library // what can be chosen
	Known    strength.Library // and what there ever was
	Lifted   []roster.Lifted  // the newest first
	Asked    bool             // the health questions were answered here, so that a pregnancy is known

	now strength.Circumstances
}

// Way says whether strength is trained today.
type Way uint8

// The ways; the first two have a session.
const (
	Open       Way = iota
	WithCare       // running is paused, or an injury is noted: only what does not hurt, and the coach is asked
	GetWell        // ill
	Referred       // a warning sign, a referral or a clearance is waited for
	NotHereYet     // the health questions, or the coach's word, come first; or the consent was taken back
)

// Has says whether there is a programme.
func (t Today) Has() bool { return t.Program.ID != 0 && len(t.Program.Sessions) > 0 }

// Line is one exercise of the session.
type Line struct {
	Exercise strength.Exercise
	For      string // the exercise of the fitted programme in whose place it stands; the same where it is that one
	Target   strength.Target
	Next     strength.Next
	Words    string // what to do and why
	Count    int    // repetitions or seconds to fill in for each set
	Last     *Done  // what was done of it the last time; nil: never yet
}

// Done is one exercise on one day.
type Done struct {
	Date day.Date
	roster.Lift
}

// Swap is one exercise that does not fit today.
type Swap struct {
	Words   string // for the athlete and for coaches
	Guarded string // for deputies: without a reason that tells about health
}

// Today says what is next. That the week has a run tomorrow, the caller knows.
func (s *Service) Today(ctx context.Context, who roster.Actor, athlete roster.AthleteID, runTomorrow bool) (Today, error) {
	if !who.For(athlete) {
		return Today{}, fault.New(fault.NotFound, "")
	}
	now := s.Now()
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return Today{}, err
	}
	shelf, err := s.Store.Shelf(ctx, who.Club, file.Athlete.Pathway)
	if err != nil {
		return Today{}, err
	}
	checks, err := s.Store.Checks(ctx, who.Club, athlete)
	if err != nil {
		return Today{}, err
	}
	kept, err := s.Store.Strength(ctx, who.Club, athlete)
	if err != nil {
		return Today{}, err
	}
	t := Today{
		Athlete: file.Athlete, Date: file.Athlete.Today(now), Program: kept.Program, Kit: kept.Kit, Lifted: kept.Lifted,
		Library: roster.Library(kept.Own), Known: roster.Known(kept.Own),
	}
	history := file.History(&shelf.Pathway, t.Date)
	verdict := readiness.Assess(&history)
	t.Way = way(file.Way(&verdict, t.Date))
	t.now = strength.Circumstances{Has: kept.Kit.Has, Pains: roster.Aching(file.Sessions, t.Date), RunTomorrow: runTomorrow, Stopped: t.Way > WithCare}
	t.now.State, t.Asked = roster.BodyState(checks, t.Date)
	t.fit()
	return t, nil
}

// way is what a way to run means for strength (ours): whoever may run, may lift. A pause
// or an injury of running leaves what does not hurt, with the coach's word.
func way(w roster.Way) Way {
	switch w {
	case roster.WayGoing, roster.WayOnLeave:
		return Open
	case roster.WayHurt, roster.WayCheckFirst, roster.WayPaused:
		return WithCare
	case roster.WayIll, roster.WayFromTomorrow:
		return GetWell
	case roster.WayReferBone, roster.WayReferred, roster.WayStopSigned, roster.WayClearance:
		return Referred
	}
	return NotHereYet
}

// fit lays out the next session as it fits today.
func (t *Today) fit() {
	if !t.Has() {
		return
	}
	at := turn(t.Program.Sessions, t.Lifted)
	one := strength.Program{AWeek: t.Program.AWeek, Sessions: t.Program.Sessions[at : at+1]}
	fitted := strength.Fit(one, t.now, t.Library)
	t.Need, t.Turn = fitted.Need, one.Sessions[0].Name
	if t.Way > WithCare {
		return
	}
	t.Cautions = t.now.Cautions()
	for i := range fitted.Swaps {
		t.Swaps = append(t.Swaps, t.swap(&fitted.Swaps[i]))
	}
	session := fitted.Program.Sessions[0]
	taken := map[string]bool{}
	for _, slot := range session.Slots {
		taken[slot.Exercise] = true
	}
	for i := range session.Slots {
		line := t.line(&session.Slots[i], taken)
		session.Slots[i] = strength.Slot{Exercise: line.Exercise.ID, Target: line.Next.Target}
		t.Lines = append(t.Lines, line)
	}
	t.Minutes = session.Minutes(t.Library)
}

// turn is which session is next: the one after that which was done last.
func turn(sessions []strength.Session, lifted []roster.Lifted) int {
	for i := range lifted {
		at := slices.IndexFunc(sessions, func(s strength.Session) bool { return s.Name == lifted[i].Turn })
		if at >= 0 {
			return (at + 1) % len(sessions)
		}
	}
	return 0
}

// swap says a swap to those who may read why, and to others.
func (t *Today) swap(w *strength.Swap) Swap {
	said := Swap{Words: w.Words(t.Known)}
	open := *w
	open.Why = slices.DeleteFunc(slices.Clone(w.Why), func(r strength.Reason) bool {
		return r.Cause == strength.Hurts || r.Cause == strength.Forbidden
	})
	if said.Guarded = said.Words; len(open.Why) < len(w.Why) {
		from, _ := t.Known.Find(w.From)
		said.Guarded = from.Name + ": left out today."
		if to, there := t.Known.Find(w.To); there {
			said.Guarded += " Instead: " + to.Name + "."
		}
	}
	return said
}

// Glance is what other pages say of strength in a line.
type Glance struct {
	Turn  string   // which session is next; empty: there is no programme
	Count int      // how many exercises it has
	Last  day.Date // the newest session of which exercises were told; zero: none
}

// Glance is what is next, unfitted.
func (s *Service) Glance(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (Glance, error) {
	if !who.For(athlete) {
		return Glance{}, fault.New(fault.NotFound, "")
	}
	kept, err := s.Store.Strength(ctx, who.Club, athlete)
	if err != nil {
		return Glance{}, err
	}
	var g Glance
	if len(kept.Lifted) > 0 {
		g.Last = kept.Lifted[0].Date
	}
	if sessions := kept.Program.Sessions; len(sessions) > 0 {
		next := &sessions[turn(sessions, kept.Lifted)]
		g.Turn, g.Count = next.Name, len(next.Slots)
	}
	return g, nil
}
