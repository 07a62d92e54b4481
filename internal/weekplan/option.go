package weekplan

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
)

// content is what may be placed on a day: a session of the pathway or none, and
// strength of a kind or none (Other).
type content struct {
	onPath bool
	lift   Kind
}

// contents are tried in this order: the likelier first, so that the search can leave
// other branches early. Of two weeks that are equal in all else the one stands that
// comes first, which has the sessions of the pathway early in the week.
var contents = [...]content{{true, Other}, {true, Strength}, {true, Legs}, {false, Strength}, {false, Legs}, {false, Other}}

// option is a content on a certain day at its best times.
type option struct {
	fits            bool
	adds            load
	onPath, lifting Part // Any: none
	cost            cost
}

// weigh finds the best times for every content of every day. Times have to do with
// no other day, so that this is done once.
func (b *board) weigh() {
	for i := range b.options {
		done, fixed := b.standing(i)
		bare := onDay(done, fixed)
		for j, c := range contents {
			b.options[i][j] = b.bestTimes(i, c, done, fixed, bare)
		}
	}
}

// standing is what is done on a day, and what a coach insists on.
func (b *board) standing(i int) (done, fixed []Session) {
	date := b.Monday + day.Date(i)
	there := func(list []Session) (on []Session) {
		for _, s := range list {
			if s.On == date {
				on = append(on, s)
			}
		}
		return on
	}
	return there(b.Done), there(b.insisted)
}

// bestTimes tries a content at all open times.
func (b *board) bestTimes(i int, c content, done, fixed []Session, bare rules) (best option) {
	lifts := []Part{Any}
	if c.lift != Other {
		lifts = partsOf(true, b.times[i][c.lift])
	}
	for _, p := range partsOf(c.onPath, b.times[i][b.Kind]) {
		for _, q := range lifts {
			planned := append(make([]Session, 0, 4), fixed...)
			o := option{fits: true, onPath: p, lifting: q}
			if p != Any {
				planned = append(planned, b.session(b.Kind, b.Monday+day.Date(i), p))
			}
			if q != Any {
				planned = append(planned, b.session(c.lift, b.Monday+day.Date(i), q))
			}
			clash := onDay(done, planned) &^ bare
			if clash&^of(RunFirst) != 0 {
				continue
			}
			for _, s := range planned {
				o.adds |= loadOf(s)
			}
			if clash.has(RunFirst) {
				o.cost.add(strengthFirst, 1)
			}
			b.wishes(&o.cost, i, done, planned)
			b.habits(&o, i, done, planned)
			if !best.fits || o.cost.less(best.cost) {
				best = o
			}
		}
	}
	return best
}

// partsOf are the parts to try; Any alone where nothing is placed.
func partsOf(placed bool, open Times) []Part {
	if !placed {
		return []Part{Any}
	}
	parts := make([]Part, 0, 3)
	for p := Morning; p <= Evening; p++ {
		if open.Has(p) {
			parts = append(parts, p)
		}
	}
	return parts
}

// onDay are the rules that sessions of one day break between them, some of which
// are still planned. What is done came before all that is planned; in one part of
// the day the run comes first.
func onDay(done, planned []Session) (s rules) {
	all := append(append(make([]Session, 0, 6), done...), planned...)
	for i, a := range all {
		for j, b := range all {
			if i == j || i < len(done) && j < len(done) {
				continue
			}
			if sameADay(a.Kind, b.Kind) {
				s |= of(OneADay)
			}
			if b.Kind != Run || !a.Kind.lifting() || j < len(done) {
				continue
			}
			if i < len(done) || a.Part < b.Part {
				s |= of([...]Rule{Strength: RunFirst, Legs: FreshLegs}[a.Kind])
			}
		}
	}
	return s
}

// wishes counts fixed days that are not kept.
func (b *board) wishes(c *cost, i int, done, planned []Session) {
	for _, p := range b.pins {
		if at, _ := b.on(p.On); at == i && !keeps(p, done) && !keeps(p, planned) {
			c.add(pinRank(p), 1)
		}
	}
}

// keeps says whether a session of the list is what is wished for.
func keeps(p Pin, list []Session) bool {
	return slices.ContainsFunc(list, func(s Session) bool {
		return s.On == p.On && alike(s.Kind, p.Kind) && (p.Part == Any || s.Part == Any || s.Part == p.Part)
	})
}

// alike says whether two kinds are the same thing of a week.
func alike(a, b Kind) bool { return a == b || a.onPath() && b.onPath() }

// habits counts what is other than in the present plan and the usual week, and what
// is merely less handy.
func (b *board) habits(o *option, i int, done, planned []Session) {
	weekday := (b.Monday + day.Date(i)).Weekday()
	today := func(s Session) bool { return s.On == b.Monday+day.Date(i) }
	away, other := unlike(b.Present, today, done, planned)
	o.cost.add(movedAway, away)
	o.cost.add(otherTime, other)
	away, other = unlike(b.Usual, func(s Session) bool { return s.On.Weekday() == weekday }, done, planned)
	o.cost.add(unlikeUsual, away)
	o.cost.add(unusualTime, other)
	all := loadOn(done) | loadOn(planned)
	if all.has(onPathLoad | lifting) {
		o.cost.add(shared, 1)
	}
	if o.onPath != Any && o.onPath == o.lifting {
		o.cost.add(crowded, 1)
	}
	for _, p := range []Part{o.onPath, o.lifting} {
		if p > Morning {
			o.cost.add(lateInDay, int(p-Morning))
		}
	}
}

func loadOn(list []Session) (l load) {
	for _, s := range list {
		l |= loadOf(s)
	}
	return l
}

// unlike counts sessions of a list, those that lie on the day, which are not there:
// not at all, or at another time.
func unlike(list []Session, onDay func(Session) bool, done, planned []Session) (away, other int) {
	for _, s := range list {
		if !onDay(s) || s.Kind == Other || s.Extra {
			continue
		}
		there, then := false, false
		for _, have := range [][]Session{done, planned} {
			for _, h := range have {
				same := alike(h.Kind, s.Kind)
				there = there || same
				then = then || same && (h.Part == s.Part || h.Part == Any || s.Part == Any)
			}
		}
		if !there {
			away++
		} else if !then {
			other++
		}
	}
	return away, other
}
