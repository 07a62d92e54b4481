package roster_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/roster"
)

func TestAvailable(t *testing.T) {
	require.False(t, roster.Available(0).At(time.Monday, roster.Morning))
	require.Equal(t, roster.Available(1), roster.Available(0).With(time.Monday, roster.Morning), "as it is kept: Monday morning is the first bit")
	require.Equal(t, roster.Available(1<<20), roster.Available(0).With(time.Sunday, roster.Evening), "and Sunday evening the last")
	rapid.Check(t, func(t *rapid.T) {
		type at struct {
			on   time.Weekday
			part roster.DayPart
		}
		told := map[at]bool{}
		var a roster.Available
		for range rapid.IntRange(0, 21).Draw(t, "times") {
			one := at{time.Weekday(rapid.IntRange(0, 6).Draw(t, "on")), roster.DayPart(rapid.IntRange(0, 2).Draw(t, "part"))}
			told[one] = true
			a = a.With(one.on, one.part)
		}
		for on := time.Sunday; on <= time.Saturday; on++ {
			for _, part := range []roster.DayPart{roster.Morning, roster.Midday, roster.Evening} {
				require.Equal(t, told[at{on, part}], a.At(on, part), "%s, part %d", on, part)
			}
		}
	})
}
