package simulate

import (
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// drawPlan is a session of one of many shapes, with or without a warm-up and a
// cool-down.
func drawPlan(d dice) []pathway.Block {
	if d.of(0.02) {
		return []pathway.Block{{Kind: pathway.Walk, Planned: 60 * d.whole(15, 30)}}
	}
	var plan []pathway.Block
	if d.of(0.75) {
		plan = append(plan, pathway.Block{Kind: pathway.Walk, Planned: 30 * d.whole(6, 12)})
	}
	plan = append(plan, drawMiddle(d)...)
	if d.of(0.6) {
		plan = append(plan, pathway.Block{Kind: pathway.Walk, Planned: 30 * d.whole(4, 12)})
	}
	return plan
}

// drawMiddle is what lies between warm-up and cool-down.
func drawMiddle(d dice) []pathway.Block {
	switch chance := d.Float64(); {
	case chance < 0.55:
		return drawPhase(d)
	case chance < 0.85: // repeats of one's own
		run, walk := 15*d.whole(4, 20), 15*d.whole(6, 16)
		return runsAndWalks(run, walk, min(d.whole(3, 8), max(2, 2400/(run+walk))))
	case chance < 0.93: // two long runs with one walk between
		run, walk := 60*d.whole(8, 20), 30*d.whole(4, 6)
		return append(runsAndWalks(run, walk, 1), pathway.Block{Kind: pathway.Run, Planned: 30 * d.whole(8, 20)})
	default: // up and down
		walk := 15 * d.whole(6, 12)
		var plan []pathway.Block
		for _, run := range [...]int{60, 120, 180, 120, 60} {
			plan = append(plan, runsAndWalks(run, walk, 1)...)
		}
		return plan
	}
}

// drawPhase is a phase of the default pathway with runs in it, or a half step.
func drawPhase(d dice) []pathway.Block {
	road := pathway.Default()
	first := road.Find("L1")
	for {
		rung := first + pathway.Rung(d.IntN(int(road.Last()-first)+1))
		if blocks := road.Blocks(rung); len(blocks) > 0 {
			return slices.Clone(blocks)
		}
	}
}

func runsAndWalks(run, walk, times int) []pathway.Block {
	return slices.Repeat([]pathway.Block{{Kind: pathway.Run, Planned: run}, {Kind: pathway.Walk, Planned: walk}}, times)
}
