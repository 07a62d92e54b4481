package simulate

import (
	"halfhour.app/halfhour/internal/trace"
)

// stretch is some seconds of the trip, to not included.
type stretch struct{ from, to int }

// makeUp puts in what the sensor makes up and leaves out. What comes later covers
// what came before.
func (v *device) makeUp(d dice, troubles Trouble) {
	if troubles.Has(DryStrap) {
		v.dry(d)
	}
	if troubles.Has(Stuck) {
		v.stick(v.somewhere(d, 40, 150))
	}
	if troubles.Has(CadenceLock) {
		for range d.whole(1, 3) {
			v.lock(d, v.inARun(d))
		}
	}
	if troubles.Has(Spikes) {
		for range d.whole(1, 6) {
			v.spike(d, v.somewhere(d, 1, 3))
		}
	}
	if troubles.Has(Dropout) {
		for range d.whole(1, 3) {
			v.drop(d, v.somewhere(d, 10, 120))
		}
	}
	if troubles.Has(Paused) {
		v.pause(d)
	}
}

// somewhere is a stretch of the length inside the recording.
func (v *device) somewhere(d dice, shortest, longest int) stretch {
	length := min(d.whole(shortest, longest), v.trip.off-v.trip.on)
	from := d.whole(v.trip.on, v.trip.off-length)
	return stretch{from, from + length}
}

// inARun is a stretch that begins in a run, mostly, and ends with it, or some
// seconds into the walk.
func (v *device) inARun(d dice) stretch {
	s := v.somewhere(d, 30, 150)
	var runs []leg
	for _, l := range v.trip.legs {
		if l.activity == running && l.from >= v.trip.on && l.to <= v.trip.off {
			runs = append(runs, l)
		}
	}
	if len(runs) == 0 || d.of(0.1) {
		return s
	}
	run := runs[d.IntN(len(runs))]
	length := s.to - s.from
	s.from = d.whole(run.from, max(run.from, run.to-30))
	end := run.to
	if d.of(0.3) {
		end += d.whole(5, 45)
	}
	s.to = min(s.from+length, end, v.trip.off)
	return s
}

func (v *device) mark(at int, kind trace.ArtefactKind) int {
	i := at - v.trip.from
	v.made[i] = kind
	return i
}

// dry is what a dry strap tells: a few seconds each of something else, until sweat
// comes.
func (v *device) dry(d dice) {
	end := min(v.trip.on+d.whole(60, 180), v.trip.off)
	for at := v.trip.on; at < end; {
		level := 0
		switch chance := d.Float64(); {
		case chance < 0.6:
			level = d.whole(150, 225)
		case chance < 0.85:
			level = d.whole(40, 70)
		}
		for to := min(at+d.whole(3, 15), end); at < to; at++ {
			i := v.mark(at, trace.NoContact)
			v.shown[i] = level
			if level > 0 {
				v.shown[i] += d.whole(-3, 3)
			}
		}
	}
}

// stick holds the value with which the stretch begins.
func (v *device) stick(s stretch) {
	value := v.shown[s.from-v.trip.from]
	for at := s.from; at < s.to; at++ {
		v.shown[v.mark(at, trace.Held)] = value
	}
}

// lock slides to the steps within a few seconds, and as quickly back.
func (v *device) lock(d dice, s stretch) {
	slide := float64(d.whole(1, 5))
	for at := s.from; at < s.to; at++ {
		i := v.mark(at, trace.CadenceLock)
		locked := min(1, float64(at-s.from+1)/slide, float64(s.to-at)/slide)
		shown := locked*v.cadence + (1-locked)*v.worn[i]
		v.shown[i] = int(shown) + d.whole(-1, 1)
	}
}

// spike is a value far off.
func (v *device) spike(d dice, s stretch) {
	by := d.whole(30, 80)
	if d.of(0.5) {
		by = -by
	}
	for at := s.from; at < s.to; at++ {
		i := v.mark(at, trace.Spike)
		v.shown[i] = min(max(v.shown[i]+by, 30), 240)
	}
}

// drop leaves rows out, or writes what stands for nothing.
func (v *device) drop(d dice, s stretch) {
	way := d.IntN(3)
	for at := s.from; at < s.to; at++ {
		switch way {
		case 0:
			v.missing[v.mark(at, trace.Gap)] = true
		case 1:
			v.shown[v.mark(at, trace.NoContact)] = 0
		default:
			v.shown[v.mark(at, trace.NoContact)] = 255
		}
	}
}

// pause writes nothing: while somebody stands at a crossing, if anybody does, or
// else by mistake.
func (v *device) pause(d dice) {
	s := v.somewhere(d, 20, 120)
	if len(v.trip.stops) > 0 && d.of(0.7) {
		still := v.trip.stops[d.IntN(len(v.trip.stops))]
		s = stretch{max(still[0], v.trip.on), min(still[1], v.trip.off)}
	}
	for at := s.from; at < s.to; at++ {
		v.missing[v.mark(at, trace.Gap)] = true
	}
}
