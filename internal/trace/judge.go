package trace

import "halfhour.app/halfhour/internal/pathway"

const (
	recovery = 60 // seconds after which a drop is told
	runIn    = 60 // seconds of a run before heart rate speaks of it (rule 5.2)
	inARow   = 10 // valid seconds at or under the ceiling that count as settled
	around   = 3  // seconds on either side of an instant whose mean stands for it

	dryTime = 180 // seconds in which a strap may still be dry and tell anything: ours
)

// judge says what the rates show of each block.
func judge(blocks []Block, rates []int16, c Ceilings) {
	for i := range blocks {
		b := &blocks[i]
		b.Settle, b.Drop = None, None
		b.Valid = countIn(rates, b.Start, b.End, all)
		if b.Kind == pathway.Run {
			b.judgeRun(rates, c)
			continue
		}
		b.judgeWalk(rates, c, i > 0 && blocks[i-1].Kind == pathway.Run && blocks[i-1].End > blocks[i-1].Start)
	}
}

func all(int16) bool { return true }

// countIn counts the usable seconds of a stretch for which ok holds; seconds
// outside of the recording are not usable.
func countIn(rates []int16, from, to int, ok func(int16) bool) (n int) {
	for _, rate := range rates[min(max(from, 0), len(rates)):max(min(to, len(rates)), min(max(from, 0), len(rates)))] {
		if rate > 0 && ok(rate) {
			n++
		}
	}
	return n
}

// judgeRun counts hard seconds after the first minute (rule 5.2).
func (b *Block) judgeRun(rates []int16, c Ceilings) {
	from := b.Start + runIn
	b.HardValid = countIn(rates, from, b.End, all)
	above := func(ceiling int) int {
		return countIn(rates, from, b.End, func(rate int16) bool { return int(rate) > ceiling })
	}
	if c.Hard > 0 {
		b.Hard, b.HardLow, b.HardHigh = above(int(c.Hard)), above(int(c.HardLow)), above(int(c.HardHigh))
	}
}

// judgeWalk counts the seconds at or under the ceiling, within the lesser of
// planned and done seconds (rules 3.1, 3.3).
func (b *Block) judgeWalk(rates []int16, c Ceilings, afterRun bool) {
	w := min(b.Planned, b.End-b.Start)
	to := b.Start + w
	valid := countIn(rates, b.Start, to, all)
	under := func(ceiling int) int {
		return countIn(rates, b.Start, to, func(rate int16) bool { return int(rate) <= ceiling })
	}
	if afterRun {
		b.Valid = valid
		b.Drop = drop(rates, b.Start, to)
	}
	if afterRun && c.Easy > 0 {
		b.Easy, b.EasyLow, b.EasyHigh = under(int(c.Easy)), under(int(c.EasyLow)), under(int(c.EasyHigh))
		b.Settle = settle(rates, b.Start, to, int(c.Easy))
	}
	b.State, b.Reason = NotAssessable, b.obstacle(afterRun, w, valid, len(rates), c)
	if b.Reason != NoReason {
		return
	}
	b.State = NotSettled
	if 2*b.Easy > valid {
		b.State = Settled
	}
}

// obstacle is why a walk cannot be judged.
func (b *Block) obstacle(afterRun bool, w, valid, length int, c Ceilings) Reason {
	switch {
	case w <= 0:
		return NotDone
	case !afterRun:
		return FollowsNoRun
	case b.Start >= length || b.Start+w <= 0:
		return NotRecorded
	case w < shortest:
		return TooShort
	case 100*valid < 80*w:
		return TooLittle
	case c.Easy <= 0:
		return NoCeiling
	default:
		return NoReason
	}
}

// settle is the first of ten valid seconds in a row at or under the ceiling, in
// seconds from the start of the walk.
func settle(rates []int16, from, to, ceiling int) int {
	row := 0
	for t := max(from, 0); t < min(to, len(rates)); t++ {
		if rates[t] == 0 || int(rates[t]) > ceiling {
			row = 0
			continue
		}
		if row++; row == inARow {
			return t + 1 - inARow - from
		}
	}
	return None
}

// drop is how many beats the heart lost in the first minute of a walk.
func drop(rates []int16, from, to int) int {
	if from+recovery > to {
		return None
	}
	start, ok := near(rates, from)
	later, also := near(rates, from+recovery)
	if !ok || !also {
		return None
	}
	return start - later
}

// near is the mean of the usable rates around an instant, rounded; ok is false
// where fewer than half of them are usable.
func near(rates []int16, at int) (rate int, ok bool) {
	sum, n := 0, 0
	for t := max(at-around, 0); t < min(at+around, len(rates)); t++ {
		if rates[t] > 0 {
			sum += int(rates[t])
			n++
		}
	}
	if n < around {
		return 0, false
	}
	return (2*sum + n) / (2 * n), true
}

// peak is the highest rate that was held for ten seconds, but not in the first
// minutes and not where it was that of the steps: what is offered as a maximum must
// not be a sensor's.
func (c *course) peak() int {
	highest := 0
	for t := dryTime + inARow; t <= len(c.rates); t++ {
		lowest := highestBPM
		for u := t - inARow; u < t; u++ {
			if c.likeSteps(u) {
				lowest = 0
			}
			lowest = min(lowest, int(c.rates[u]))
		}
		highest = max(highest, lowest)
	}
	return highest
}
