package part

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAStripIsHalfAnHourWide(t *testing.T) {
	whole := Strip{Blocks: []Block{{Kind: Run, Planned: 1800, Done: 1800}}}.draw()
	require.Equal(t, "0 0 360 20", whole.Box)
	require.Equal(t, "M0 0h359v20h-359z", whole.Runs, "a unit of the 360 is the gap to the next block")
	require.Empty(t, whole.Limit)

	quarter := Strip{Blocks: []Block{{Kind: Walk, Planned: 900, Done: 900}}}.draw()
	require.Equal(t, "M0 10h179v10h-179z", quarter.Walks, "walks are low")
}

func TestALongerSessionIsDrawnSmallerWithAMark(t *testing.T) {
	d := Strip{State: Outside, Blocks: []Block{{Kind: Run, Done: 3600}}}.draw()
	require.Equal(t, "M0 0h359v20h-359z", d.Runs)
	require.Equal(t, "M180 0v20", d.Limit, "where half an hour ends")
}

func TestWhatWasNotDoneIsAThinLine(t *testing.T) {
	d := Strip{Blocks: []Block{
		{Kind: Run, Planned: 300, Done: 300}, {Kind: Walk, Planned: 300, Done: 150, Unsettled: 60}, {Kind: Run, Planned: 300},
	}}.draw()
	require.Equal(t, "M0 0h59v20h-59z", d.Runs)
	require.Equal(t, "M60 10h29v10h-29z", d.Walks)
	require.Equal(t, "M60 10h12v10h-12z", d.Unsettled, "hatched from the start of the walk")
	require.Equal(t, "M90 15h30M120 15h60", d.Rest)
}

// The hatching never runs beyond what was walked.
func TestUnsettledUpToTheEndOfTheWalk(t *testing.T) {
	d := Strip{Blocks: []Block{{Kind: Walk, Planned: 300, Done: 300, Unsettled: 900}}}.draw()
	require.Equal(t, d.Walks, d.Unsettled)
}

func TestOfAPlanNothingIsDoneYet(t *testing.T) {
	d := Strip{State: Planned, Blocks: []Block{{Kind: Run, Planned: 900, Done: 60}, {Kind: Walk, Planned: 900, Unsettled: 60}}}.draw()
	require.Equal(t, "M0 0h179v20h-179z", d.Runs)
	require.Equal(t, "M180 10h179v10h-179z", d.Walks)
	require.Empty(t, d.Unsettled+d.Rest)
}

func TestAMissedSessionIsALine(t *testing.T) {
	for state, class := range map[StripState]string{Missed: "s miss", CalledOff: "s off"} {
		s := Strip{State: state, Blocks: []Block{{Kind: Run, Planned: 900}}}
		require.Equal(t, drawing{Box: "0 0 360 20", Line: "M0 15h360"}, s.draw())
		require.Equal(t, class, s.class())
	}
}

func TestABlockOfASecondIsSeen(t *testing.T) {
	d := Strip{Blocks: []Block{{Kind: Run, Planned: 60, Done: 1}}}.draw()
	require.Equal(t, "M0 0h1v20h-1z", d.Runs)
	require.Equal(t, "M0 15h12", d.Rest)
}

func TestBars(t *testing.T) {
	before, now := Load{Weeks: []int{0, 50, 100}}.bars()
	require.Equal(t, "M0 35h12v1h-12zM15 18h12v18h-12z", before, "a week of nothing is a line")
	require.Equal(t, "M30 0h12v36h-12z", now)
	before, now = Load{}.bars()
	require.Empty(t, before+now)
}

func TestATrendEndsAtTheRight(t *testing.T) {
	course, end, half := Trend{Seconds: []int{100, 50}, Half: 80}.line()
	require.Equal(t, "M4 4L116 16", course)
	require.Equal(t, "M116 16h0", end)
	require.Equal(t, "M0 9h120", half)
	course, end, half = Trend{Half: 80}.line()
	require.Empty(t, course+end+half, "nothing is known")
	course, _, half = Trend{Seconds: []int{40}}.line()
	require.Equal(t, "M116 4", course)
	require.Empty(t, half)
}

// Charts of nothing draw nothing and break nothing.
func TestChartsOfNothing(t *testing.T) {
	require.Empty(t, Weeks{}.loads().Now+Weeks{}.runs().Plan+Weeks{}.first()+Weeks{}.last())
	require.Empty(t, Settles{}.draw().Now)
	during, mornings, stems := Site{}.marks()
	require.Empty(t, during+mornings+stems)
}

func TestRunningPlannedStandsBehindDone(t *testing.T) {
	c := Weeks{Weeks: []Week{{RunSeconds: 600, RunPlanned: 1200}, {RunSeconds: 0, RunPlanned: 0}}}.runs()
	require.Equal(t, 1200, c.Top)
	require.Equal(t, "M2 1h16v99h-16z", c.Plan)
	require.Equal(t, "M6 51h8v49h-8z", c.Now)
}

// Who has only walked so far has no chart of running, which would claim a height.
func TestWhoNeverRanHasNoChartOfRunning(t *testing.T) {
	for _, c := range []struct {
		run  int
		plot bool
	}{{0, false}, {60, true}} {
		var out strings.Builder
		require.NoError(t, WeeksPicture(Weeks{Weeks: []Week{{Load: 100, RunSeconds: c.run}}}).Render(t.Context(), &out))
		require.Contains(t, out.String(), "<b>Load</b>")
		require.Equal(t, c.plot, strings.Contains(out.String(), "Running, planned"), out.String())
	}
}

func TestPainTheMorningAfter(t *testing.T) {
	during, mornings, stems := Site{Days: 28, Aches: []Ache{{Day: 0, During: 3, Morning: 0}, {Day: 28, During: 10, Morning: -1}}}.marks()
	require.Equal(t, "M12 39h0M308 4h0", during)
	require.Equal(t, "M16 54h8", mornings, "the second is not told")
	require.Equal(t, 1, strings.Count(stems, "L"))
}

func TestTogetherKeepsTimesInOnePiece(t *testing.T) {
	require.Equal(t, "run 2\u00a0min\u00a045, walk 3\u00a0min, six times", Together("run 2 min 45, walk 3 min, six times"))
	require.Equal(t, "settled in 52\u00a0s of 180\u00a0s", Together("settled in 52 s of 180 s"))
	require.Equal(t, "3 sessions, 2 minutes", Together("3 sessions, 2 minutes"))
}

// An unknown sign draws nothing; a known one stands beside its word, unseen by
// screen readers.
func TestSigns(t *testing.T) {
	var none, ready bytes.Buffer
	require.NoError(t, Sign("nonsense").Render(context.Background(), &none))
	require.Empty(t, none.String())
	require.NoError(t, Sign("ready").Render(context.Background(), &ready))
	require.Contains(t, ready.String(), `aria-hidden="true"`)
	for mark, path := range drawn {
		require.Regexp(t, `^M[-0-9. MLlHhVvAaCczZ]+$`, path, string(mark))
	}
}
