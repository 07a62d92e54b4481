package readiness_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// The closed form of rule 11 against a simulation with the Beta distribution of a
// general-purpose numerical library: phases pass week by week, each with the same
// drawn chance. A percentile may be a week off where the simulated share lies
// within its own sampling error of the limit.
func TestForecastAgreesWithASimulation(t *testing.T) {
	const draws = 40_000
	for _, c := range []struct {
		a, b float64
		left int
	}{
		{3.2, 0.8, 14}, {3.2, 0.8, 1}, {6.2, 2.8, 7}, {12.2, 0.8, 5}, {3.2, 9.8, 3},
	} {
		source := rand.New(rand.NewPCG(7, 11))
		chance := distuv.Beta{Alpha: c.a, Beta: c.b, Src: source}
		weeks := make([]int, draws)
		for i := range weeks {
			p := chance.Rand()
			for passed := 0; passed < c.left && weeks[i] < 2000; weeks[i]++ {
				if source.Float64() < p {
					passed++
				}
			}
		}
		slices.Sort(weeks)
		at := [3]float64{0.1, 0.5, 0.9}
		got := readiness.Percentiles(c.a, c.b, c.left, at)
		for i, q := range at {
			low, high := weeks[int((q-0.008)*draws)], weeks[int((q+0.008)*draws)]
			require.GreaterOrEqual(t, got[i], low, "%+v at %v", c, q)
			require.LessOrEqual(t, got[i], high, "%+v at %v", c, q)
		}
	}
}

// weekly is an athlete with one session in full a week on the phases named, the
// newest last; an empty name is a week without one.
func weekly(phases ...string) readiness.History {
	h := readiness.History{
		AsOf: asked, Place: time.UTC, Pathway: pathway.Default(), Phase: phases[len(phases)-1], PhaseSince: asked - 3,
	}
	for i, phase := range phases {
		if date := asked - day.Date(7*(len(phases)-1-i)); phase != "" {
			h.Sessions = append(h.Sessions, readiness.Session{
				StartedAt: date.UTC().Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: phase,
				Outcome: readiness.InFull, Minutes: readiness.Some(30), Effort: readiness.Some(3), PainAsked: true,
			})
		}
	}
	return h
}

func TestWeeksThatPassed(t *testing.T) {
	for _, c := range []struct {
		phases         []string
		passed, stayed int
		why            string
	}{
		{[]string{"B1"}, 0, 0, "the first week has none before it"},
		{[]string{"B1", "B2", "B3"}, 2, 0, "two weeks reached higher"},
		{[]string{"B1", "B1", "B2", "B2"}, 1, 2, "the same phase again did not pass"},
		{[]string{"L2", "L1", "L2"}, 1, 1, "a step back did not pass, the way up again did"},
		{[]string{"B1", "", "", "B2"}, 1, 2, "weeks without a session did not pass"},
		{[]string{"L2", "L3", "L3-", "L3"}, 2, 1, "down to the half step and up again"},
	} {
		h := weekly(c.phases...)
		passed, stayed := readiness.WeeksPassed(&h)
		require.Equal(t, [2]int{c.passed, c.stayed}, [2]int{passed, stayed}, c.why)
	}
	h := weekly("B1", "", "", "B2")
	h.Leave = []day.Span{{From: asked - 16, To: asked - 14}}
	passed, stayed := readiness.WeeksPassed(&h)
	require.Equal(t, [2]int{1, 1}, [2]int{passed, stayed}, "of the two empty weeks one has leave in it and does not count")
}

func TestForecastIsARangeInWholeWeeks(t *testing.T) {
	h := weekly("B1", "B2", "B3", "B4", "L1")
	v := readiness.Assess(&h)
	f := readiness.Arrival(&h, &v)
	require.True(t, f.Early < f.Median && f.Median < f.Late)
	for _, d := range []day.Date{f.Early, f.Median, f.Late} {
		require.Zero(t, (d-asked)%7)
	}
	require.GreaterOrEqual(t, int(f.Early-asked), 7*10, "ten phases are left below the last: none takes less than a week")
	last := weekly("R6", "R7")
	v = readiness.Assess(&last)
	require.Equal(t, readiness.Forecast{Early: asked, Median: asked, Late: asked}, readiness.Arrival(&last, &v),
		"on the last phase the thirty minutes are the next session")
}
