package weekplan

import "math/bits"

// rank is what a placement is judged by, in order: nothing further down outweighs
// what stands above it. The order is ours.
type rank uint8

const (
	movedByCoach   rank = iota // the newest wish of a coach not kept
	pinnedByCoach              // fixed days of a coach not kept
	movedByAthlete             // and so on
	pinnedByAthlete
	pinnedByGroup
	shortClose     // too few runs even for days in a row (board.close)
	inARowPairs    // two easy runs on days in a row
	shortSessions  // sessions of the pathway without a place, of those that are due (board.owed)
	shortStrength  // strength sessions likewise
	shortLegs      // of these, those hard on the legs
	strengthFirst  // strength before the run of the day
	movedAway      // sessions of the present plan on another day
	otherTime      // or at another time of it
	missedSessions // missed sessions of the pathway not placed again
	missedStrength // missed strength likewise
	edge           // what would clash if the week after were as this one
	unlikeUsual    // sessions of the usual week on another day
	shared         // days with a run and strength
	uneven         // gaps between the sessions of the pathway: the sum of their squares
	unevenStrength // gaps between strength sessions likewise
	unusualTime    // at another time than usual
	crowded        // run and strength in the same part of a day
	lateInDay      // parts of the day that pass before a session

	perWord = 8
)

// cost holds a number from 0 to 255 for each rank, eight to a word and the
// heaviest on top, so that costs add up and compare as numbers do. What has to do
// with availability is in none of them: a time that is not used changes nothing.
type cost [3]uint64

func (c *cost) add(r rank, n int) {
	c[r/perWord] += uint64(n) << (8 * (perWord - 1 - r%perWord))
}

func (c cost) plus(o cost) cost { return cost{c[0] + o[0], c[1] + o[1], c[2] + o[2]} }

func (c cost) less(o cost) bool {
	for i := range c {
		if c[i] != o[i] {
			return c[i] < o[i]
		}
	}
	return false
}

// pinRank is the rank of a wish.
func pinRank(p Pin) rank {
	switch {
	case p.By == ByCoach && p.moved:
		return movedByCoach
	case p.By == ByCoach:
		return pinnedByCoach
	case p.By == ByAthlete && p.moved:
		return movedByAthlete
	case p.By == ByAthlete:
		return pinnedByAthlete
	}
	return pinnedByGroup
}

// short adds what has no place with so many sessions of the pathway, of strength
// hard on the legs, and of all strength.
func (s *search) short(c *cost, placed, legs, lifted int) {
	b := s.board
	c.add(shortClose, max(0, b.close-placed))
	c.add(shortSessions, max(0, b.due-placed))
	c.add(shortStrength, max(0, b.dueLegs+b.dueStrength-lifted))
	c.add(shortLegs, max(0, b.dueLegs-legs))
	c.add(missedSessions, max(0, b.need-placed))
	c.add(missedStrength, max(0, b.legs+b.strength-lifted))
}

// whole is what can only be said of the week as a whole.
func (s *search) whole() (c cost) {
	b := s.board
	s.short(&c, s.placed, s.legs, s.legs+s.strength)
	if b.repeats {
		c.add(edge, bits.OnesCount16(uint16(broken(s.full[before+6], s.full[before]))))
	}
	c.add(uneven, gaps(&s.full, onPathLoad))
	week := s.full
	week[0], week[1], week[span-2], week[span-1] = 0, 0, 0, 0
	c.add(unevenStrength, gaps(&week, lifting))
	return c
}

// gaps is the sum of the squares of the days between neighbours, less for even
// ones. Over the edge of the week to what stands there; where nothing does after
// Sunday, to the first of this week a week later.
func gaps(full *[span]load, what load) (sum int) {
	first, last := -1, -1
	for i, l := range full {
		if !l.has(what) {
			continue
		}
		inWeek := i >= before && i < before+7
		if last >= 0 && (inWeek || last >= before && last < before+7) {
			sum += (i - last) * (i - last)
		}
		if inWeek && first < 0 {
			first = i
		}
		last = i
	}
	if first >= 0 && last < before+7 {
		sum += (first + 7 - last) * (first + 7 - last)
	}
	return sum
}
