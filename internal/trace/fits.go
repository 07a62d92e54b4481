package trace

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
)

// fits answers, for any stretch of seconds, how far its rates lie from the best
// curve a + b·exp(−t/tau): a heart that goes from one level towards another
// (first-order kinetics). Sums are kept so that a stretch of any length costs the
// same.
type fits struct {
	constant float64   // tau, in seconds
	n, y, yy []float64 // sums before second t
	e, ee    []float64 // sums from t on of exp(−(u−t)/tau), of its square,
	ey       []float64 // and of exp(−(u−t)/tau)·rate
	decay    []float64 // exp(−d/tau)
}

// newFits prepares the sums for one time constant.
func newFits(rates []int16, tau float64) *fits {
	n := len(rates)
	all := make([]float64, 7*(n+1))
	f := &fits{constant: tau}
	for i, part := range []*[]float64{&f.n, &f.y, &f.yy, &f.e, &f.ee, &f.ey, &f.decay} {
		*part = all[i*(n+1) : (i+1)*(n+1)]
	}
	once := math.Exp(-1 / tau)
	f.decay[0] = 1
	for t, rate := range rates {
		f.n[t+1], f.y[t+1], f.yy[t+1] = f.n[t], f.y[t], f.yy[t]
		if rate > 0 {
			y := float64(rate)
			f.n[t+1]++
			f.y[t+1] += y
			f.yy[t+1] += y * y
		}
		f.decay[t+1] = f.decay[t] * once
	}
	for t := n - 1; t >= 0; t-- {
		f.e[t], f.ee[t], f.ey[t] = once*f.e[t+1], once*once*f.ee[t+1], once*f.ey[t+1]
		if y := float64(rates[t]); y > 0 {
			f.e[t]++
			f.ee[t]++
			f.ey[t] += y
		}
	}
	return f
}

// misfit is the sum of squares between the rates of the seconds from, to and the
// best curve that changes in the direction wanted (1: rises, −1: falls, 0: either),
// with the beats by which that curve changes and the number of usable seconds.
func (f *fits) misfit(from, to, direction int) (squares, change, n float64) {
	n = f.n[to] - f.n[from]
	if n == 0 {
		return 0, 0, 0
	}
	d := f.decay[to-from]
	y, yy := f.y[to]-f.y[from], f.yy[to]-f.yy[from]
	e, ee, ey := f.e[from]-d*f.e[to], f.ee[from]-d*d*f.ee[to], f.ey[from]-d*f.ey[to]
	squares = yy - y*y/n
	spread, joint := ee-e*e/n, ey-e*y/n
	if spread > 1e-9 {
		b := joint / spread
		if direction == 0 || b*float64(direction) < 0 {
			squares -= joint * b
			change = -b * (1 - d)
		}
	}
	return max(squares, 0), change, n
}

// direction in which a heart goes in a block of the kind.
func direction(kind pathway.Kind) int {
	if kind == pathway.Run {
		return 1
	}
	return -1
}
