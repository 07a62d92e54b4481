package readiness

import "halfhour.app/halfhour/internal/pathway"

// tally counts the walks of a session, or of several judged as one.
type tally struct {
	judged, known, settled int
	mixed                  bool
}

func (t *tally) add(u tally) {
	t.judged += u.judged
	t.known += u.known
	t.settled += u.settled
	t.mixed = t.mixed || u.mixed
}

// state says whether the walks settled (rule 3.6).
func (t tally) state() State {
	switch {
	case t.judged == 0 || 2*t.known < t.judged:
		return Unknown
	case 2*t.settled > t.known:
		return Met
	default:
		return Unmet
	}
}

// judgedWalk is a walk whose block before is a run of which something was done,
// if something was done of the walk (rule 3.1).
func judgedWalk(blocks []Block, i int) bool {
	return i > 0 && blocks[i].Kind == pathway.Walk && blocks[i].Done > 0 &&
		blocks[i-1].Kind == pathway.Run && blocks[i-1].Done > 0
}

// walks judges the walks of a planned session. Without blocks they are those of
// the plan, judged by the breath alone (rule 2.2).
func (c *chart) walks(d *digest) tally {
	if len(d.Blocks) == 0 {
		t := tally{}
		if d.rung != pathway.NoRung {
			t.judged = pathway.WalksAfterRun(c.Pathway.Blocks(d.rung))
		}
		if d.Breath != BreathNotAsked {
			t.known = t.judged
		}
		if d.Breath == Early {
			t.settled = t.judged
		}
		return t
	}
	var t tally
	byTap := tapsDecide(d.Blocks)
	for i := range d.Blocks {
		if !judgedWalk(d.Blocks, i) {
			continue
		}
		w := judge(d.Session, i, byTap, c.HeartUsable)
		t.judged++
		t.mixed = t.mixed || w.Mixed
		if w.Both != Unknown {
			t.known++
		}
		if w.Both == Met {
			t.settled++
		}
	}
	return t
}

// WalkState says of one judged walk whether it settled: by the breath, by the heart
// where that is sure, and by both together.
type WalkState struct {
	Block               int // its index in the session's blocks
	Breath, Heart, Both State
	Mixed               bool // breath and heart disagree
}

// Walks are the judged walks of a session told block by block, in their order
// (rules 3.1 to 3.5). Heart rate is left out where it is not usable for the person,
// or the session was hot (rule 4.4).
func Walks(s *Session, heartUsable bool) []WalkState {
	var walks []WalkState
	byTap := tapsDecide(s.Blocks)
	for i := range s.Blocks {
		if judgedWalk(s.Blocks, i) {
			walks = append(walks, judge(s, i, byTap, heartUsable))
		}
	}
	return walks
}

// judge judges the i-th block, a judged walk.
func judge(s *Session, i int, byTap, heartUsable bool) WalkState {
	b := &s.Blocks[i]
	w := WalkState{Block: i, Breath: breathOf(b, byTap, s.Breath), Heart: heartOf(b, heartUsable && !s.Hot)}
	w.Both, w.Mixed = together(w.Breath, w.Heart)
	return w
}

// tapsDecide says whether at least half of the judged walks have a tap (rule 3.2).
func tapsDecide(blocks []Block) bool {
	judged, taps := 0, 0
	for i := range blocks {
		if judgedWalk(blocks, i) {
			judged++
			if blocks[i].Settle.Known() {
				taps++
			}
		}
	}
	return judged > 0 && 2*taps >= judged
}

// length is w of rule 3.1: the lesser of planned and done seconds.
func (b *Block) length() int { return int(min(b.Planned, b.Done)) }

// breathOf judges one walk by tap or answer (rule 3.2).
func breathOf(b *Block, byTap bool, answer Breath) State {
	settle, tapped := b.Settle.Get()
	switch {
	case !byTap && answer != BreathNotAsked:
		return metIf(answer == Early)
	case tapped:
		return metIf(2*settle < b.length())
	case byTap:
		return Unmet
	default:
		return Unknown
	}
}

// heartOf judges one walk by heart rate, Met or Unmet only where it is sure
// (rules 3.3, 3.4): with the ceiling one standard deviation lower and higher.
func heartOf(b *Block, usable bool) State {
	w := b.length()
	valid, recorded := b.Heart.Valid.Get()
	low, haveLow := b.Heart.Low.Get()
	high, haveHigh := b.Heart.High.Get()
	if !usable || !recorded || w < 90 || 100*valid < 80*w || !haveLow || !haveHigh {
		return Unknown
	}
	switch {
	case 2*low > valid:
		return Met
	case 2*high <= valid && b.Planned >= 180:
		return Unmet
	default:
		return Unknown
	}
}

// together joins breath and heart (rule 3.5).
func together(breath, heart State) (state State, mixed bool) {
	switch {
	case breath == Unknown:
		return heart, false
	case breath == Met && heart == Unmet:
		return Unknown, true
	case breath == Unmet && heart == Met:
		return Unmet, true
	default:
		return breath, false
	}
}

func metIf(holds bool) State {
	if holds {
		return Met
	}
	return Unmet
}
