package weekplan

import "halfhour.app/halfhour/internal/day"

// placement is a content for each day of the week.
type placement struct {
	choice [7]uint8
	cost   cost
}

// search goes through the days from Monday on, trying every content on each and
// leaving a branch as soon as it breaks a rule or cannot become better than what
// was found. There are six contents and seven days, and most branches end early.
type search struct {
	*board
	full                   [span]load
	choice                 [7]uint8
	placed, legs, strength int  // so far
	pairs                  int  // of runs on days in a row, touching the week
	took                   bool // a day on which nothing stood
	best                   *placement
}

// best leaves the best placement in b.found. Nothing at all can always be placed.
func (b *board) best() {
	b.weigh()
	s := search{board: b, full: b.given}
	for i := before; i < before+8; i++ {
		if pairOf(b.given[i-1], b.given[i]) {
			s.pairs++
		}
	}
	s.from(0, cost{})
	b.found = *s.best
}

func pairOf(a, b load) bool { return (a & b).has(running) }

// from tries all contents of the day and of those after it, having spent so much.
func (s *search) from(i int, spent cost) {
	if s.best != nil && !spent.plus(s.atLeast(7-i)).less(s.best.cost) {
		return
	}
	if i == 7 {
		s.end(spent)
		return
	}
	for j := range contents {
		if o := &s.options[i][j]; o.fits {
			s.try(i, j, o, spent.plus(o.cost))
		}
	}
}

// atLeast is what will be short at the end even if as much as can be is placed on
// the days left: one session of the pathway a day, strength every other day.
func (s *search) atLeast(days int) (c cost) {
	s.short(&c, s.placed+days, s.legs+days, s.legs+s.strength+(days+1)/2)
	return c
}

// try places one content on the day and goes on.
func (s *search) try(i, j int, o *option, spent cost) {
	c := contents[j]
	was := *s
	if c.onPath {
		s.placed++
	}
	switch c.lift {
	case Legs:
		s.legs++
	case Strength:
		s.strength++
	default:
	}
	at := before + i
	s.full[at] |= o.adds
	s.choice[i] = uint8(j)
	s.took = s.took || s.given[at] == 0 && o.adds != 0
	if s.placed <= s.need && s.legs <= s.board.legs && s.strength <= s.board.strength && s.sound(at, &spent) {
		s.from(i+1, spent)
	}
	best := s.best
	*s = was
	s.best = best
}

// sound says whether the day goes with the two before it, and Sunday with what
// comes after; new pairs of runs are added to the cost.
func (s *search) sound(at int, spent *cost) bool {
	last := at
	if at == before+6 {
		last = span - 1
	}
	for i := at; i <= last; i++ {
		clash := s.newly(i)
		if clash&^of(DayBetween) != 0 {
			return false
		}
		if clash.has(DayBetween) {
			s.pairs++
			spent.add(inARowPairs, 1)
			if s.pairs > 1 {
				return false
			}
		}
	}
	return true
}

// newly are the rules that a day breaks with the days before it, which what is done
// and insisted on does not break by itself.
func (s *search) newly(i int) rules {
	clash := broken(s.full[i-1], s.full[i]) &^ broken(s.given[i-1], s.given[i])
	if inARow(s.full[i-2], s.full[i-1], s.full[i]) && !inARow(s.given[i-2], s.given[i-1], s.given[i]) {
		clash |= of(RunsPiled)
	}
	return clash
}

// end judges a whole week.
func (s *search) end(spent cost) {
	if s.took && !s.restDay() {
		return
	}
	spent = spent.plus(s.whole())
	if s.best == nil || spent.less(s.best.cost) {
		s.best = &placement{s.choice, spent}
	}
}

// restDay says whether a day of the week has nothing in it.
func (s *search) restDay() bool {
	for _, l := range s.full[before : before+7] {
		if l == 0 {
			return true
		}
	}
	return false
}

// placedOn are the sessions that were placed on a day.
func (b *board) placedOn(i int) (list []Session) {
	j := b.found.choice[i]
	o, date := b.options[i][j], b.Monday+day.Date(i)
	if o.onPath != Any {
		list = append(list, b.session(b.Kind, date, o.onPath))
	}
	if o.lifting != Any {
		list = append(list, b.session(contents[j].lift, date, o.lifting))
	}
	return list
}
