package pathway_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

func TestFindKnowsPhasesAndHalfSteps(t *testing.T) {
	p := pathway.Default()
	for id, want := range map[string]pathway.Rung{
		"B1": 0, "B2": 2, "B2-": 1, "L1": 8, "L1-": 7, "R7": 28, "R7-": 27,
		"B1-": pathway.NoRung, "": pathway.NoRung, "-": pathway.NoRung, "l1": pathway.NoRung,
		"L1--": pathway.NoRung, "L": pathway.NoRung, "L11": pathway.NoRung, " L1": pathway.NoRung,
	} {
		require.Equal(t, want, p.Find(id), "%q", id)
	}
	require.Equal(t, pathway.Rung(28), p.Last())
}

// Rule 10.2: one back from a half step is the phase below it.
func TestBelowCountsPhases(t *testing.T) {
	p := pathway.Default()
	for _, c := range []struct {
		from string
		n    int
		want string
	}{
		{"L3", 0, "L3"}, {"L3", 1, "L2"}, {"L3", 2, "L1"}, {"L1", 1, "B4"},
		{"L3-", 1, "L2"}, {"L3-", 2, "L1"}, {"B2-", 1, "B1"},
	} {
		require.Equal(t, p.Find(c.want), p.Find(c.from).Below(c.n), "%d below %s", c.n, c.from)
	}
	require.Less(t, p.Find("B1").Below(1), pathway.RungOf(0), "it may lie under the first phase")
	require.Less(t, p.Find("B2").Below(2), pathway.RungOf(0))
}

func TestRungsSayWhichPhaseTheyBelongTo(t *testing.T) {
	p := pathway.Default()
	for _, c := range []struct {
		id    string
		phase int
		half  bool
	}{{"B1", 0, false}, {"B2-", 1, true}, {"B2", 1, false}, {"R7-", 14, true}, {"R7", 14, false}} {
		r := p.Find(c.id)
		require.Equal(t, c.phase, r.Phase(), c.id)
		require.Equal(t, c.half, r.Half(), c.id)
	}
}

func TestStages(t *testing.T) {
	p := pathway.Default()
	for _, c := range []struct {
		id, start  string
		number, of int
	}{
		{"B1", "B1", 1, 4}, {"B4", "B1", 4, 4}, {"L1", "L1", 1, 4}, {"L1-", "L1", 1, 4},
		{"L3-", "L1", 3, 4}, {"L4", "L1", 4, 4}, {"R1", "R1", 1, 7}, {"R7", "R1", 7, 7},
	} {
		r := p.Find(c.id)
		require.Equal(t, p.Find(c.start), p.StageStart(r), c.id)
		number, of := p.InStage(r)
		require.Equal(t, [2]int{c.number, c.of}, [2]int{number, of}, c.id)
	}
}

func TestSecondsAndRuns(t *testing.T) {
	mixed := plan("walk 5:00, run 10:00, walk 2:45, run 4:30, walk 5:00")
	require.Equal(t, clock("27:15"), pathway.Seconds(mixed))
	require.Equal(t, clock("14:30"), pathway.SecondsOf(pathway.Run, mixed))
	require.Equal(t, clock("12:45"), pathway.SecondsOf(pathway.Walk, mixed))
	require.Equal(t, clock("10"), pathway.LongestRun(mixed))
	require.True(t, pathway.HasRun(mixed))
	require.Equal(t, 2, pathway.WalksAfterRun(mixed), "a warm-up is not judged")
	walk := plan("walk 15:00")
	require.False(t, pathway.HasRun(walk))
	require.Zero(t, pathway.LongestRun(walk))
	require.Zero(t, pathway.WalksAfterRun(walk))
	require.Zero(t, pathway.Seconds(nil))
}

// Rule 3.6: in R5 and R6 fewer than three walks follow a run, in R7 none.
func TestWalksThatCanBeJudged(t *testing.T) {
	p := pathway.Default()
	for id, want := range map[string]int{"B4": 0, "L1": 6, "L4": 5, "R3": 4, "R4": 3, "R5": 2, "R6": 1, "R7": 0, "R5-": 2, "R7-": 1} {
		require.Equal(t, want, pathway.WalksAfterRun(p.Blocks(p.Find(id))), id)
	}
}

func TestSessionsInWords(t *testing.T) {
	for text, want := range map[string]string{
		"6 × (2:00, 3:00)":               "run 2 min, walk 3 min, six times",
		"2 × (12:30, 2:30)":              "run 12 min 30, walk 2 min 30, twice",
		"1 × (0:45, 0:15)":               "run 45 s, walk 15 s",
		"walk 15:00":                     "walk 15 min",
		"run 20:00, walk 2:30, run 7:30": "run 20 min, walk 2 min 30, run 7 min 30",
		"13 × (1:00, 1:00)":              "run 1 min, walk 1 min, 13 times",
		"walk 5:00, run 1:05":            "walk 5 min, run 1 min 05",
	} {
		require.Equal(t, want, pathway.Words(plan(text)))
	}
	require.Empty(t, pathway.Words(nil))
	require.Equal(t, "no", pathway.Number(0))
	require.Equal(t, "twelve", pathway.Number(12))
	require.Equal(t, "13", pathway.Number(13))
	require.Equal(t, "-1", pathway.Number(-1))
	require.Equal(t, "0 s", pathway.Time(0))
	require.Equal(t, "120 min", pathway.Time(7200))
	require.Equal(t, "run", pathway.Run.String())
	require.Equal(t, "walk", pathway.Walk.String())
}

func TestCheckSaysWhatIsWrongAndWhere(t *testing.T) {
	places := func(p *pathway.Pathway) (places []string) {
		for _, f := range p.Check() {
			require.NotEmpty(t, f.Message, f.Place)
			places = append(places, f.Place)
		}
		return places
	}
	require.Equal(t, []string{"phases"}, places(&pathway.Pathway{}))
	good := plan("run 1:00, walk 1:00")
	p := &pathway.Pathway{Phases: []pathway.Phase{
		{ID: "", Blocks: good},
		{ID: "a-", Blocks: good},
		{ID: "a", Blocks: nil},
		{ID: "a", Blocks: []pathway.Block{{Kind: pathway.Run, Planned: 0}, {Kind: pathway.Walk, Planned: 7201}, {Kind: pathway.Run, Planned: 7200}}},
		{ID: "b", Blocks: good, Half: []pathway.Block{{Kind: pathway.Run, Planned: 1}, {Kind: pathway.Walk, Planned: -1}}},
	}}
	require.Equal(t, []string{
		"phases[0].id", "phases[1].id", "phases[2].blocks", "phases[3].id",
		"phases[3].blocks[0].planned_s", "phases[3].blocks[1].planned_s", "phases[4].half[1].planned_s",
	}, places(p))
	require.Contains(t, p.Check()[5].String(), "7201", "the value is told")
}
