// Package load holds the arithmetic of training load: the ratios told with their
// cautions (rule 8.5), and comparisons that never pass through a float (rule 8.3).
package load

import "math"

// Ratio is the load of the last seven days (weeks[0]) over the mean of the four
// weeks before them (rule 8.5). The last week is not part of the mean
// (uncoupled), and there are four weeks in it where published figures often have
// three, so their thresholds do not carry over. ok is false where the mean is 0.
func Ratio(weeks [5]float64) (ratio float64, ok bool) {
	before := (weeks[1] + weeks[2] + weeks[3] + weeks[4]) / 4
	if before <= 0 {
		return 0, false
	}
	return weeks[0] / before, true
}

// The weights of a new day in the two averages of Weighted: 2/(N+1) for N of 7
// and 28 days (Williams and others, Br J Sports Med 2017;51:209–210).
const (
	lastWeek  = 2.0 / 8
	lastMonth = 2.0 / 29
)

// Weighted is the ratio of two exponentially weighted averages of the daily
// loads, oldest first, days without training as 0 (rule 8.5). Both begin with the
// first day's load, which is common practice and moves the ratio for weeks: told
// with that caution, compared with nothing. ok is false without days or where the
// slow average is 0.
func Weighted(daily []float64) (ratio float64, ok bool) {
	if len(daily) == 0 {
		return 0, false
	}
	quick, slow := daily[0], daily[0]
	for _, load := range daily[1:] {
		quick += lastWeek * (load - quick)
		slow += lastMonth * (load - slow)
	}
	if slow <= 0 {
		return 0, false
	}
	return quick / slow, true
}

// Monotony is the mean of seven daily loads over their standard deviation, that
// of a sample (n − 1), days of rest as 0 (rule 8.5; Foster, Med Sci Sports Exerc
// 1998;30:1164–1168, which does not say which of the two deviations it means). ok
// is false where every day is the same.
func Monotony(daily [7]float64) (monotony float64, ok bool) {
	mean, deviation := spread(daily)
	if deviation == 0 {
		return 0, false
	}
	return mean / deviation, true
}

// Strain is the load of the week times its monotony; ok is false where that has
// none.
func Strain(daily [7]float64) (strain float64, ok bool) {
	monotony, ok := Monotony(daily)
	if !ok {
		return 0, false
	}
	return sum(daily) * monotony, true
}

// spread is the mean and the sample standard deviation; the deviation of equal
// days is exactly 0.
func spread(daily [7]float64) (mean, deviation float64) {
	mean = sum(daily) / 7
	squares, same := 0.0, true
	for _, load := range daily {
		squares += (load - mean) * (load - mean)
		same = same && load == daily[0]
	}
	if same {
		return daily[0], 0
	}
	return mean, math.Sqrt(squares / 6)
}

func sum(daily [7]float64) float64 {
	total := 0.0
	for _, load := range daily {
		total += load
	}
	return total
}
