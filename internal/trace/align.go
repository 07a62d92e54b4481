package trace

import (
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// piece is a stretch of the plan of one kind: neighbouring blocks of a kind are
// found together.
type piece struct {
	kind    pathway.Kind
	planned int // seconds
}

// pieces joins neighbouring blocks of a kind; of maps each block to its piece.
func pieces(plan []pathway.Block) (joined []piece, of []int) {
	for _, b := range plan {
		if n := len(joined); n > 0 && joined[n-1].kind == b.Kind {
			joined[n-1].planned += b.Planned
		} else {
			joined = append(joined, piece{b.Kind, b.Planned})
		}
		of = append(of, len(joined)-1)
	}
	return joined, of
}

// spread shares each piece out among its blocks as planned, the last one taking
// what is left.
func spread(found []int, plan []pathway.Block, of []int) []int {
	bounds := []int{found[0]}
	for i, b := range plan {
		end := found[of[i]+1]
		if i+1 < len(plan) && of[i+1] == of[i] {
			end = min(bounds[i]+b.Planned, end)
		}
		bounds = append(bounds, end)
	}
	return bounds
}

// align finds where the blocks of the plan lie, by the best that the recording has:
// one more boundary than there are blocks.
func (c *course) align(r *Recording, plan []pathway.Block) (bounds []int, by Alignment) {
	if len(r.Marks) == len(plan)+1 && slices.IsSorted(r.Marks) {
		for _, mark := range r.Marks {
			bounds = append(bounds, int(mark)-c.shift)
		}
		c.lag = c.search(asPieces(plan)).lateness(c.rates, bounds)
		return bounds, ByMarks
	}
	joined, of := pieces(plan)
	bounds, by = c.alignPieces(r, joined)
	return spread(bounds, plan, of), by
}

// asPieces are the blocks of a plan, each by itself.
func asPieces(plan []pathway.Block) []piece {
	single := make([]piece, len(plan))
	for i, b := range plan {
		single[i] = piece{b.Kind, b.Planned}
	}
	return single
}

// search prepares the search for the pieces.
func (c *course) search(of []piece) *search {
	return &search{
		length: len(c.rates), pieces: of, weight: 1, amplitude: amplitude(c.rates),
		up: newFits(c.rates, upTime), down: newFits(c.rates, downTime),
	}
}

// alignPieces finds the pieces by laps, motion or heart rate; as planned where
// none of these shows them.
func (c *course) alignPieces(r *Recording, joined []piece) (bounds []int, by Alignment) {
	s := c.search(joined)
	s.laps = lapsOf(r.Laps, c.shift, s.length, len(joined))
	if s.motion = c.motion(); s.motion != nil {
		s.weight = besideMotion
	} else if s.amplitude < leastAmplitude || 100*s.up.n[s.length] < leastKnown*float64(s.length) {
		return inTime(joined), ByPlan
	}
	bounds = s.find()
	s.fit(c.rates, bounds)
	bounds = s.refine(bounds)
	switch {
	case s.lapped(bounds):
		by = ByLaps
	case s.motion != nil:
		by = BySpeed
	default:
		bounds, c.lag = unlag(bounds, joined)
		return bounds, ByHeart
	}
	c.lag = s.lateness(c.rates, bounds)
	return bounds, by
}

// inTime are the bounds as planned, from the first second on.
func inTime(joined []piece) []int {
	bounds := []int{0}
	for k, p := range joined {
		bounds = append(bounds, bounds[k]+p.planned)
	}
	return bounds
}

// lapsOf are the gains of boundaries near laps, for each second of the recording;
// nil where there are too few laps for the pieces.
func lapsOf(laps []int32, shift, length, pieces int) []float64 {
	if 2*len(laps) < pieces {
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
