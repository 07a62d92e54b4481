package trace

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
)

// What the search weighs (ours; set with simulated sessions, and flat around where
// they are set). Costs are negative logarithms of likelihoods; a second that the
// plan does not explain costs nothing, one that it explains gains.
const (
	upTime     = 35.0  // seconds: time constant of a heart that rises, for the first search
	downTime   = 60.0  // and of one that falls (evidence: 75 to 90 s in walking; found to do best)
	rateWeight = 0.125 // of a usable second: of four that follow each other one counts
	noise      = 6.25  // square beats: 2.5 beats off are nothing yet
	freeGain   = 0.35  // of a usable second that a piece describes without fault

	absentCost = 0.004 // of a planned second that was not recorded
	startCost  = 0.003 // of a second between the start of the recording and that of the plan
	missedCost = 0.015 // of a second of the plan before the recording began
	apartCost  = 3.0   // of a plan that did not begin with the recording
	skipCost   = 5.0   // of a block left out
	firstCost  = 5.0   // more, of the very first
	goneCost   = 0.3   // of one more after it
	changeCost = 10.0  // of a run after which the heart is no faster, of a walk after which it is no slower

	exactShare = 0.55 // of blocks that last as planned
	exactTime  = 1.5  // seconds by which those are off, at the mean
	oddShare   = 0.05 // of blocks that are cut short, and of those that take long
	longerTime = 40.0 // seconds by which those take longer, at the mean
	sloppyTime = 5.0  // seconds by which all others are off, at the mean,
	sloppyPart = 0.04 // or this part of what was planned

	outsideOnce = 12.0 // of something to be described before the plan or after it
	outsideCost = 0.03 // of a usable second of it
	walkOnCost  = 2.0  // of walking on after a last walk done in full
	walkOnGain  = 0.9  // of what a second of walking gains inside the plan

	besideMotion = 0.3 // of what heart rate counts where speed or steps are known
	lapGain      = 4.0 // of a boundary at a lap
	lapNear      = 4   // seconds
)

// Where no alignment by heart rate is tried: ours.
const leastAmplitude = 8.0 // beats between the high and the low rates

// search looks for the pieces of a plan in a course.
type search struct {
	length    int // seconds of the course
	plan      []pathway.Block
	up, down  *fits
	step      int       // seconds of the first search
	weight    float64   // of heart rate
	amplitude float64   // beats between the high and the low rates
	motion    *votes    // nil: nothing is known of it
	laps      []float64 // gain of a boundary at each second; nil: no laps
}

// within are the parts of a stretch that lie inside the course.
func (s *search) within(a, b int) (from, to int) {
	return min(max(a, 0), s.length), min(max(b, 0), s.length)
}

// way is where the heart goes in block k: 1 up, −1 down, 0 anywhere, as when a walk
// follows a walk or standing.
func (s *search) way(k int) int {
	kind := s.plan[k].Kind
	if k == 0 && kind == pathway.Walk || k > 0 && s.plan[k-1].Kind == kind {
		return 0
	}
	return direction(kind)
}

// fitsOf are the fits for a kind of piece.
func (s *search) fitsOf(kind pathway.Kind) *fits {
	if kind == pathway.Run {
		return s.up
	}
	return s.down
}

// cost is that of piece k lying from second a to b, which may lie outside of the
// course.
func (s *search) cost(k, a, b int) float64 {
	p := &s.plan[k]
	from, to := s.within(a, b)
	absent := float64((b - a) - (to - from))
	cost := absentCost * absent
	if to <= from {
		return cost
	}
	way := s.way(k)
	f := s.fitsOf(p.Kind)
	squares, change, n := f.misfit(from, to, way)
	cost += s.weight * explained(squares, n)
	if way != 0 && absent == 0 && 2*n > float64(to-from) {
		cost += s.weight * changeCost * s.lacking(change*float64(way), f.decay[b-a])
	}
	if s.motion != nil {
		cost -= float64(direction(p.Kind)) * s.motion.between(from, to)
	}
	return cost
}

// explained is the cost of so many usable seconds that lie so many squares from a
// curve; negative where the curve is a good one.
func explained(squares, n float64) float64 {
	if n == 0 {
		return 0
	}
	return n * (rateWeight*math.Log(1+squares/(n*noise)) - freeGain)
}

// lacking is how far a change of so many beats stays behind half of what is usual
// after the seconds whose decay is given, as a share of it, squared.
func (s *search) lacking(change, decay float64) float64 {
	usual := 0.5 * s.amplitude * (1 - decay)
	if usual <= 0 || change >= usual {
		return 0
	}
	share := 1 - max(change, 0)/usual
	return share * share
}

// most is what the seconds from a to b can gain at the most.
func (s *search) most(a, b int) float64 {
	from, to := s.within(a, b)
	gain := s.weight * freeGain * (s.up.n[to] - s.up.n[from])
	if s.motion != nil {
		gain += voteWeight * float64(to-from)
	}
	return gain
}

// outside is the cost of the seconds before the plan, or after it: standing or
// walking, which a single curve may describe, or anything at all, which costs nothing
// and gains nothing.
func (s *search) outside(a, b int, once float64) float64 {
	from, to := s.within(a, b)
	if to-from <= mostLag {
		return 0
	}
	cost := 0.0
	if s.motion != nil {
		if cost = s.motion.between(from, to); cost < 0 {
			cost *= walkOnGain
		}
	}
	squares, _, n := s.down.misfit(from, to, 0)
	return cost + min(0, once+s.weight*(explained(squares, n)+outsideCost*n))
}

// beginning is the cost of a plan that begins at second t: most recordings are
// started with the plan, and what the sensor then lags behind looks like a later
// start.
func (s *search) beginning(t int) float64 {
	cost := startCost*math.Abs(float64(t)) + s.outside(0, t, outsideOnce) - s.lap(t)
	if t < 0 || t > mostLag {
		cost += apartCost
	}
	if t < 0 {
		cost -= missedCost * float64(t)
	}
	return cost
}

// ending is the cost of what follows the last piece, which lies from second a to b.
// Somebody who did the last walk in full may walk on.
func (s *search) ending(a, b int) float64 {
	last, once := &s.plan[len(s.plan)-1], outsideOnce
	if last.Kind == pathway.Walk && b-a >= last.Planned-coarse {
		once = walkOnCost
	}
	return s.outside(b, s.length, once)
}

// lap is what a boundary at second t gains by a lap beside it.
func (s *search) lap(t int) float64 {
	if t < 0 || t >= len(s.laps) {
		return 0
	}
	return s.laps[t]
}

// lasting is the cost of a piece of so many planned seconds lasting d: nearly none
// where it lasts as planned.
func lasting(planned, d int) float64 {
	if d <= 0 {
		return skipCost
	}
	off := math.Abs(float64(d - planned))
	sloppy := max(sloppyTime, sloppyPart*float64(planned))
	likely := exactShare/(2*exactTime)*math.Exp(-off/exactTime) +
		(1-exactShare-2*oddShare)/(2*sloppy)*math.Exp(-off/sloppy)
	if d < planned {
		likely += oddShare / float64(planned)
	} else {
		likely += oddShare / longerTime * math.Exp(-off/longerTime)
	}
	return -math.Log(likely * 2 * exactTime)
}
