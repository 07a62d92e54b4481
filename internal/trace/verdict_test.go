package trace

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// What stands in the way of judging a walk, and what of it is judged (rules 3.1, 3.3).
func TestWalksThatCannotBeJudged(t *testing.T) {
	const run, walk = pathway.Run, pathway.Walk
	calm := inPieces(piece{600, 120})
	for _, c := range []struct {
		why    string
		blocks []Block // the last is asked about
		rates  []int16
		easy   Ceilings
		state  State
		reason Reason
		valid  int
	}{
		{"a walk after a run", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 180}}, calm, at(135), Settled, NoReason, 120},
		{"the warm-up follows no run", []Block{{Kind: walk, Planned: 120, Start: 0, End: 120}}, calm, at(135), NotAssessable, FollowsNoRun, 120},
		{"a cool-down after a walk follows no run either", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 60, Start: 60, End: 120}, {Kind: walk, Planned: 240, Start: 120, End: 360}}, calm, at(135), NotAssessable, FollowsNoRun, 240},
		{"nor does a walk whose run was left out", []Block{{Kind: run, Planned: 60, Start: 60, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 180}}, calm, at(135), NotAssessable, FollowsNoRun, 120},
		{"a walk left out", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 60}}, calm, at(135), NotAssessable, NotDone, 0},
		{"a walk left out is that first, whatever it follows", []Block{{Kind: walk, Planned: 120, Start: 0, End: 0}}, calm, at(135), NotAssessable, NotDone, 0},
		{"before the recording", []Block{{Kind: run, Planned: 60, Start: -180, End: -120}, {Kind: walk, Planned: 120, Start: -120, End: 0}}, calm, at(135), NotAssessable, NotRecorded, 0},
		{"one second of it inside", []Block{{Kind: run, Planned: 60, Start: -180, End: -119}, {Kind: walk, Planned: 120, Start: -119, End: 1}}, calm, at(135), NotAssessable, TooLittle, 1},
		{"after the recording", []Block{{Kind: run, Planned: 60, Start: 540, End: 600}, {Kind: walk, Planned: 120, Start: 600, End: 720}}, calm, at(135), NotAssessable, NotRecorded, 0},
		{"its last second", []Block{{Kind: run, Planned: 60, Start: 540, End: 599}, {Kind: walk, Planned: 120, Start: 599, End: 719}}, calm, at(135), NotAssessable, TooLittle, 1},
		{"30 s are judged", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 30, Start: 60, End: 90}}, calm, at(135), Settled, NoReason, 30},
		{"29 s are not", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 89}}, calm, at(135), NotAssessable, TooShort, 29},
		{"nor 29 s of a plan, however long it took", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 29, Start: 60, End: 189}}, calm, at(135), NotAssessable, TooShort, 29},
		{"without a ceiling", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 180}}, calm, Ceilings{}, NotAssessable, NoCeiling, 120},
		{"a run cut short to a second is a run", []Block{{Kind: run, Planned: 60, Start: 0, End: 1}, {Kind: walk, Planned: 120, Start: 1, End: 121}}, calm, at(135), Settled, NoReason, 120},
		{"no recording at all", []Block{{Kind: run, Planned: 60, Start: 0, End: 60}, {Kind: walk, Planned: 120, Start: 60, End: 180}}, nil, at(135), NotAssessable, NotRecorded, 0},
	} {
		judge(c.blocks, c.rates, c.easy)
		b := c.blocks[len(c.blocks)-1]
		require.Equal(t, c.state, b.State, c.why)
		require.Equal(t, c.reason, b.Reason, c.why)
		require.Equal(t, c.valid, b.Valid, c.why)
		if c.reason == FollowsNoRun || c.reason == NoCeiling {
			require.Zero(t, b.Easy+b.EasyLow+b.EasyHigh, c.why)
			require.Equal(t, None, b.Settle, c.why)
		}
	}
}

