// Package pathway holds the road to thirty minutes: stages, phases and the
// blocks of their sessions, with the half steps that may lie between two phases.
package pathway

import "slices"

// Kind says whether a block is run or walked.
type Kind uint8

// The kinds of block.
const (
	Walk Kind = iota
	Run
)

// String is "run" or "walk".
func (k Kind) String() string {
	if k == Run {
		return "run"
	}
	return "walk"
}

// Block is one run or walk inside a session, as planned.
type Block struct {
	Kind    Kind
	Planned int // seconds, 1 to 7200
}

// Phase is one step of the pathway: a session that is done several times a week.
type Phase struct {
	ID     string  // such as L3; never ends in a minus
	Stage  string  // phases of one stage lie next to each other
	Blocks []Block // never empty
	Half   []Block // the half step before it; empty: computed from the phase below
}

// Pathway is the ordered list of phases.
type Pathway struct{ Phases []Phase }

// Rung is a place on a pathway: phase i is 2i, the half step before it 2i-1, so
// that lower rungs are easier. NoRung is no place on it.
type Rung int

// NoRung stands for a phase that is not on the pathway.
const NoRung Rung = -1 << 20

// RungOf is the place of the i-th phase, counted from 0.
func RungOf(i int) Rung { return Rung(2 * i) }

// Half says whether the rung is a half step.
func (r Rung) Half() bool { return r&1 == 1 }

// Phase is the index of the phase on the rung, or of the phase which the half
// step leads up to.
func (r Rung) Phase() int { return int(r+1) >> 1 }

// Below is the phase n phases below the rung; one below a half step is the phase
// under it (rule 10.2). It may lie under the first phase.
func (r Rung) Below(n int) Rung {
	if r.Half() {
		return r + 1 - Rung(2*n)
	}
	return r - Rung(2*n)
}

// halfMark ends the name of every half step, and of nothing else.
const halfMark = "-"

// Find is the rung with the id, or NoRung.
func (p *Pathway) Find(id string) Rung {
	for i := range p.Phases {
		name := p.Phases[i].ID
		if name == id {
			return RungOf(i)
		}
		if len(id) == len(name)+1 && id[:len(name)] == name && id[len(name):] == halfMark && len(p.HalfStep(i)) > 0 {
			return RungOf(i) - 1
		}
	}
	return NoRung
}

// ID is the name of the rung.
func (p *Pathway) ID(r Rung) string {
	id := p.Phases[r.Phase()].ID
	if r.Half() {
		return id + halfMark
	}
	return id
}

// Blocks is the session of the rung.
func (p *Pathway) Blocks(r Rung) []Block {
	if r.Half() {
		return p.HalfStep(r.Phase())
	}
	return p.Phases[r.Phase()].Blocks
}

// Last is the rung of the last phase.
func (p *Pathway) Last() Rung { return RungOf(len(p.Phases) - 1) }

// StageStart is the first phase of the stage in which the rung lies.
func (p *Pathway) StageStart(r Rung) Rung {
	i := r.Phase()
	for i > 0 && p.Phases[i-1].Stage == p.Phases[r.Phase()].Stage {
		i--
	}
	return RungOf(i)
}

// InStage says which phase of its stage the rung is (counted from 1) and how
// many the stage has; a half step counts as the phase it leads up to.
func (p *Pathway) InStage(r Rung) (number, of int) {
	start := p.StageStart(r).Phase()
	for i := start; i < len(p.Phases) && p.Phases[i].Stage == p.Phases[start].Stage; i++ {
		of++
	}
	return r.Phase() - start + 1, of
}

// Seconds is the planned time of all blocks.
func Seconds(blocks []Block) int {
	sum := 0
	for _, b := range blocks {
		sum += b.Planned
	}
	return sum
}

// SecondsOf is the planned time of the blocks of a kind.
func SecondsOf(kind Kind, blocks []Block) int {
	sum := 0
	for _, b := range blocks {
		if b.Kind == kind {
			sum += b.Planned
		}
	}
	return sum
}

// LongestRun is the longest planned run block in seconds, 0 where none runs.
func LongestRun(blocks []Block) int {
	longest := 0
	for _, b := range blocks {
		if b.Kind == Run {
			longest = max(longest, b.Planned)
		}
	}
	return longest
}

// HasRun says whether a block of it is run: phases without are the walking base.
func HasRun(blocks []Block) bool {
	return slices.ContainsFunc(blocks, func(b Block) bool { return b.Kind == Run })
}

// WalksAfterRun counts the walks whose block before is a run: those whose
// settling can be judged (rule 3.1).
func WalksAfterRun(blocks []Block) int {
	n := 0
	for i := 1; i < len(blocks); i++ {
		if blocks[i].Kind == Walk && blocks[i-1].Kind == Run {
			n++
		}
	}
	return n
}
