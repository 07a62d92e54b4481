package simulate

import "math"

// Heart is how somebody's heart answers to standing, walking and running. Levels
// are those it would settle at; it goes there with one time constant upwards and
// another downwards (first order, as in Barak 2011, J Sports Sci Med 10:369–375).
type Heart struct {
	Stand, Walk, Run float64 // beats a minute
	Up, Down         float64 // seconds
	Drift            float64 // beats a minute, gained in each minute of the session
	Vary             float64 // standard deviation of the level from block to block, beats a minute
	Wander           float64 // of the level within a block (hills, wind), beats a minute
	Noise            float64 // standard deviation from beat to beat, beats a minute
	Breath           float64 // height of the wave that breathing makes, beats a minute
}

// drawHeart is somebody's heart. In untrained people time constants of active
// recovery are about 90 s (SD 30); levels, onset and unrest are ours.
func drawHeart(d dice) Heart {
	h := Heart{
		Stand: d.between(75, 95), Walk: d.between(95, 125), Run: d.between(140, 178),
		Up: d.between(25, 50), Down: d.between(35, 110),
		Drift: d.between(0, 0.35), Vary: d.between(1, 4), Wander: d.between(0, 2.5),
		Noise: d.between(1, 3), Breath: d.between(0.3, 2),
	}
	if d.of(0.12) { // walks briskly and runs hardly faster
		h.Walk = d.between(105, 130)
		h.Run = h.Walk + d.between(17, 26)
	}
	h.Run = max(h.Run, h.Walk+17)
	h.Walk = max(h.Walk, h.Stand+6)
	return h
}

// drawCeiling lies mostly between walking and running, now and then outside.
func drawCeiling(d dice, h *Heart) int {
	at := h.Walk + d.between(0.15, 0.75)*(h.Run-h.Walk)
	switch chance := d.Float64(); {
	case chance < 0.06:
		at = h.Run + d.between(3, 15)
	case chance < 0.12:
		at = h.Walk - d.between(2, 10)
	}
	return min(max(int(at), 90), 180)
}

// level is what the heart tends towards in an activity.
func (h *Heart) level(a activity) float64 {
	switch a {
	case standing:
		return h.Stand
	case strolling:
		return (h.Stand + h.Walk) / 2
	case walking:
		return h.Walk
	default:
		return h.Run
	}
}

// toward is the heart rate a second later.
func (h *Heart) toward(rate, level float64) float64 {
	tau := h.Down
	if level > rate {
		tau = h.Up
	}
	return level + (rate-level)*math.Exp(-1/tau)
}

// beats is the heart rate in every second of the trip, in beats a minute, as a
// sensor without faults would tell it.
func (h *Heart) beats(d dice, t *trip) []float64 {
	all := make([]float64, t.to-t.from)
	rate := h.Stand
	wander, noise, phase := 0.0, 0.0, d.Float64()
	period := d.between(3, 5)
	leg := -1
	level := 0.0
	for i := range all {
		at := t.from + i
		for leg+1 < len(t.legs) && t.legs[leg+1].from <= at {
			leg++
			level = h.level(t.legs[leg].activity) + h.Vary*d.NormFloat64()
		}
		warm := h.Drift * max(0, float64(at)) / 60
		wander = 0.985*wander + math.Sqrt(1-0.985*0.985)*h.Wander*d.NormFloat64()
		noise = 0.8*noise + 0.6*h.Noise*d.NormFloat64() // 0.8² + 0.6² is 1: the standard deviation stays
		phase += 1 / period
		all[i] = rate + noise + h.Breath*math.Sin(2*math.Pi*phase)
		rate = h.toward(rate, level+warm+wander)
	}
	return all
}
