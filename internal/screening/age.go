package screening

import (
	"strconv"

	"halfhour.app/halfhour/internal/day"
)

// number is the whole number answered to a question; not ok where there is none.
func number(a Answers, question string) (n int, ok bool) {
	given := a.Given(question)
	if len(given) == 0 {
		return 0, false
	}
	n, err := strconv.Atoi(given[0])
	return n, err == nil
}

// ageOf is the age reached in the year of the date.
func ageOf(a Answers, on day.Date) (years int, ok bool) {
	born, ok := number(a, BirthYear)
	if !ok || born < earliestBirth || born > on.Year() {
		return 0, false
	}
	return on.Year() - born, true
}
