// Package load holds the figures that are made of session loads (effort × minutes,
// in AU).
package load

import "math"

// Ratio is the load of the newest week by the mean of the four before it; false
// where that mean is 0. Rule 8.5: shown with its cautions, read by no rule.
func Ratio(weeks [5]float64) (float64, bool) {
	mean := (weeks[1] + weeks[2] + weeks[3] + weeks[4]) / 4
	if mean == 0 {
		return 0, false
	}
	return weeks[0] / mean, true
}

// Weighted is the ratio of two exponentially weighted means of the daily loads,
// with weights 2/8 and 2/29, both seeded with the first day; false where the
// slower one is 0 or there is no day.
func Weighted(daily []float64) (float64, bool) {
	if len(daily) == 0 {
		return 0, false
	}
	fast, slow := daily[0], daily[0]
	for _, l := range daily[1:] {
		fast += (l - fast) * 2 / 8
		slow += (l - slow) * 2 / 29
	}
	if slow == 0 {
		return 0, false
	}
	return fast / slow, true
}

// Monotony is the mean of seven daily loads by their sample standard deviation;
// false where that is 0.
func Monotony(daily [7]float64) (float64, bool) {
	sum := 0.0
	for _, l := range daily {
		sum += l
	}
	mean := sum / 7 // of the sum, so that equal days differ by nothing at all
	squares := 0.0
	for _, l := range daily {
		squares += (l - mean) * (l - mean)
	}
	if squares == 0 {
		return 0, false
	}
	return mean / math.Sqrt(squares/6), true
}

// Strain is the load of seven days times their monotony; false where there is no
// monotony.
func Strain(daily [7]float64) (float64, bool) {
	monotony, ok := Monotony(daily)
	sum := 0.0
	for _, l := range daily {
		sum += l
	}
	return sum * monotony, ok
}
