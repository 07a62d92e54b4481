package pathway

import "slices"

// HalfStep is the session half-way between the phase below and the i-th phase
// (rule 9.5): the phase's own where it carries one, else computed; empty where
// there is none.
func (p *Pathway) HalfStep(i int) []Block {
	own := p.Phases[i].Half
	if len(own) > 0 || i == 0 {
		return own
	}
	easier, harder := p.Phases[i-1].Blocks, p.Phases[i].Blocks
	if len(easier) == 1 && len(harder) == 1 && easier[0].Kind == harder[0].Kind {
		return between(easier, harder, []Block{{easier[0].Kind, (easier[0].Planned + harder[0].Planned) / 60 * 30}})
	}
	low, repeats, ok := repeated(easier)
	if !ok {
		return nil
	}
	high, repeatsHigh, ok := repeated(harder)
	if !ok {
		return nil
	}
	run := (low + high + 29) / 30 * 15 // half-way, rounded up to 15 s
	total := max(Seconds(easier), Seconds(harder))
	candidate := intervals(repeatsHigh, run, total)
	if slices.Equal(candidate, harder) {
		candidate = intervals(repeats, run, total)
	}
	return between(easier, harder, candidate)
}

// repeated says that the session is n times one run and one walk, and how long
// the run is.
func repeated(blocks []Block) (run, n int, ok bool) {
	if len(blocks) < 2 || len(blocks)%2 != 0 || blocks[0].Kind != Run || blocks[1].Kind != Walk {
		return 0, 0, false
	}
	for i, b := range blocks {
		if b != blocks[i%2] {
			return 0, 0, false
		}
	}
	return blocks[0].Planned, len(blocks) / 2, true
}

// intervals is n times the run, with walks that fill up the total, rounded down
// to 15 s; nothing where no walk is left.
func intervals(n, run, total int) []Block {
	walk := (total/n - run) / 15 * 15
	if walk < 15 {
		return nil
	}
	blocks := make([]Block, 0, 2*n)
	for range n {
		blocks = append(blocks, Block{Run, run}, Block{Walk, walk})
	}
	return blocks
}

// between keeps the candidate if it is neither of the two sessions and its run
// time (for walks: its time) does not lie outside theirs.
func between(easier, harder, candidate []Block) []Block {
	if len(candidate) == 0 || slices.Equal(candidate, easier) || slices.Equal(candidate, harder) {
		return nil
	}
	kind := Run
	if !HasRun(harder) && !HasRun(easier) {
		kind = Walk
	}
	a, b, c := SecondsOf(kind, easier), SecondsOf(kind, harder), SecondsOf(kind, candidate)
	if c < min(a, b) || c > max(a, b) {
		return nil
	}
	return candidate
}