// Evidence, section 19.9: the window of a walk must not reach into the next run, and a
// long cool-down must not make up for what was planned.
func TestAWalkIsJudgedWithinWhatWasPlannedAndDone(t *testing.T) {
	hard, easy := piece{180, 150}, piece{600, 120}
	rates := append(inPieces(piece{60, 160}), inPieces(hard, easy)...)
	b := []Block{{Kind: pathway.Run, Planned: 60, Start: 0, End: 60}, {Kind: pathway.Walk, Planned: 180, Start: 60, End: 840}}
	judge(b, rates, at(135))
	require.Equal(t, NotSettled, b[1].State, "ten minutes of walking on are not the walk")
	require.Equal(t, [2]int{180, 0}, [2]int{b[1].Valid, b[1].Easy})

	rates = inPieces(piece{60, 160}, piece{40, 150}, piece{50, 120}, piece{90, 160})
	b = []Block{{Kind: pathway.Run, Planned: 60, Start: 0, End: 60}, {Kind: pathway.Walk, Planned: 180, Start: 60, End: 150}, {Kind: pathway.Run, Planned: 90, Start: 150, End: 240}}
	judge(b, rates, at(135))
	require.Equal(t, Settled, b[1].State, "the next run is not the walk, though it was planned longer")
	require.Equal(t, [2]int{90, 50}, [2]int{b[1].Valid, b[1].Easy})
}

func TestEasyAtThreeCeilings(t *testing.T) {
	rates := inPieces(piece{60, 160}, piece{30, 141}, piece{30, 140}, piece{30, 136}, piece{10, 135}, piece{50, 131}, piece{30, 130})
	b := walkOf(rates, 60, 180, at(135))
	require.Equal(t, [3]int{30, 90, 150}, [3]int{b.EasyLow, b.Easy, b.EasyHigh}, "at or under 130, 135 and 140")
}

func TestSettle(t *testing.T) {
	for _, c := range []struct {
		why    string
		walk   []int16
		settle int
	}{
		{"at once", inPieces(piece{120, 120}), 0},
		{"ten in a row", inPieces(piece{30, 150}, piece{10, 135}, piece{80, 150}), 30},
		{"nine are not", inPieces(piece{30, 150}, piece{9, 135}, piece{81, 150}), None},
		{"the row begins anew above the ceiling", inPieces(piece{30, 150}, piece{9, 135}, piece{1, 136}, piece{80, 135}), 40},
		{"and where nothing is known", inPieces(piece{30, 150}, piece{9, 135}, piece{1, 0}, piece{80, 135}), 40},
		{"the last ten seconds", inPieces(piece{110, 150}, piece{10, 135}), 110},
		{"the run after it does not help", inPieces(piece{111, 150}, piece{20, 135}), None},
		{"never", inPieces(piece{120, 136}), None},
	} {
		require.Equal(t, c.settle, walkOf(append(inPieces(piece{60, 160}), c.walk...), 60, 120, at(135)).Settle, c.why)
	}
	require.Equal(t, 40, walkOf(inPieces(piece{80, 120}), -40, 120, at(135)).Settle, "from the start of the walk, though the recording began later")
}

// Rule 5.2: hard seconds are those after the first minute of a run.
func TestHardSecondsOfARun(t *testing.T) {
	hard := Ceilings{Hard: 160, HardLow: 155, HardHigh: 165}
	for _, c := range []struct {
		why   string
		rates []int16
		c     Ceilings
		want  [4]int // valid, hard, low, high
	}{
		{"the first minute does not count", inPieces(piece{60, 180}, piece{60, 150}), hard, [4]int{60, 0, 0, 0}},
		{"the first second after it does", inPieces(piece{61, 180}, piece{59, 150}), hard, [4]int{60, 1, 1, 1}},
		{"the ceiling itself is not above it", inPieces(piece{60, 180}, piece{20, 155}, piece{20, 160}, piece{20, 165}), hard, [4]int{60, 20, 40, 0}},
		{"a beat more is", inPieces(piece{60, 180}, piece{20, 156}, piece{20, 161}, piece{20, 166}), hard, [4]int{60, 40, 60, 20}},
		{"dropouts are not", inPieces(piece{60, 180}, piece{40, 0}, piece{20, 170}), hard, [4]int{20, 20, 20, 20}},
		{"what was not recorded is not", inPieces(piece{60, 180}, piece{30, 170}), hard, [4]int{30, 30, 30, 30}},
		{"without a ceiling nothing is hard", inPieces(piece{120, 180}), Ceilings{Easy: 135}, [4]int{60, 0, 0, 0}},
	} {
		b := []Block{{Kind: pathway.Run, Planned: 120, Start: 0, End: 120}}
		judge(b, c.rates, c.c)
		require.Equal(t, c.want, [4]int{b[0].HardValid, b[0].Hard, b[0].HardLow, b[0].HardHigh}, c.why)
		require.Equal(t, [2]int{None, None}, [2]int{b[0].Settle, b[0].Drop}, c.why)
		require.Equal(t, NoState, b[0].State, c.why)
	}
	b := []Block{{Kind: pathway.Run, Planned: 120, Start: 0, End: 50}}
	judge(b, inPieces(piece{120, 180}), hard)
	require.Zero(t, b[0].HardValid, "a run of 50 s has no second after its first minute")
	require.Equal(t, 50, b[0].Valid)
}

