package readiness

// Percentiles opens the closed form of rule 11 to the tests.
func Percentiles(a, b float64, r int, at [3]float64) [3]int { return percentiles(a, b, r, at) }

// WeeksPassed opens the count of weeks of rule 11 to the tests.
func WeeksPassed(h *History) (passed, stayed int) {
	c := newChart(h)
	return c.weeksPassed()
}
