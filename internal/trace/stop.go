package trace

import (
	"cmp"
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// Stops in a run, as at a crossing: ours.
const (
	shortestStop = 15   // seconds
	longestStop  = 100  // seconds
	stopGrid     = 5    // seconds
	riseAgain    = 30   // seconds in which the heart goes up again
	leastDip     = 0.12 // of the amplitude that it falls by
	stopCost     = 8.0
	oddCost      = 4.0 // of a length from which on stops are looked for
	mostStops    = 2
	stopsTried   = 8
)

// glance finds the blocks in long steps, and fits the time constants. Where blocks
// seem cut, long or left out, it tries whether stops explain it better; the seconds
// of those are taken out of the rates that it gives back and the search goes on with.
func (s *search) glance(rates []int16) (bounds []int, steady []int16) {
	bounds, _ = s.find(s.step, nil)
	s.fit(rates, bounds)
	bounds, cost := s.find(s.step, nil)
	for range mostStops {
		if !s.odd(bounds) {
			break
		}
		better := s.withoutStop(rates, cost)
		if better == nil {
			break
		}
		rates = better
		bounds, cost = s.find(s.step, nil)
	}
	return bounds, rates
}

// odd says whether blocks last so otherwise than planned that something must have
// happened.
func (s *search) odd(bounds []int) bool {
	for k, b := range s.plan {
		if lasting(b.Planned, bounds[k+1]-bounds[k]) > oddCost {
			return true
		}
	}
	return false
}

// withoutStop are the rates without the stop whose leaving out makes the blocks
// plainest, and the search goes on with them; nil where none does, compared with the
// cost as it is.
func (s *search) withoutStop(rates []int16, cost float64) (steady []int16) {
	up, down := s.up, s.down
	bestUp, bestDown := up, down
	for _, d := range s.dips() {
		masked := slices.Clone(rates)
		clear(masked[d.from : d.to+riseAgain])
		s.up, s.down = newFits(masked, up.constant), newFits(masked, down.constant)
		_, c := s.find(s.step, nil)
		// What is masked can gain nothing: give it what is usual.
		c += stopCost - usualPart*freeGain*s.weight*(up.n[s.length]-s.up.n[s.length])
		if c < cost {
			cost, steady, bestUp, bestDown = c, masked, s.up, s.down
		}
	}
	s.up, s.down = bestUp, bestDown
	return steady
}

// dip is a stretch in which the heart falls and after which it rises at once.
type dip struct {
	from, to int
	cost     float64
}

// dips are the plainest that do not overlap, the plainest first.
func (s *search) dips() []dip {
	var found []dip
	for long := shortestStop; long <= longestStop; long += stopGrid {
		for from := 0; from+long+riseAgain <= s.length; from += stopGrid {
			if d := s.dip(from, from+long); d.cost < 0 {
				found = append(found, d)
			}
		}
	}
	slices.SortStableFunc(found, func(a, b dip) int { return cmp.Compare(a.cost, b.cost) })
	kept := found[:0:0]
	for _, d := range found {
		if len(kept) < stopsTried && !slices.ContainsFunc(kept, d.overlaps) {
			kept = append(kept, d)
		}
	}
	return kept
}

// dip looks at one stretch; its cost is 0 where it is none.
func (s *search) dip(from, to int) dip {
	d := dip{from: from, to: to}
	squares, change, n := s.down.misfit(from, to, direction(pathway.Walk))
	if 2*n < float64(to-from) || -change < leastDip*s.amplitude {
		return d
	}
	more, rise, m := s.up.misfit(to, to+riseAgain, direction(pathway.Run))
	if 2*m < riseAgain || 2*rise < -change {
		return d
	}
	d.cost = explained(squares, n) + explained(more, m)
	return d
}

func (d dip) overlaps(other dip) bool { return d.from < other.to && other.from < d.to }
