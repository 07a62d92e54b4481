package simulate

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
)

// activity is what the legs do.
type activity uint8

const (
	standing activity = iota
	strolling
	walking
	running
)

// leg is a stretch of one activity, in seconds since the plan began, to not
// included.
type leg struct {
	from, to int
	activity activity
}

// trip is what was really done. Its seconds count from the beginning of the plan by
// a true clock.
type trip struct {
	from, to int   // all that is known of
	legs     []leg // without holes between the two
	starts   []int // of each block of the plan
	ends     []int // a block left out ends where it starts
	plan     []pathway.Block
	on, off  int // when the recording was started and stopped
	stops    [][2]int
}

// longestShift is how far apart, in seconds, plan and recording begin at most.
const longestShift = 150

// travel does the plan: with the seconds done that are given, or else as planned but
// for the troubles.
func travel(d dice, plan []pathway.Block, done []int, troubles Trouble) *trip {
	t := &trip{plan: plan}
	lengths := done
	abrupt := false
	if len(done) != len(plan) {
		lengths, abrupt = drawLengths(d, plan, troubles)
	}
	stops := drawStops(d, plan, lengths, troubles)
	total := 0
	for i := range plan {
		total += lengths[i] + stops[i].length
	}
	t.record(d, total, abrupt, troubles)
	t.before(d)
	at := 0
	for i, b := range plan {
		t.starts = append(t.starts, at)
		at = t.block(b.Kind, at, lengths[i], stops[i])
		t.ends = append(t.ends, at)
	}
	t.after(d, at, abrupt)
	return t
}

// drawLengths is for how many seconds each block is done, stops left out. abrupt
// says that everything ends with the last of them.
func drawLengths(d dice, plan []pathway.Block, troubles Trouble) (lengths []int, abrupt bool) {
	lengths = make([]int, len(plan))
	for i, b := range plan {
		lengths[i] = b.Planned
	}
	if troubles.Has(OffBeat) {
		offBeat(d, plan, lengths)
	}
	if troubles.Has(CutShort) {
		i := d.IntN(len(plan))
		lengths[i] = max(10, int(d.between(0.2, 0.8)*float64(lengths[i])))
	}
	if troubles.Has(LeftOut) && len(plan) > 2 {
		i := d.whole(1, len(plan)-1)
		if d.of(0.5) { // went on with what was done before
			lengths[i-1] += lengths[i]
		}
		lengths[i] = 0
	}
	if troubles.Has(EndedEarly) {
		abrupt = endEarly(d, plan, lengths)
	}
	return lengths, abrupt
}

// offBeat moves every boundary by up to 3 s and some beginnings of runs by up to
// 20 s: against a timer that goes on, or so that all that follows is later too.
func offBeat(d dice, plan []pathway.Block, lengths []int) {
	timer, late := d.of(0.5), d.of(0.6)
	before := 0
	for i := range plan {
		shift := d.whole(-3, 3)
		if late && i+1 < len(plan) && plan[i+1].Kind == pathway.Run && d.of(0.4) {
			most := min(20, plan[i+1].Planned/3, plan[i].Planned/3)
			shift = d.whole(-most, most)
		}
		lengths[i] = max(lengths[i]+shift-before, 10)
		if timer {
			before = shift
		}
	}
}

// endEarly leaves out the end, from somewhere in the second half on. A run is
// broken off, and then everything ends; a walk is finished or broken off likewise.
func endEarly(d dice, plan []pathway.Block, lengths []int) (abrupt bool) {
	total := 0
	for _, l := range lengths {
		total += l
	}
	left := int(d.between(0.5, 0.95) * float64(total))
	for i := range lengths {
		if left >= lengths[i] {
			left -= lengths[i]
			continue
		}
		if plan[i].Kind == pathway.Run || d.of(0.5) {
			lengths[i], abrupt = left, true
		}
		for j := i + 1; j < len(lengths); j++ {
			lengths[j] = 0
		}
		break
	}
	return abrupt
}

// stop is standing inside a block: so many seconds after its beginning, and for how
// long.
type stop struct{ at, length int }

func drawStops(d dice, plan []pathway.Block, lengths []int, troubles Trouble) []stop {
	stops := make([]stop, len(plan))
	if !troubles.Has(Crossing) {
		return stops
	}
	for range d.whole(1, 2) {
		if i := d.IntN(len(plan)); lengths[i] >= 45 {
			stops[i] = stop{int(d.between(0.2, 0.8) * float64(lengths[i])), d.whole(20, 90)}
		}
	}
	return stops
}

// record says when the recording was started and stopped, for a plan that lasted so
// many seconds.
func (t *trip) record(d dice, total int, abrupt bool, troubles Trouble) {
	if troubles.Has(ShiftedStart) {
		most := longestShift
		if d.of(0.4) {
			most = 25 // the button was nearly in time
		}
		t.on = d.whole(-most, most)
	}
	t.off = total
	switch {
	case troubles.Has(StoppedSoon):
		t.off = int(d.between(0.55, 0.97) * float64(total))
	case troubles.Has(RanOn) && !abrupt:
		t.off += int(30 * math.Exp(d.between(0, math.Log(20)))) // 30 s to 10 min, the short more often
	case troubles != 0:
		t.off += d.whole(0, 20)
	}
	t.off = max(t.off, t.on+60)
	t.from, t.to = min(t.on, 0)-60, max(t.off, total)+30
}

// before is what was done until the plan began: standing, and pottering about from
// when the recording was started.
func (t *trip) before(d dice) {
	at := t.from
	if t.on < -15 && d.of(0.6) {
		for at < -10 {
			to := min(at+d.whole(10, 40), -5)
			t.legs = append(t.legs, leg{at, to, activity(d.whole(int(standing), int(walking)))})
			at = to
		}
	}
	t.legs = append(t.legs, leg{at, 0, standing})
}

// block does one block and gives its end.
func (t *trip) block(kind pathway.Kind, at, length int, s stop) (end int) {
	a := walking
	if kind == pathway.Run {
		a = running
	}
	end = at + length + s.length
	if length == 0 {
		return end
	}
	if s.length == 0 {
		t.legs = append(t.legs, leg{at, end, a})
		return end
	}
	still := at + s.at
	t.stops = append(t.stops, [2]int{still, still + s.length})
	t.legs = append(t.legs, leg{at, still, a}, leg{still, still + s.length, standing}, leg{still + s.length, end, a})
	return end
}

// after is what was done once the plan was over: the walk home, mostly.
func (t *trip) after(d dice, at int, abrupt bool) {
	a := walking
	if abrupt || d.of(0.3) {
		a = standing
	}
	t.legs = append(t.legs, leg{at, max(t.to, at+1), a})
}
