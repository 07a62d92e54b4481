package trace

import (
	"math"
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// How far and how finely is searched: ours.
const (
	coarse     = 5    // seconds of the second search; plans are written in multiples of it
	slowest    = 10   // seconds of the first, which goes by the steps in which the plan is written,
	quickest   = 20   // between these
	earliest   = -420 // where a plan may have begun, in seconds of the recording
	latest     = 900
	longAfter  = 1200  // seconds that are looked at after a plan that began as late as can be
	longest    = 150   // seconds by which a piece may take longer
	closely    = 32    // seconds around the plan in which every length is tried
	beam       = 150.0 // by how much a way may be dearer than the best and still be followed
	usualPart  = 0.7   // of what could be gained that a good way gains
	nearby     = 60
	reach      = coarse + 2
	reachWidth = 2*reach + 1
)

// node is the best way to a boundary.
type node struct {
	cost float64
	from int32 // index of the boundary before
	gone bool  // the piece before it was left out
}

// find gives the bounds of the blocks to within grid seconds, and their cost. It is
// dynamic programming over the instants at which each block may end.
func (s *search) find(grid int, near []int) (bounds []int, cost float64) {
	total := 0
	for _, p := range s.plan {
		total += p.Planned
	}
	at := func(i int) int { return earliest + i*grid }
	rows := make([][]node, 1, len(s.plan)+1)
	rows[0] = make([]node, (min(s.length, latest)+total+longest-earliest)/grid+1)
	for i := range rows[0] {
		rows[0][i].cost = math.Inf(1)
		if t := at(i); t <= min(latest, s.length) && (near == nil || abs(t-near[0]) <= nearby) {
			rows[0][i].cost = s.beginning(t)
		}
	}
	for k := range s.plan {
		row := s.forward(k, rows[k], at, durations(s.plan[k].Planned, grid))
		if near != nil {
			for i := range row {
				if abs(at(i)-near[k+1]) > nearby {
					row[i].cost = math.Inf(1)
				}
			}
		}
		rows = append(rows, row)
	}
	last := rows[len(s.plan)]
	cost, end := math.Inf(1), 0
	for i, node := range last {
		if c := node.cost + s.ending(at(int(node.from)), at(i)); c < cost {
			cost, end = c, i
		}
	}
	bounds = make([]int, len(rows))
	for k := len(rows) - 1; k >= 0; k-- {
		bounds[k] = at(end)
		end = int(rows[k][end].from)
	}
	return bounds, cost
}

// forward goes from every boundary before piece k to those after it.
func (s *search) forward(k int, before []node, at func(int) int, times []duration) []node {
	after := make([]node, len(before))
	best := math.Inf(1)
	// What a way has gained so far is compared with what is usual for its seconds.
	behind := func(i int) float64 { return before[i].cost + usualPart*s.most(0, at(i)) }
	for i := range after {
		after[i].cost = math.Inf(1)
		best = min(best, behind(i))
	}
	for i := range before {
		if !(behind(i) <= best+beam) {
			continue
		}
		skip := skipCost
		if before[i].gone {
			skip = goneCost
		} else if k == 0 {
			skip += firstCost
		}
		if c := before[i].cost + skip; c < after[i].cost {
			after[i] = node{c, int32(i), true}
		}
		for _, d := range times {
			j := i + d.steps
			if j >= len(after) {
				break
			}
			c := before[i].cost + d.cost - s.lap(at(j))
			if c-s.most(at(i), at(j)) >= after[j].cost {
				continue
			}
			if c += s.cost(k, at(i), at(j)); c < after[j].cost {
				after[j] = node{c, int32(i), false}
			}
		}
	}
	return after
}

// duration is a length that is tried, in steps of the grid, with its cost.
type duration struct {
	steps int
	cost  float64
}

// durations are those that a piece of so many planned seconds is tried with: all
// near the plan, every third elsewhere.
func durations(planned, grid int) (tried []duration) {
	for d := 1; d <= (planned+longest)/grid; d++ {
		lasts := d * grid
		off := abs(lasts - planned)
		if 2*off < grid {
			lasts = planned // as near as the grid allows
		}
		if off <= closely || lasts%(3*coarse) < grid {
			tried = append(tried, duration{d, lasting(planned, lasts)})
		}
	}
	return tried
}

// stepOf is the longest step between slowest and quickest in whose multiples the
// plan is written, or else coarse.
func stepOf(plan []pathway.Block) int {
	for step := quickest; step >= slowest; step-- {
		if !slices.ContainsFunc(plan, func(b pathway.Block) bool { return b.Planned%step != 0 }) {
			return step
		}
	}
	return coarse
}

// refine moves each of the bounds by up to reach seconds to where all together
// cost least. A piece that was left out stays so.
func (s *search) refine(bounds []int) []int {
	rows := make([][reachWidth]node, len(bounds))
	for j := range reachWidth {
		rows[0][j].cost = s.beginning(bounds[0] + j - reach)
	}
	for k := range s.plan {
		for j := range reachWidth {
			rows[k+1][j] = s.around(k, bounds, &rows[k], j)
		}
	}
	last := len(s.plan)
	best, end := math.Inf(1), 0
	for j, node := range rows[last] {
		a, b := bounds[last-1]+int(node.from)-reach, bounds[last]+j-reach
		if c := node.cost + s.ending(a, b); c < best {
			best, end = c, j
		}
	}
	moved := make([]int, len(bounds))
	for k := last; k >= 0; k-- {
		moved[k] = bounds[k] + end - reach
		end = int(rows[k][end].from)
	}
	return moved
}

// around is the best way to the j-th instant near the end of piece k.
func (s *search) around(k int, bounds []int, before *[reachWidth]node, j int) node {
	best := node{cost: math.Inf(1)}
	b := bounds[k+1] + j - reach
	leftOut := bounds[k] == bounds[k+1]
	for i := range before {
		a, c := bounds[k]+i-reach, before[i].cost
		switch {
		case leftOut && i == j:
			c += skipCost
		case leftOut || b <= a:
			continue
		default:
			c += lasting(s.plan[k].Planned, b-a) + s.cost(k, a, b) - s.lap(b)
		}
		if c < best.cost {
			best = node{cost: c, from: int32(i)}
		}
	}
	return best
}

// fit picks for runs and for walks the time constants that describe the pieces
// between the bounds best.
func (s *search) fit(rates []int16, bounds []int) {
	s.up = s.best(rates, bounds, pathway.Run, 25, upTime, 45, 60)
	s.down = s.best(rates, bounds, pathway.Walk, 45, downTime, 80, 105)
}

// best is the fits, of the time constants given, with the least cost of the pieces
// of the kind.
func (s *search) best(rates []int16, bounds []int, kind pathway.Kind, constants ...float64) (best *fits) {
	least := math.Inf(1)
	for _, constant := range constants {
		f := newFits(rates, constant)
		sum := 0.0
		for k := 1; k < len(s.plan); k++ {
			from, to := s.within(bounds[k], bounds[k+1])
			if s.plan[k].Kind == kind && to > from {
				squares, _, n := f.misfit(from, to, s.way(k))
				sum += explained(squares, n)
			}
		}
		if sum < least {
			least, best = sum, f
		}
	}
	return best
}
