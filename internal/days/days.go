// Package days is the whole week of an athlete: on which days, and when on them, the
// sessions of the phase and strength are, which are done and what became of those
// that were missed. Nothing of it is kept but wishes: a week is laid out whenever it is
// read, by going through it from its Monday day by day with what was known then.
package days

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// Service lays out weeks. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// How far from the present week a week may lie, in weeks.
const (
	MostAhead = 6
	MostBack  = 8
)

// State says what became of a session.
type State uint8

// The states.
const (
	Planned State = iota // to be done
	Done
	Missed // its day went by without it; Now says where it is instead
)

// Session is one session of a week.
type Session struct {
	Kind  weekplan.Kind
	On    day.Date
	Part  weekplan.Part   // of one that is done: when it began
	At    readiness.Maybe // minutes after midnight where the club is, with a group that meets then
	Group string          // the group's name
	State State
	Log   *roster.Session // of one that is done: as it was told
	Now   day.Date        // of one that was missed: where it is now, or was done; zero: let go
	Made  bool            // it was done on that day
	Pin   roster.Pin      // of one to be done: the wish that holds it there; ID 0: none
}

// Off says why nothing is planned on a day.
type Off uint8

// The reasons.
const (
	NotOff    Off = iota
	Away          // a time away, whatever the reason
	OnHoliday     // of the club
	NotYet        // before the athlete began, or began again
	Held          // nothing is planned for now: see Week.Way
)

// Day is one day of a week.
type Day struct {
	On       day.Date
	Off      Off
	Holiday  string         // its name
	Phase    string         // the athlete's on that day, as far as is known
	Times    weekplan.Times // when the athlete usually can
	Sessions []Session      // in order
}

// Week is one week of an athlete.
type Week struct {
	Athlete  roster.Athlete
	Shelf    *roster.Shelf // nil, with NoRung: the phase is not on the pathway any more, and nothing is planned
	Rung     pathway.Rung
	Blocks   []pathway.Block // of the phase; empty where nothing is planned
	Way      roster.Way
	Monday   day.Date
	Today    day.Date // the athlete's own
	Days     [7]Day
	Done, Of int // sessions of the pathway in this week
	Group    roster.Group

	Compromises []weekplan.Compromise
	Unplaced    []weekplan.Unplaced
	Yielded     []weekplan.Yielded
	Pins        []roster.Pin // all wishes of the athlete that hold, those for weekdays too

	asked  weekplan.Week // as the planner was asked last
	newest time.Time     // when a wish was made or ended last
}

// Past says whether the week is over. Of such a week nobody knows any more what was
// planned, but for what was wished for a day of it: the phase, the times and the strength
// may have been others then.
func (w *Week) Past() bool { return w.Today > w.Monday+6 }

// Open says whether anything is planned for the athlete at present.
func (w *Week) Open() bool { return w.Way <= roster.WayOnLeave || w.Way == roster.WayFromTomorrow }

// Sessions are all sessions of the week in order.
func (w *Week) Sessions() []Session {
	var all []Session
	for i := range w.Days {
		all = append(all, w.Days[i].Sessions...)
	}
	return all
}

// Next is the first session of the pathway that is to be done in the weeks, which
// come one after the other; nil where there is none.
func Next(weeks []Week) *Session {
	for i := range weeks {
		for d := range weeks[i].Days {
			for n, s := range weeks[i].Days[d].Sessions {
				if s.State == Planned && (s.Kind == weekplan.Run || s.Kind == weekplan.Walk) {
					return &weeks[i].Days[d].Sessions[n]
				}
			}
		}
	}
	return nil
}

// Week is the week of the Monday; no Monday is the present week where the athlete is.
// A week too far away is fault.NotFound.
func (s *Service) Week(ctx context.Context, who roster.Actor, athlete roster.AthleteID, monday day.Date) (Week, error) {
	weeks, err := s.Course(ctx, who, athlete, monday, 1)
	if err != nil {
		return Week{}, err
	}
	return weeks[0], nil
}

// Course are n weeks, one after the other, from the Monday on.
func (s *Service) Course(ctx context.Context, who roster.Actor, athlete roster.AthleteID, monday day.Date, n int) ([]Week, error) {
	if !who.For(athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	now := s.Now()
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	if !who.Sees(&file.Athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	shelf, err := s.Store.Shelf(ctx, who.Club, file.Athlete.Pathway)
	if err != nil {
		return nil, err
	}
	wishes, err := s.Store.Wanted(ctx, who.Club, athlete, reach(now))
	if err != nil {
		return nil, err
	}
	p := newPlanner(&file, shelf, &wishes, now, file.Athlete.Place())
	return p.course(monday, n)
}

// Outset is the week of the Monday as it was laid out on the morning of that day: what
// was printed and handed out, whatever was done of it since. A week to come is laid
// out as it is now.
func (s *Service) Outset(ctx context.Context, who roster.Actor, athlete roster.AthleteID, monday day.Date) (Week, error) {
	week, err := s.Week(ctx, who, athlete, monday)
	if err != nil || week.Monday > week.Today {
		return week, err
	}
	y, m, d := week.Monday.UTC().Date()
	morning := time.Date(y, m, d, 0, 0, 0, 0, week.Athlete.Place())
	then := Service{Store: s.Store, Now: func() time.Time { return morning }}
	return then.Week(ctx, who, athlete, week.Monday)
}

// reach is since when wishes are read.
func reach(now time.Time) day.Date { return roster.Latest(now) - 7*(MostBack+2) }

// Weeks are the weeks of everybody who has not left and whom the actor sees, by name.
// The number of queries does not grow with the club. No Monday is the present week of
// each.
func (s *Service) Weeks(ctx context.Context, who roster.Actor, monday day.Date) ([]Week, error) {
	courses, err := s.Courses(ctx, who, monday, 1)
	weeks := make([]Week, len(courses))
	for i := range courses {
		weeks[i] = courses[i][0]
	}
	return weeks, err
}

// Courses are n weeks of each of them, one after the other, from the Monday on.
func (s *Service) Courses(ctx context.Context, who roster.Actor, monday day.Date, n int) ([][]Week, error) {
	now := s.Now()
	shelves, err := s.Store.Shelves(ctx, who.Club)
	if err != nil {
		return nil, err
	}
	files, err := s.Store.Files(ctx, who.Club, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	wishes, err := s.Store.Wanted(ctx, who.Club, 0, reach(now))
	if err != nil {
		return nil, err
	}
	pins := map[roster.AthleteID][]roster.Pin{}
	for _, p := range wishes.Pins {
		pins[p.Athlete] = append(pins[p.Athlete], p)
	}
	files = slices.DeleteFunc(files, func(f roster.File) bool { return !who.Sees(&f.Athlete) })
	courses, places := make([][]Week, 0, len(files)), map[string]*time.Location{}
	for i := range files {
		a := &files[i].Athlete
		if places[a.Zone] == nil { // looking one up costs a read of the disk
			places[a.Zone] = a.Place()
		}
		own := Wishes{Pins: pins[a.ID], Groups: wishes.Groups, Holidays: wishes.Holidays, Given: wishes.Given, Legs: wishes.Legs}
		one, err := newPlanner(&files[i], shelves[a.Pathway], &own, now, places[a.Zone]).course(monday, n)
		if err != nil {
			return nil, err
		}
		courses = append(courses, one)
	}
	return courses, nil
}
