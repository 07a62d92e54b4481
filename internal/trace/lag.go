package trace

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
)

// By how much a sensor is late (ours; optical sensors on the wrist average over
// several seconds: common practice).
const (
	mostLag    = 27  // seconds
	leastLag   = 5   // below it, it is not made up for
	hesitation = 3   // seconds by which a heart's turn is always found late
	plainly    = 3.0 // gain by which a delay must show
)

// lateness is how many seconds the heart rate comes after bounds that were found
// without it; 0 where it is not plain.
func (s *search) lateness(rates []int16, bounds []int) int {
	s.fit(rates, bounds)
	best, least, none := 0, math.Inf(1), 0.0
	for l := range mostLag + 1 {
		sum := 0.0
		for k := 1; k < len(s.plan); k++ {
			kind := s.plan[k].Kind
			if from, to := s.within(bounds[k]+l, bounds[k+1]+l); to > from {
				squares, _, n := s.fitsOf(kind).misfit(from, to, s.way(k))
				sum += explained(squares, n) + freeGain*n // a bound that leaves the recording is no worse
			}
		}
		if l == 0 {
			none = sum
		}
		if sum < least {
			best, least = l, sum
		}
	}
	if best -= hesitation; best < leastLag || none-least < plainly {
		return 0
	}
	return best
}

// unlag takes out of bounds found by the heart rate what it comes late by: a little
// always, since at first it hardly changes; and more where the recording began with
// the plan and the bounds lie behind it.
func unlag(bounds []int, plan []pathway.Block) (mended []int, lag int) {
	for _, t := range bounds {
		mended = append(mended, t-hesitation)
	}
	behind, found := commonly(mended, inTime(plan))
	if !found {
		return mended, 0
	}
	mended[0] = 0
	for i := range mended[1:] {
		mended[i+1] = max(mended[i+1]-behind, mended[i])
	}
	if behind < leastLag {
		behind = 0
	}
	return mended, behind
}

// commonly is by how many seconds the bounds inside a session lie behind the plan,
// where more than a third of them agree on it.
func commonly(bounds, planned []int) (behind int, found bool) {
	inside := len(bounds) - 2
	votes := 0
	for l := -leastLag; l <= mostLag; l++ {
		n := 0
		for k := 1; k <= inside; k++ {
			switch off := abs(bounds[k] - planned[k] - l); {
			case off == 0:
				n += 3
			case off <= 2:
				n += 2
			}
		}
		if n > votes {
			behind, votes = l, n
		}
	}
	return behind, votes >= max(inside, 4)
}

// lagged are the rates as they were lag seconds before they were written down.
func lagged(rates []int16, lag int) []int16 {
	if lag == 0 {
		return rates
	}
	lag = min(lag, len(rates))
	earlier := make([]int16, len(rates))
	copy(earlier, rates[lag:])
	return earlier
}
