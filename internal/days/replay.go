package days

import (
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// replay goes through one week: it is laid out on its Monday, and again with each
// day that went by and each wish that was told, with what was known then. So what was
// planned on a day and not done was missed, and nobody has to keep a plan.
type replay struct {
	*planner
	monday  day.Date
	q       weekplan.Week
	plan    weekplan.Plan
	moments []moment
	tracks  []*track
	past    []weekplan.Session // planned on days gone by, done or not
	missed  []missing
	loose   []weekplan.Session // done on days on which they were not planned, and set against nothing yet
	upTo    day.Date           // sessions to this date are in q.Done
}

// track is one session of the week through all its days.
type track struct {
	kind weekplan.Kind
	on   day.Date // where it is, or was last
	part weekplan.Part
	fate fate
	as   day.Date // of one that is done: on which day
}

// fate is what became of a session that was planned.
type fate uint8

const (
	ahead fate = iota // to be done
	lost              // missed, and not placed again
	gone              // not needed any more
	done
)

// missing is a day on which a session was planned and not done.
type missing struct {
	kind  weekplan.Kind // what it was then
	on    day.Date
	part  weekplan.Part
	track *track
}

// moment is when wishes changed, and the date of it.
type moment struct {
	at time.Time
	on day.Date
}

// replay prepares the week of the Monday; before it comes the week that was laid out
// last, if it is one to come.
func (p *planner) replay(monday day.Date, before *replay) *replay {
	r := &replay{planner: p, monday: monday, upTo: monday - 1}
	a := &p.file.Athlete
	r.q = weekplan.Week{
		Monday: monday, Days: weekplan.Usually(uint32(a.Available)), Kind: p.kind,
		Sessions: min(a.AWeek(), weekplan.MostSessions),
	}
	for i := range r.q.Days {
		off, _ := p.off(monday + day.Date(i))
		r.q.Days[i].Off = off != NotOff
	}
	if monday > p.today && before != nil {
		r.q.Usual = before.whole()
	} else {
		r.q.Usual = p.done(monday-7, monday-1)
	}
	for _, s := range r.q.Usual {
		if s.On >= monday-2 {
			r.q.Around = append(r.q.Around, s)
		}
	}
	r.moments = r.changes()
	return r
}

// whole is all of a week that is done or to be done.
func (r *replay) whole() []weekplan.Session { return slices.Concat(r.q.Done, r.plan.Sessions) }

// changes are the moments at which wishes about the week changed. A wish for one date
// counts from when it was made; one for a weekday that was made before the Monday
// counts from the first.
func (r *replay) changes() []moment {
	var list []moment
	note := func(at time.Time, on day.Date) {
		if !at.IsZero() {
			list = append(list, moment{at, on})
		}
	}
	for i := range r.pins {
		p := &r.pins[i]
		switch {
		case p.Undone != "":
		case p.Standing():
			if p.MadeOn >= r.monday {
				note(p.MadeAt, p.MadeOn)
			}
			if p.LiftedOn >= r.monday {
				note(p.LiftedAt, p.LiftedOn)
			}
		case r.holds(p.On):
			note(p.MadeAt, p.MadeOn)
			note(p.LiftedAt, p.LiftedOn)
		}
	}
	slices.SortFunc(list, func(a, b moment) int { return a.at.Compare(b.at) })
	return slices.CompactFunc(list, func(a, b moment) bool { return a.at.Equal(b.at) })
}

// holds says whether the date lies in the week.
func (r *replay) holds(on day.Date) bool { return on >= r.monday && on < r.monday+7 }

// run goes through the week, to today or to its end.
func (r *replay) run() error {
	if r.today > r.monday+6 && !r.anyWish() { // only what was done is told
		r.takeIn(r.monday + 6)
		return nil
	}
	last := min(r.today, r.monday+6)
	if r.monday > r.today {
		last = r.monday
	}
	for d := r.monday; d <= last; d++ {
		if err := r.begin(d); err != nil {
			return err
		}
		if err := r.changeTo(d); err != nil {
			return err
		}
	}
	if r.today > r.monday+6 {
		r.pass(r.monday + 7)
		r.plan = weekplan.Plan{}
		r.settle()
	}
	return nil
}

// anyWish says whether somebody wished anything of the week.
func (r *replay) anyWish() bool {
	return slices.ContainsFunc(r.pins, func(p roster.Pin) bool {
		if p.Standing() {
			return p.MadeOn < r.monday+7 && (p.LiftedOn == 0 || p.LiftedOn >= r.monday)
		}
		return r.holds(p.On)
	})
}

// begin lays out what is left on the morning of a date, or now if it is today. Of a
// week to come that is all of it.
func (r *replay) begin(d day.Date) error {
	switch {
	case d > r.today:
		return r.layOn(r.today, r.now)
	case d < r.today:
		return r.layOn(d, weekplan.Any)
	}
	if err := r.layOn(d, weekplan.Any); err != nil { // as it was this morning
		return err
	}
	r.takeIn(r.today)
	if r.quit {
		return r.layOn(d+1, weekplan.Any)
	}
	return r.layOn(d, r.now)
}

// layOn lays out what is left from a date on, of which it is a part of the day.
func (r *replay) layOn(d day.Date, now weekplan.Part) error {
	r.pass(max(d, r.monday))
	r.q.Today, r.q.Now, r.q.HardRuns = d, now, r.hardBefore(d)
	if a := &r.file.Athlete; d >= r.lifts { // nothing of a programme was missed before it was given
		r.q.Legs, r.q.Strength = a.Legs, a.Strength-a.Legs
	}
	return r.lay(time.Time{})
}

// pass leaves the days before the date behind: what was planned there and not done
// was missed.
func (r *replay) pass(from day.Date) {
	r.takeIn(min(from-1, r.today))
	for _, t := range r.tracks {
		if t.on >= from || t.fate == gone || t.fate == lost || t.fate == done && t.as != t.on {
			continue
		}
		if t.fate == done {
			if !slices.ContainsFunc(r.past, func(s weekplan.Session) bool { return s.On == t.on && alike(s.Kind, t.kind) }) {
				r.past = append(r.past, weekplan.Session{Kind: t.kind, On: t.on, Part: t.part})
			}
			continue
		}
		r.past = append(r.past, weekplan.Session{Kind: t.kind, On: t.on, Part: t.part})
		r.missed = append(r.missed, missing{t.kind, t.on, t.part, t})
		t.fate = lost
	}
}

// takeIn reads what was done up to the date.
func (r *replay) takeIn(to day.Date) {
	if to <= r.upTo {
		return
	}
	for _, log := range r.between(max(r.upTo+1, r.monday), to) {
		s, _ := r.read(log)
		if log.Kind == readiness.Strength {
			s.Kind = r.sort(log, s)
		}
		r.q.Done = append(r.q.Done, s)
		if s.Extra || s.Kind == weekplan.Other {
			continue
		}
		if t := r.find(s.Kind, s.On); t != nil {
			t.fate, t.as = done, s.On
		} else {
			r.loose = append(r.loose, s)
		}
	}
	r.upTo = to
}

// sort says which of the week's strength was done: by its exercises, and where these are
// not known what was planned there, else what is hard on the legs while some of that is
// left, which is the more careful.
func (r *replay) sort(log *roster.Session, s weekplan.Session) weekplan.Kind {
	if _, known := r.legs[log.ID]; known {
		r.swap(s.Kind, s.On)
		return s.Kind
	}
	legs := 0
	for _, o := range r.q.Done {
		if o.Kind == weekplan.Legs {
			legs++
		}
	}
	switch {
	case r.find(weekplan.Legs, s.On) != nil:
		return weekplan.Legs
	case r.find(weekplan.Strength, s.On) != nil || legs >= r.q.Legs:
		return weekplan.Strength
	}
	return weekplan.Legs
}

// swap lets what was planned for the date be of the kind that was done there; a session
// of that kind which lies ahead is of the other instead.
func (r *replay) swap(did weekplan.Kind, on day.Date) {
	other := weekplan.Legs + weekplan.Strength - did
	planned := r.find(other, on)
	if planned == nil || r.find(did, on) != nil {
		return
	}
	planned.kind = did
	for _, t := range r.of(did, ahead) {
		if t.on > on {
			t.kind = other
			return
		}
	}
}

// find is the session of the kind that is to be done on the date.
func (r *replay) find(k weekplan.Kind, on day.Date) *track {
	for _, t := range r.tracks {
		if t.fate == ahead && t.on == on && alike(t.kind, k) {
			return t
		}
	}
	return nil
}

// alike says whether two kinds are one to the planner: all of the pathway are.
func alike(a, b weekplan.Kind) bool {
	onPath := func(k weekplan.Kind) bool { return k == weekplan.Run || k == weekplan.Walk }
	return a == b || onPath(a) && onPath(b)
}

// present is the week as it was laid out last, with what is past.
func (r *replay) present() []weekplan.Session {
	list := slices.Clone(r.past)
	for _, t := range r.tracks {
		if t.fate == ahead || t.fate == done && t.as == t.on && t.on >= r.q.Today {
			list = append(list, weekplan.Session{Kind: t.kind, On: t.on, Part: t.part})
		}
	}
	return list
}

// lay asks the planner with the wishes that held at the instant; zero is those that
// held at first, or since the moment before.
func (r *replay) lay(at time.Time) error {
	if !at.IsZero() || r.q.Pins == nil {
		r.q.Pins = r.wishes(at)
	}
	r.q.Present = r.present()
	if !r.open() && r.q.Today >= r.today {
		r.plan = weekplan.Plan{}
		r.settle()
		return nil
	}
	plan, err := weekplan.Place(&r.q)
	if err != nil {
		return err
	}
	r.plan = plan
	r.settle()
	return nil
}

// changeTo follows the changes of wishes to the end of a date.
func (r *replay) changeTo(d day.Date) error {
	for len(r.moments) > 0 && r.moments[0].on <= max(d, min(r.today, r.monday)) {
		m := r.moments[0]
		r.moments = r.moments[1:]
		if r.moved(m) {
			continue
		}
		if err := r.lay(m.at); err != nil {
			return err
		}
	}
	return nil
}

// moved follows a wish that moved a session, in the way in which it was moved; false
// where that cannot be followed any more.
func (r *replay) moved(m moment) bool {
	i := slices.IndexFunc(r.pins, func(p roster.Pin) bool { return p.MadeAt.Equal(m.at) && p.From != 0 && p.Undone == "" && r.holds(p.On) })
	if i < 0 || !r.open() {
		return false
	}
	p := &r.pins[i]
	r.q.Present = r.present()
	moved, err := weekplan.Move(&r.q, shiftOf(p))
	if err != nil || moved.Refused != weekplan.NoRule {
		return false
	}
	r.follow(p.Kind, p.From, p.On)
	r.q.Pins, r.plan = r.wishes(m.at), moved.Plan
	r.q.Present = r.present()
	r.settle()
	return true
}

// follow takes the session from one date to another.
func (r *replay) follow(k weekplan.Kind, from, to day.Date) {
	t := r.find(k, from)
	for i := range r.missed {
		if m := r.missed[i]; t == nil && m.on == from && alike(m.kind, k) {
			t = m.track
		}
	}
	if t == nil {
		return
	}
	if t.on, t.fate = to, ahead; !alike(t.kind, k) {
		t.kind = k
	}
}
