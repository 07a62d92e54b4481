package readiness

import (
	"math"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
)

// The prior of rule 11: eight weeks in ten pass a phase.
const (
	priorPassed = 3.2
	priorStayed = 0.8
)

// longestForecast is where percentiles end, in weeks: ten years.
const longestForecast = 520

// Arrival says when thirty minutes may come (rule 11), from all sessions since
// the start. It is the zero value while paused or referred, and once arrived. The
// phases left are those from where the verdict leads to before the last one, whose
// session is the thirty minutes.
func Arrival(h *History, v *Verdict) Forecast {
	if v.Action == Refer || v.Action == Pause || v.Flags.Has(FlagArrived) {
		return Forecast{}
	}
	c := newChart(h)
	to := c.Pathway.Find(v.To)
	left := len(c.Pathway.Phases) - 1 - to.Phase()
	if to.Half() {
		left++
	}
	if left <= 0 {
		return Forecast{h.AsOf, h.AsOf, h.AsOf}
	}
	passed, stayed := c.weeksPassed()
	weeks := percentiles(priorPassed+float64(passed), priorStayed+float64(stayed), left, [3]float64{0.1, 0.5, 0.9})
	after := func(i int) day.Date { return h.AsOf + day.Date(7*weeks[i]) }
	return Forecast{after(0), after(1), after(2)}
}

// weeksPassed counts the weeks without leave since the start that passed a phase
// and those that did not. The first week has no week before it and is not counted.
func (c *chart) weeksPassed() (passed, stayed int) {
	best := pathway.NoRung // of the newest week before
	week := -1             // how far back it lies
	var reached pathway.Rung
	for i := range c.sessions {
		d := &c.sessions[i]
		if !d.exposure() || d.rung == pathway.NoRung {
			continue
		}
		w := day.WeeksBack(c.AsOf, d.Date)
		if week >= 0 && w < week {
			p, s := c.closeWeeks(week, w, best, reached)
			passed, stayed = passed+p, stayed+s
			best = reached
		}
		week, reached = w, d.rung
	}
	if week >= 0 {
		p, s := c.closeWeeks(week, -1, best, reached)
		passed, stayed = passed+p, stayed+s
	}
	return passed, stayed
}

// closeWeeks counts week w, whose last exposure reached a rung, and the weeks
// without one between it and the next.
func (c *chart) closeWeeks(w, next int, best, reached pathway.Rung) (passed, stayed int) {
	if best != pathway.NoRung && !c.onLeave(w) {
		if reached > best {
			passed++
		} else {
			stayed++
		}
	}
	for empty := w - 1; empty > next; empty-- {
		if !c.onLeave(empty) {
			stayed++
		}
	}
	return passed, stayed
}

// onLeave says whether any date of the week w back is leave.
func (c *chart) onLeave(w int) bool {
	last := c.AsOf - day.Date(7*w)
	return c.leaveDays(last-6, last) > 0
}

// percentiles are the smallest numbers of weeks by which the phases left are
// passed with each probability. Each phase takes a geometric number of weeks whose
// chance is Beta(a, b): their sum is beta negative binomial, in closed form
// P(N=n) = C(n-1, r-1) B(a+r, b+n-r) / B(a, b).
func percentiles(a, b float64, r int, at [3]float64) [3]int {
	weeks := [3]int{longestForecast, longestForecast, longestForecast}
	sum, k := 0.0, 0
	for n := r; n < longestForecast && k < len(at); n++ {
		sum += math.Exp(logChoose(n-1, r-1) + logBeta(a+float64(r), b+float64(n-r)) - logBeta(a, b))
		for k < len(at) && sum >= at[k] {
			weeks[k] = n
			k++
		}
	}
	return weeks
}

func logBeta(a, b float64) float64 { return logGamma(a) + logGamma(b) - logGamma(a+b) }

func logChoose(n, k int) float64 {
	return logGamma(float64(n+1)) - logGamma(float64(k+1)) - logGamma(float64(n-k+1))
}

func logGamma(x float64) float64 {
	v, _ := math.Lgamma(x)
	return v
}
