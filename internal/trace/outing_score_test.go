package trace_test

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/simulate"
	"halfhour.app/halfhour/internal/trace"
)

// score counts how readings of outings agree with what really was.
type score struct {
	// Walks that really followed a run, of 30 s at least, with a genuine heart rate
	// for 80 % of the seconds judged. Found is one that the reading begins within 15 s
	// of its real beginning and judges until within 20 s of the real end of what is
	// to be judged (the lesser of planned and done). As worn is one that is found so
	// or, where the sensor is late, up to that much later: nothing but speed could
	// tell a late sensor from a late start. Met is one that is judged for half of these
	// seconds at least, whatever else. Assessed is one of which the reading says
	// settled or not.
	walks, found, asWorn, met, assessed int
	// Over the assessed: how far the share is off, from the heart's own and from that
	// which the sensor showed where it was late; and those whose settle time is within
	// 10 s of the heart's own (never counts as the end of what is judged).
	shareError, wornError float64
	settled               int
	// Sessions are clear where those walks are at least half of all judged and where
	// those of them with a true share within 0.1 of one half could all go either way
	// without changing what holds for most (rule 3.6). Right is the same answer;
	// unsaid is none.
	clear, right, unsaid int
	// Walks of which the reading says settled or not although there was no such walk,
	// or a genuine heart rate for less than 70 % of it.
	told int
	// Sessions with walks after runs of which more than half are like that, and those
	// of them of which the reading says something.
	unseen, unseenTold int
}

// add compares the reading of one outing.
func (s *score) add(o *simulate.Outing, read []trace.Block) {
	for i := range o.Blocks {
		s.block(&o.Blocks[i], &read[i], o.Delay)
	}
	told := said(read)
	if unseen(o.Blocks) {
		s.unseen++
		if told != unknown {
			s.unseenTold++
		}
	}
	truth, clear := most(o.Blocks)
	if !clear {
		return
	}
	s.clear++
	switch told {
	case truth:
		s.right++
	case unknown:
		s.unsaid++
	}
}

func (s *score) block(b *simulate.TrueBlock, r *trace.Block, delay int) {
	told := r.State == trace.Settled || r.State == trace.NotSettled
	if told && (!b.Judged || hardly(b)) {
		s.told++
	}
	if !counts(b) {
		return
	}
	s.place(b, r, delay)
	if !told {
		return
	}
	window := min(r.Planned, r.End-r.Start)
	s.assessed++
	share := ratio(r.Easy, r.Valid)
	s.shareError += math.Abs(share - b.Share)
	s.wornError += math.Abs(share - b.WornShare)
	if apart(within(b.Settle, b.Window()), within(r.Settle, window)) <= 10 {
		s.settled++
	}
}

// place compares where the walk was and where the reading has it.
func (s *score) place(b *simulate.TrueBlock, r *trace.Block, delay int) {
	s.walks++
	if r.End <= r.Start {
		return
	}
	from, to := r.Start, r.Start+min(r.Planned, r.End-r.Start)
	early, late := b.Start-from, b.Start+b.Window()-to
	if max(early, -early) <= 15 && max(late, -late) <= 20 {
		s.found++
	}
	if early <= 15 && early >= -15-delay && late <= 20 && late >= -20-delay {
		s.asWorn++
	}
	if 2*(min(to, b.Start+b.Window())-max(from, b.Start)) >= b.Window() {
		s.met++
	}
}

// counts says that the walk is there to be read.
func counts(b *simulate.TrueBlock) bool { return b.Judged && b.Recorded && b.Window() >= 30 }

// hardly says that the walk was hardly recorded.
func hardly(b *simulate.TrueBlock) bool { return 100*b.Valid < 70*b.Window() }

// unseen says that more than half of the walks after runs were hardly recorded.
func unseen(blocks []simulate.TrueBlock) bool {
	judged, lost := 0, 0
	for i := range blocks {
		if !blocks[i].Judged {
			continue
		}
		judged++
		if hardly(&blocks[i]) {
			lost++
		}
	}
	return 2*lost > judged
}

// within is the settle time, or the end of what is judged where there is none.
func within(settle, window int) int {
	if settle == trace.None {
		return window
	}
	return min(settle, window)
}

func apart(a, b int) int { return max(a-b, b-a) }

// ratio is a share, 0 of nothing.
func ratio(part, whole int) float64 { return float64(part) / float64(max(1, whole)) }

// answer is what holds for most walks of a session.
type answer uint8

const (
	unknown answer = iota
	settled
	unsettled
)

// most is what really holds, and whether that is clear.
func most(blocks []simulate.TrueBlock) (a answer, clear bool) {
	judged, known, yes, surely, surelyNot := 0, 0, 0, 0, 0
	for i := range blocks {
		b := &blocks[i]
		if b.Judged {
			judged++
		}
		if !counts(b) {
			continue
		}
		known++
		switch {
		case b.Share >= 0.6:
			surely++
		case b.Share <= 0.4:
			surelyNot++
		}
		if b.Share > 0.5 {
			yes++
		}
	}
	if judged == 0 || 2*known < judged {
		return unknown, false
	}
	if 2*yes > known {
		return settled, 2*surely > known
	}
	return unsettled, 2*surelyNot >= known
}

// said is what the reading says of most walks.
func said(blocks []trace.Block) answer {
	judged, known, yes := 0, 0, 0
	for i := range blocks {
		b := &blocks[i]
		if i > 0 && b.Kind == pathway.Walk && b.End > b.Start && blocks[i-1].Kind == pathway.Run && blocks[i-1].End > blocks[i-1].Start {
			judged++
		}
		switch b.State {
		case trace.Settled:
			known++
			yes++
		case trace.NotSettled:
			known++
		}
	}
	switch {
	case judged == 0 || 2*known < judged:
		return unknown
	case 2*yes > known:
		return settled
	default:
		return unsettled
	}
}
