package pathway_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// The envelope of published walk–run programmes. Found: the Dutch six-week
// programme (Ooms L and others, BMC Public Health 2018;18, table 1: week 1 is 8 ×
// 1 min of running with 3 min of walking, week 5 is 3 × 10 min with 5), the two arms
// of Buist I and others, Am J Sports Med 2008;36:33–39 (10 % a week over 13 weeks,
// about 24 % over 8, injuries 20.8 and 20.3 %), and the rest as named at each check.
// What the envelope makes of them is our own judgement.

func runSeconds(p *pathway.Pathway) []int {
	var seconds []int
	for _, phase := range p.Phases {
		if s := pathway.SecondsOf(pathway.Run, phase.Blocks); s > 0 {
			seconds = append(seconds, s)
		}
	}
	return seconds
}

// The first running session: 4 to 8 minutes in bouts of 30 to 60 s, walks at
// least twice as long as the bout (8 × 1 min with 3 min of walking in the Dutch
// programme, whose first week is at the upper edge).
func TestFirstRunsAreShort(t *testing.T) {
	p := pathway.Default()
	first := p.Phases[p.Find("L1").Phase()]
	for _, blocks := range [][]pathway.Block{first.Blocks, first.Half} {
		for i, b := range blocks {
			if b.Kind == pathway.Run {
				require.GreaterOrEqual(t, b.Planned, 30)
				require.LessOrEqual(t, b.Planned, 60)
				require.GreaterOrEqual(t, blocks[i+1].Planned, 2*b.Planned)
			}
		}
	}
	total := pathway.SecondsOf(pathway.Run, first.Blocks)
	require.GreaterOrEqual(t, total, clock("4"))
	require.LessOrEqual(t, total, clock("8"))
}

// Steps of 20 to 50 % are usual early on; past 20 minutes they stay under 20 %.
func TestStepsGrowSmaller(t *testing.T) {
	seconds := runSeconds(pathway.Default())
	for i := 1; i < len(seconds); i++ {
		before, now := seconds[i-1], seconds[i]
		require.LessOrEqual(t, 100*now, 150*before, "never more than half as much again")
		if now > clock("20") {
			require.Less(t, 100*now, 120*before, "less than a fifth past 20 minutes")
		}
	}
}

// One phase a week grows faster than the graded arm of Buist 2008 (10 % a week) and
// more slowly than its standard arm (about 24 %), which injured as many.
func TestMeanGrowthLiesBetweenTheTwoPublishedArms(t *testing.T) {
	seconds := runSeconds(pathway.Default())
	last := len(seconds) - 1
	growth := math.Pow(float64(seconds[last])/float64(seconds[0]), 1/float64(last))
	require.Greater(t, growth, 1.10)
	require.Less(t, growth, 1.24)
}

// Thirty minutes take 6 to 13 weeks from the first run, and a sedentary person 12
// to 16 with the walking base before it, when each phase takes one week.
func TestWeeksToThirtyMinutes(t *testing.T) {
	p := pathway.Default()
	require.GreaterOrEqual(t, len(p.Phases), 12)
	require.LessOrEqual(t, len(p.Phases), 16)
	running := len(runSeconds(p))
	require.GreaterOrEqual(t, running, 6)
	require.LessOrEqual(t, running, 13)
}

// The walking base: half an hour of walking after two to four weeks (common
// practice); it was not shown to prevent injury (Bredeweg SW and others, Br J Sports
// Med 2012;46:865–870, found: 15.2 against 16.8 %).
func TestWalkingBaseEndsWithHalfAnHourOnFoot(t *testing.T) {
	p := pathway.Default()
	number, of := p.InStage(p.Find("B4"))
	require.Equal(t, number, of)
	require.GreaterOrEqual(t, of, 2)
	require.LessOrEqual(t, of, 4)
	require.Equal(t, clock("30"), pathway.Seconds(p.Phases[p.Find("B4").Phase()].Blocks))
}

// Thirty minutes without a walk come by way of two runs of 12 to 15 minutes, then
// 20, then 25.
func TestLastStepsBeforeTheUnbrokenRun(t *testing.T) {
	p := pathway.Default()
	longest := func(id string) int { return pathway.LongestRun(p.Blocks(p.Find(id))) }
	require.Len(t, p.Blocks(p.Find("R5")), 4)
	require.GreaterOrEqual(t, longest("R5"), clock("12"))
	require.LessOrEqual(t, longest("R5"), clock("15"))
	require.Equal(t, clock("20"), longest("R6"))
	require.Equal(t, clock("25"), longest("R7-"))
	require.Equal(t, clock("30"), longest("R7"))
}

// With a body mass index over 30, those who ran 3 km and more in their first week
// were hurt more often (Nielsen RØ and others, Int J Sports Phys Ther
// 2014;9:338–345, found: 14.3 percentage points at 3 to 6 km). Three first sessions
// stay below it even at 8 km/h, which is fast for a beginner, and leave room down
// at 6 km/h.
func TestFirstWeekOfRunningStaysUnderThreeKilometres(t *testing.T) {
	first := runSeconds(pathway.Default())[0]
	for _, metresAnHour := range []int{6000, 8000} {
		require.Less(t, 3*first*metresAnHour, 3000*3600)
	}
}

// In untrained people who keep moving, heart rate comes down with a time constant
// of about 91 s (Barak OF and others, J Sports Sci Med 2011;10:369–375, found: 90.6,
// SD 30.4), so half-way in about 63 s. A walk leaves time for that in its first
// half.
func TestWalksAreLongEnoughToSettleIn(t *testing.T) {
	halfWay := 90.6 * math.Ln2
	for _, phase := range pathway.Default().Phases {
		for i, b := range phase.Blocks {
			if b.Kind == pathway.Walk && i > 0 {
				require.GreaterOrEqual(t, float64(b.Planned)/2, halfWay, phase.ID)
				require.GreaterOrEqual(t, b.Planned, clock("2:15"), phase.ID)
			}
		}
	}
}
