package days

import (
	"cmp"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// planner lays out the weeks of one athlete.
type planner struct {
	file     *roster.File
	shelf    *roster.Shelf
	rung     pathway.Rung
	blocks   []pathway.Block
	kind     weekplan.Kind // of the phase's sessions
	place    *time.Location
	today    day.Date
	now      weekplan.Part // the part of today that it is
	way      roster.Way
	pins     []roster.Pin
	legs     map[roster.SessionID]bool // strength whose exercises are known: whether it was hard on the legs
	lifts    day.Date                  // since when there is a programme for strength; zero: nobody knows
	group    roster.Group
	holidays []roster.Holiday
	sessions []*roster.Session // to today, by start
	quit     bool              // today's session was called off, so that nothing is laid on today any more
}

func newPlanner(f *roster.File, shelf *roster.Shelf, wishes *Wishes, now time.Time, place *time.Location) *planner {
	local := now.In(place)
	p := &planner{
		file: f, shelf: shelf, rung: pathway.NoRung, place: place, today: day.Of(now, place),
		now: roster.PartAt(local.Hour()*60 + local.Minute()), pins: wishes.Pins, legs: wishes.Legs, holidays: wishes.Holidays,
	}
	if at, given := wishes.Given[f.Athlete.ID]; given {
		p.lifts = day.Of(at, place)
	}
	for _, g := range wishes.Groups {
		if g.ID == f.Athlete.Group && g.ID != 0 {
			p.group = g
		}
	}
	for i := range f.Sessions {
		if f.Sessions[i].Date <= p.today {
			p.sessions = append(p.sessions, &f.Sessions[i])
		}
	}
	slices.SortStableFunc(p.sessions, func(a, b *roster.Session) int { return a.StartedAt.Compare(b.StartedAt) })
	if shelf != nil {
		p.rung = shelf.Find(f.Athlete.Phase)
	}
	p.way = roster.WayPaused
	if p.rung != pathway.NoRung {
		h := f.HistoryIn(&shelf.Pathway, p.today, place, nil)
		v := readiness.Assess(&h)
		p.way, p.blocks = f.Way(&v, p.today), shelf.Blocks(p.rung)
	}
	if !pathway.HasRun(p.blocks) {
		p.kind = weekplan.Walk
	}
	p.quit = p.calledOff()
	return p
}

// calledOff says whether a session of the pathway was called off or missed today, in
// so many words, and none was done.
func (p *planner) calledOff() bool {
	off := false
	for _, s := range p.sessions {
		if s.Date != p.today || s.Kind != readiness.Planned {
			continue
		}
		if s.Exposure() {
			return false
		}
		off = true
	}
	return off
}

// open says whether anything is planned from now on.
func (p *planner) open() bool {
	return p.rung != pathway.NoRung && (p.way <= roster.WayOnLeave || p.way == roster.WayFromTomorrow)
}

// course are n weeks from the Monday on. Those to come are laid out one after the
// other, since each counts for the next.
func (p *planner) course(monday day.Date, n int) ([]Week, error) {
	present := weekplan.Monday(p.today)
	if monday == 0 {
		monday = present
	}
	if weekplan.Monday(monday) != monday || monday < present-7*MostBack || monday+day.Date(7*(n-1)) > present+7*MostAhead {
		return nil, fault.New(fault.NotFound, "")
	}
	var weeks []Week
	var last *replay
	for m := min(monday, present); m < monday+day.Date(7*n); m += 7 {
		r := p.replay(m, last)
		if err := r.run(); err != nil {
			return nil, err
		}
		if m >= monday {
			weeks = append(weeks, r.week())
		}
		last = r
	}
	return weeks, nil
}

// begun is the first date on which anything is planned: that on which the athlete
// was taken in or, later, on which running was cleared again.
func (p *planner) begun() day.Date {
	return max(p.file.Athlete.ArrivalSince, p.file.Athlete.ClearedOn)
}

// off says why nothing is planned on the date, with the name of a holiday.
func (p *planner) off(on day.Date) (Off, string) {
	for _, h := range p.holidays {
		if h.Holds(on) {
			return OnHoliday, h.Name
		}
	}
	switch leave := p.file.LeaveOn(on); {
	case leave.From != 0:
		return Away, ""
	case on < p.begun():
		return NotYet, ""
	case !p.open() && on >= p.today:
		return Held, ""
	}
	return NotOff, ""
}

// mostOnADay is how many sessions of a day the planner reads: more than anybody does, and
// few enough that a week can always be laid out.
const mostOnADay = 12

// between are the sessions of the dates from one to another of which anything was done.
func (p *planner) between(from, to day.Date) []*roster.Session {
	var list []*roster.Session
	on := map[day.Date]int{}
	for _, s := range p.sessions {
		if s.Date < from || s.Date > to || on[s.Date] == mostOnADay {
			continue
		}
		if _, did := p.read(s); did {
			on[s.Date]++
			list = append(list, s)
		}
	}
	return list
}

// done are the same as the planner reads them.
func (p *planner) done(from, to day.Date) []weekplan.Session {
	var list []weekplan.Session
	for _, s := range p.between(from, to) {
		one, _ := p.read(s)
		list = append(list, one)
	}
	return list
}

// read is a session as the planner reads it, and whether anything of it was done.
// Strength is hard on the legs by the exercises that were done, and spares them where
// these are not known.
func (p *planner) read(s *roster.Session) (weekplan.Session, bool) {
	local := s.StartedAt.In(p.place)
	one := weekplan.Session{On: s.Date, Part: roster.PartAt(local.Hour()*60 + local.Minute()), Hard: hard(s)}
	switch s.Kind {
	case readiness.Planned:
		one.Kind = kindOf(s, p.kind)
		return one, s.Exposure()
	case readiness.Extra:
		one.Kind, one.Extra = kindOf(s, weekplan.Run), true
	case readiness.Strength:
		one.Kind = weekplan.Strength
		if p.legs[s.ID] {
			one.Kind = weekplan.Legs
		}
	default:
		one.Kind = weekplan.Other
	}
	return one, s.Minutes.Or(1) > 0
}

// kindOf is whether there was running in it; the other where no block is known.
func kindOf(s *roster.Session, other weekplan.Kind) weekplan.Kind {
	if len(s.Blocks) == 0 {
		return other
	}
	for _, b := range s.Blocks {
		if b.Kind == pathway.Run && b.Done > 0 {
			return weekplan.Run
		}
	}
	return weekplan.Walk
}

// hardEffort is the effort from which a session was more than easy (rule 5.1).
const hardEffort = 7

func hard(s *roster.Session) bool {
	return s.Effort.Or(0) >= hardEffort || s.Talk == readiness.Words
}

// hardBefore says whether the newest session of the pathway before the date was hard.
func (p *planner) hardBefore(on day.Date) bool {
	for _, s := range slices.Backward(p.sessions) {
		if s.Date < on && s.Exposure() {
			return hard(s)
		}
	}
	return false
}

// bySession is the order of a day.
func bySession(a, b Session) int {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.State, b.State))
}
