package screening

// bmi is the body mass index in kg/m², 0 where height or weight were not told.
func bmi(a Answers) float64 {
	height, weight, ok := size(a)
	if !ok {
		return 0
	}
	return float64(weight) * 10000 / float64(height*height)
}

// over says whether the body mass index is over 30, in whole numbers so that 30
// itself is not.
func over(a Answers) bool {
	height, weight, ok := size(a)
	return ok && weight*10000 > 30*height*height
}

// under says whether the body mass index is under 18.5.
func under(a Answers) bool {
	height, weight, ok := size(a)
	return ok && weight*100000 < 185*height*height
}

// size is height in cm and weight in kg, where both are told and make sense.
func size(a Answers) (height, weight int, ok bool) {
	height, tall := number(a, Height)
	weight, heavy := number(a, Weight)
	return height, weight, tall && heavy && height >= 50 && height <= 300 && weight > 0 && weight <= 1000
}
