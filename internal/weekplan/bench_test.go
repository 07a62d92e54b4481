package weekplan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/weekplan"
)

// A page of a coach lays out a week for everybody in the club, so that one must take
// well under a millisecond; walks, which have the fewest rules, take longest.
func BenchmarkPlace(b *testing.B) {
	for name, w := range map[string]weekplan.Week{
		"three runs": {Sessions: 3, Legs: 1, Strength: 2},
		"four runs":  {Sessions: 4, Legs: 1, Strength: 2},
		"six runs":   {Sessions: 6, Legs: 1, Strength: 2},
		"five walks": {Kind: weekplan.Walk, Sessions: 5, Legs: 1, Strength: 2},
		"laid out before": {
			Sessions: 3, Legs: 1, Strength: 1, Pins: []weekplan.Pin{{On: at(wed)}},
			Present: []session{run(mon), light(tue), run(wed), run(fri), legs(sat)},
		},
	} {
		w.Monday, w.Today, w.Days = monday(), monday(), everyDay()
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, err := weekplan.Place(&w)
				require.NoError(b, err)
			}
		})
	}
}
