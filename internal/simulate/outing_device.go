package simulate

import (
	"math"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/trace"
)

// device is what measures and writes. Its seconds are those of the trip; index 0 of
// the slices is trip.from.
type device struct {
	trip    *trip
	worn    []float64 // heart rate as the sensor sees it
	delay   int       // seconds by which it does so late
	shown   []int     // as it shows it
	made    []trace.ArtefactKind
	missing []bool // no row is written
	speed   []int16
	steps   []int16
	cadence float64 // steps a minute in a run
	written []int   // seconds of the rows, in the order of the file
	jumpAt  int     // from this second on the clock is off
	jumpBy  int
	laps    []int // seconds
	marks   []int
}

// wear measures and writes the trip.
func wear(d dice, t *trip, beats []float64, troubles Trouble, o OutingOptions) *device {
	n := len(beats)
	v := &device{trip: t, worn: beats, shown: make([]int, n), made: make([]trace.ArtefactKind, n), missing: make([]bool, n), jumpAt: t.to}
	if troubles.Has(Wrist) {
		by, over := d.whole(5, 20), d.whole(3, 10)
		v.worn, v.delay = late(beats, by, over), by+over/2
	}
	for i, rate := range v.worn {
		v.shown[i] = int(math.Round(rate))
	}
	v.move(d, o)
	v.makeUp(d, troubles)
	v.write(d, troubles)
	v.press(d, o)
	return v
}

// late is the mean of so many seconds that ended so many seconds ago.
func late(beats []float64, by, over int) []float64 {
	seen := make([]float64, len(beats))
	for i := range beats {
		sum := 0.0
		for j := range over {
			sum += beats[max(0, i-by-j)]
		}
		seen[i] = sum / float64(over)
	}
	return seen
}

// move measures speed (a few seconds late, with the noise of positions) and steps.
func (v *device) move(d dice, o OutingOptions) {
	v.cadence = d.between(150, 180)
	walk, slow := d.between(1.25, 1.75), d.between(3, 7)
	run := max(d.between(1.9, 2.9), walk+0.35)
	strides := d.between(100, 122)
	v.speed, v.steps = make([]int16, len(v.worn)), make([]int16, len(v.worn))
	speed, steps, noise := 0.0, 0.0, 0.0
	leg := 0
	for i := range v.worn {
		for leg+1 < len(v.trip.legs) && v.trip.legs[leg+1].from <= v.trip.from+i {
			leg++
		}
		a := v.trip.legs[leg].activity
		speed += (([...]float64{0, 0.8, walk, run})[a] - speed) / slow
		steps += (([...]float64{0, 60, strides, v.cadence})[a] - steps) / 3
		noise = 0.8*noise + 0.6*0.15*d.NormFloat64()
		v.speed[i], v.steps[i] = trace.Unknown, trace.Unknown
		if o.Speed {
			v.speed[i] = int16(100 * max(0, speed+noise))
		}
		if o.Steps {
			v.steps[i] = int16(max(0, math.Round(steps+1.5*d.NormFloat64())))
		}
	}
}

// write picks the seconds for which there is a row.
func (v *device) write(d dice, troubles Trouble) {
	last, shown, wait := math.MinInt32, 0, 1
	for at := v.trip.on; at <= v.trip.off; at++ {
		i := at - v.trip.from
		switch {
		case v.missing[i]:
			continue
		case troubles.Has(EveryFive) && (at-v.trip.on)%5 != 0:
			continue
		case troubles.Has(OnChange) && at-last < wait && (v.shown[i]-shown)*(v.shown[i]-shown) < 4:
			continue
		}
		v.written = append(v.written, at)
		last, shown, wait = at, v.shown[i], d.whole(3, 8)
	}
	if len(v.written) == 0 { // a dropout over everything: one row makes it a recording
		v.written = append(v.written, v.trip.on)
	}
	if troubles.Has(Doubled) {
		v.double(d)
	}
	if troubles.Has(ClockJump) {
		v.jump(d)
	}
}

// double writes single rows twice, or a few in a row once more.
func (v *device) double(d dice) {
	for range d.whole(2, 30) {
		i := d.IntN(len(v.written))
		v.written = slices.Insert(v.written, i, v.written[i])
	}
	if n := d.whole(5, 20); d.of(0.4) && len(v.written) > 2*n {
		i := d.IntN(len(v.written) - n)
		v.written = slices.Insert(v.written, i+n, v.written[i:i+n]...)
	}
}

// jump sets the clock back, or on.
func (v *device) jump(d dice) {
	v.jumpAt = int(float64(v.trip.on) + d.between(0.1, 0.9)*float64(v.trip.off-v.trip.on))
	v.jumpBy = -d.whole(2, 9)
	if d.of(0.5) {
		v.jumpBy = d.whole(3, 30)
	}
}

// press makes laps and marks.
func (v *device) press(d dice, o OutingOptions) {
	if o.Laps {
		forgotten := d.between(0, 0.15)
		for i, at := range v.trip.starts {
			if v.trip.ends[i] > at && !d.of(forgotten) {
				v.laps = append(v.laps, at+d.whole(0, 3))
			}
		}
		if last := len(v.trip.ends) - 1; d.of(0.5) {
			v.laps = append(v.laps, v.trip.ends[last]+d.whole(0, 3))
		}
	}
	if o.AutoLaps {
		each := d.whole(380, 560)
		for at := v.trip.on + each; at < v.trip.off; at += each + d.whole(-20, 20) {
			v.laps = append(v.laps, at)
		}
	}
	slices.Sort(v.laps)
	if o.Marks {
		v.marks = append(slices.Clone(v.trip.starts), v.trip.ends[len(v.trip.ends)-1])
	}
}

// clock is the second of the recording's own clock, for one of the trip.
func (v *device) clock(at int) int {
	own := at - v.written[0]
	if at >= v.jumpAt {
		own += v.jumpBy
	}
	return own
}

// recording is what was written.
func (v *device) recording(start time.Time) trace.Recording {
	r := trace.Recording{Start: start}
	for _, at := range v.written {
		i := at - v.trip.from
		r.Samples = append(r.Samples, trace.Sample{
			At: int32(v.clock(at)), BPM: int16(v.shown[i]), Speed: v.speed[i], Steps: v.steps[i],
		})
	}
	for _, at := range v.laps {
		if own := v.clock(at); own > 0 && at <= v.trip.off {
			r.Laps = append(r.Laps, int32(own))
		}
	}
	for _, at := range v.marks {
		r.Marks = append(r.Marks, int32(v.clock(at)))
	}
	return r
}

// artefacts are the stretches that were made up or in which nothing was written,
// inside the recording.
func (v *device) artefacts() []trace.Artefact {
	var found []trace.Artefact
	for at := v.trip.on; at <= v.trip.off; {
		kind, to := v.made[at-v.trip.from], at+1
		for to <= v.trip.off && v.made[to-v.trip.from] == kind {
			to++
		}
		if kind != "" {
			found = append(found, trace.Artefact{From: v.clock(at), To: v.clock(to), Kind: kind})
		}
		at = to
	}
	return found
}
