package trace

import (
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// align finds where the blocks of the plan lie, by marks, laps, motion or heart
// rate, and as planned where none of these shows them: one more boundary than there
// are blocks.
func (c *course) align(r *Recording, plan []pathway.Block) (bounds []int, by Alignment) {
	planned := inTime(plan)
	// What was written down long after the plan can have ended is not looked at.
	near := c.rates[:min(len(c.rates), latest+planned[len(plan)]+longAfter)]
	s := &search{
		length: len(near), plan: plan, step: stepOf(plan), weight: 1, amplitude: amplitude(near),
		up: newFits(near, upTime), down: newFits(near, downTime),
	}
	if len(r.Marks) == len(plan)+1 && slices.IsSorted(r.Marks) {
		for _, mark := range r.Marks {
			bounds = append(bounds, int(mark)-c.shift)
		}
		c.lag = s.lateness(near, bounds)
		return bounds, ByMarks
	}
	if planned[len(plan)] > LongestTime {
		return planned, ByPlan // nobody did that, and a search would take long
	}
	s.laps = lapsOf(r.Laps, c.shift, s.length, len(plan))
	if s.motion = c.motion(); s.motion != nil {
		s.weight = besideMotion
	} else if !changes(plan) || s.amplitude < leastAmplitude || 100*s.up.n[s.length] < leastKnown*float64(s.length) {
		return planned, ByPlan
	}
	bounds, rates := s.glance(near)
	bounds, _ = s.find(coarse, bounds)
	s.fit(rates, bounds)
	bounds = s.refine(bounds)
	switch {
	case s.lapped(bounds):
		by = ByLaps
	case s.motion != nil:
		by = BySpeed
	default:
		bounds, c.lag = unlag(bounds, plan)
		return bounds, ByHeart
	}
	c.lag = s.lateness(near, bounds)
	return bounds, by
}

// changes says whether the plan goes from a run to a walk or back: a heart shows
// nothing else.
func changes(plan []pathway.Block) bool {
	return slices.ContainsFunc(plan, func(b pathway.Block) bool { return b.Kind != plan[0].Kind })
}

// inTime are the bounds as planned, from the first second on.
func inTime(plan []pathway.Block) []int {
	bounds := []int{0}
	for k, b := range plan {
		bounds = append(bounds, bounds[k]+b.Planned)
	}
	return bounds
}

// lapsOf are the gains of boundaries near laps, for each second of the recording;
// nil where there are too few laps for the blocks.
func lapsOf(laps []int32, shift, length, blocks int) []float64 {
	if 2*len(laps) < blocks {
		return nil
	}
	gains := make([]float64, length)
	for _, lap := range laps {
		at := int(lap) - shift
		for t := max(at-lapNear, 0); t <= min(at+lapNear, length-1); t++ {
			gains[t] = max(gains[t], lapGain*(1-float64(abs(t-at))/float64(lapNear+1)))
		}
	}
	return gains
}

// lapped says whether most of the bounds inside the recording lie at laps.
func (s *search) lapped(bounds []int) bool {
	at, inside := 0, 0
	for _, t := range bounds[:len(bounds)-1] {
		if t > 0 && t < s.length {
			inside++
			if s.lap(t) > 0 {
				at++
			}
		}
	}
	return inside > 1 && 4*at >= 3*inside
}

// amplitude is how many beats lie between the tenth and the ninetieth percentile
// of the usable rates.
func amplitude(rates []int16) float64 {
	var count [highestBPM + 1]int
	n := 0
	for _, rate := range rates {
		if rate > 0 {
			count[rate]++
			n++
		}
	}
	at := func(percent int) int {
		left := percent * n
		for rate, k := range count {
			if left -= 100 * k; left <= 0 {
				return rate
			}
		}
		return 0
	}
	return float64(at(90) - at(10))
}
