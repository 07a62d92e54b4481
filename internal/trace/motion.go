package trace

import "slices"

// What sets running apart from walking in speed and steps (ours; walking is done at
// about 100 to 125 steps a minute and running at about 150 to 180: common practice).
const (
	stepsApart = 25  // steps a minute between the means of the two
	speedApart = 45  // centimetres a second
	standing   = 50  // centimetres a second, or steps a minute, below which nobody walks
	wellApart  = 75  // per cent of the variance that the parting explains; of one heap it is 64
	voteWeight = 0.5 // of one second in which it is plain
	smoothing  = 3   // seconds on either side
	leastKnown = 50  // per cent of the seconds that must be known
)

// votes say, for any stretch of seconds, how much more its motion looks like
// running than like walking.
type votes struct{ sum []float64 } // sums before second t

// between is the sum over a stretch: positive for a run.
func (v *votes) between(from, to int) float64 { return v.sum[to] - v.sum[from] }

// motion is what the steps or else the speed of a course say; nil where they are not
// known or do not fall into two heaps.
func (c *course) motion() *votes {
	if v := vote(c.steps, stepsApart); v != nil {
		return v
	}
	return vote(c.speeds, speedApart)
}

// vote parts the values into two heaps at least so far apart.
func vote(values []int16, apart float64) *votes {
	smooth := smoothed(values)
	moving := make([]int16, 0, len(smooth))
	known := 0
	for _, v := range smooth {
		if v != Unknown {
			known++
		}
		if v >= standing {
			moving = append(moving, v)
		}
	}
	if 100*known < leastKnown*len(values) || len(moving) == 0 {
		return nil
	}
	low, high, share := part(moving)
	if high-low < apart || 100*share < wellApart {
		return nil
	}
	middle, half := (low+high)/2, (high-low)/2
	v := &votes{sum: make([]float64, len(values)+1)}
	for t, value := range smooth {
		v.sum[t+1] = v.sum[t]
		if value != Unknown {
			v.sum[t+1] += voteWeight * min(max((float64(value)-middle)/half, -1), 1)
		}
	}
	return v
}

// smoothed is the mean of the known values around each second.
func smoothed(values []int16) []int16 {
	out := make([]int16, len(values))
	for t := range values {
		sum, n := 0, 0
		for _, v := range values[max(t-smoothing, 0):min(t+smoothing+1, len(values))] {
			if v != Unknown {
				sum += int(v)
				n++
			}
		}
		out[t] = Unknown
		if n > 0 && values[t] != Unknown {
			out[t] = int16(sum / n)
		}
	}
	return out
}

// part splits values into two heaps so that the variance between them is largest
// (Otsu N, IEEE Trans Syst Man Cybern 1979;9:62–66, from memory), and gives their
// means and the share of the whole variance that lies between them.
func part(values []int16) (low, high, share float64) {
	sorted := slices.Sorted(slices.Values(values))
	var sum, squares float64
	for _, v := range sorted {
		sum += float64(v)
		squares += float64(v) * float64(v)
	}
	n := float64(len(sorted))
	whole := squares/n - sum*sum/n/n
	before, best := 0.0, 0.0
	for i := 1; i < len(sorted); i++ {
		before += float64(sorted[i-1])
		a, b := before/float64(i), (sum-before)/(n-float64(i))
		if between := float64(i) / n * (1 - float64(i)/n) * (b - a) * (b - a); between > best {
			best, low, high = between, a, b
		}
	}
	if whole > 0 {
		share = best / whole
	}
	return low, high, share
}