// Evidence, section 1: an observed maximum must be held for five to ten seconds, not
// at the start of a session, and not be that of the steps (judgement there).
func TestPeak(t *testing.T) {
	start := inPieces(piece{180, 100})
	for _, c := range []struct {
		why   string
		rates []int16
		steps []int16
		peak  int
	}{
		{"nothing", nil, nil, 0},
		{"ten seconds", joined(start, inPieces(piece{10, 171}, piece{100, 120})), nil, 171},
		{"nine are too few", joined(start, inPieces(piece{9, 171}, piece{100, 120})), nil, 120},
		{"the lowest of ten", joined(start, inPieces(piece{5, 171}, piece{5, 168})), nil, 168},
		{"a second without breaks them", joined(start, inPieces(piece{9, 171}, piece{1, 0}, piece{9, 171})), nil, 0},
		{"nine seconds after the start are no recording", joined(start, inPieces(piece{9, 171})), nil, 0},
		{"a strap that is still dry may tell anything", inPieces(piece{180, 210}, piece{60, 120}), nil, 120},
		{"also ten seconds of which one is too early", inPieces(piece{179, 100}, piece{10, 210}, piece{60, 120}), nil, 120},
		{"steps are no beats", joined(start, inPieces(piece{60, 171}, piece{20, 150})), inPieces(piece{300, 168}), 150},
		{"nor is a second of them among ten", joined(start, inPieces(piece{10, 171}, piece{20, 150})), inPieces(piece{180, 0}, piece{1, 168}, piece{100, 0}), 150},
		{"six beats from the steps it is a heart's own", joined(start, inPieces(piece{60, 174}, piece{20, 150})), inPieces(piece{300, 168}), 174},
	} {
		require.Equal(t, c.peak, courseOf(c.rates, c.steps[:min(len(c.steps), len(c.rates))]).peak(), c.why)
	}
}

// Evidence, section 19.10: one spike is no new maximum.
func TestASpikeIsNoPeak(t *testing.T) {
	calm := walking(300, 150)
	for why, wrong := range map[string][]int16{
		"two seconds":         inPieces(piece{2, 210}),
		"six":                 inPieces(piece{6, 210}),
		"a lock":              walking(60, 178),
		"what is no rate":     inPieces(piece{30, 255}),
		"stuck after a leap":  inPieces(piece{60, 190}),
		"a strap that flaps":  wildly(40, 160, 40),
		"two spikes, a break": inPieces(piece{3, 220}, piece{20, 0}, piece{3, 220}),
	} {
		course := courseOf(joined(calm, wrong, calm), nil)
		course.clean()
		require.InDelta(t, 150, course.peak(), 1, why)
	}
}

func TestCoverage(t *testing.T) {
	blocks := []Block{{Start: -50, End: 50}, {Start: 50, End: 150}}
	require.InDelta(t, 0.75, coverage(blocks, inPieces(piece{75, 120}, piece{25, 0})), 1e-9, "100 s of the plan lie inside")
	require.Zero(t, coverage([]Block{{Start: -50, End: 0}}, inPieces(piece{75, 120})), "nothing inside")
	require.InDelta(t, 1, coverage([]Block{{Start: 10, End: 20}}, inPieces(piece{10, 0}, piece{10, 120}, piece{60, 0})), 1e-9, "what lies beside the plan is not asked about")
}
