package weekplan_test

import (
	"fmt"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/weekplan"
)

// Somebody can train on Monday, Tuesday, Thursday and Saturday mornings.
func ExamplePlace() {
	var days [7]weekplan.Day
	for _, i := range []int{0, 1, 3, 5} {
		days[i].Times = weekplan.Times(0).With(weekplan.Morning)
	}
	plan, err := weekplan.Place(&weekplan.Week{
		Monday: day.On(2026, time.June, 8), Today: day.On(2026, time.June, 7),
		Days: days, Sessions: 3, Legs: 1, Strength: 1,
	})
	fmt.Println(err)
	for _, s := range plan.Sessions {
		fmt.Println(s.On.Weekday(), s.Kind)
	}
	// Output:
	// <nil>
	// Monday run
	// Tuesday strength
	// Thursday run
	// Saturday run
	// Saturday legs
}
