package pathway_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// The table of the rule book, in its own notation: id, stage, blocks, run
// minutes, half step before it, and whether rule 9.5 would compute the same half
// step if the phase carried none.
var table = []struct {
	id, stage, blocks, run, half string
	computed                     bool
}{
	{"B1", pathway.WalkingBase, "walk 15:00", "0", "–", true},
	{"B2", pathway.WalkingBase, "walk 20:00", "0", "walk 17:30", true},
	{"B3", pathway.WalkingBase, "walk 25:00", "0", "walk 22:30", true},
	{"B4", pathway.WalkingBase, "walk 30:00", "0", "walk 27:30", true},
	{"L1", pathway.WalkLed, "6 × (run 1:00, walk 4:00)", "6", "6 × (0:30, 4:30)", false},
	{"L2", pathway.WalkLed, "6 × (run 1:30, walk 3:30)", "9", "6 × (1:15, 3:45)", true},
	{"L3", pathway.WalkLed, "6 × (run 2:00, walk 3:00)", "12", "6 × (1:45, 3:15)", true},
	{"L4", pathway.WalkLed, "5 × (run 2:45, walk 3:15)", "13:45", "6 × (2:15, 2:45)", false},
	{"R1", pathway.RunLed, "5 × (run 3:15, walk 2:45)", "16:15", "5 × (3:00, 3:00)", true},
	{"R2", pathway.RunLed, "5 × (run 3:45, walk 2:15)", "18:45", "5 × (3:30, 2:30)", true},
	{"R3", pathway.RunLed, "4 × (run 5:15, walk 2:15)", "21", "4 × (4:45, 2:45)", false},
	{"R4", pathway.RunLed, "3 × (run 7:45, walk 2:15)", "23:15", "3 × (7:15, 2:45)", false},
	{"R5", pathway.RunLed, "2 × (run 12:30, walk 2:30)", "25", "run 10:00, walk 2:45, run 10:00, walk 2:45, run 4:30", false},
	{"R6", pathway.RunLed, "run 20:00, walk 2:30, run 7:30", "27:30", "run 16:00, walk 3:00, run 11:00", false},
	{"R7", pathway.RunLed, "run 30:00", "30", "run 25:00, walk 2:00, run 3:00", false},
}

func TestDefaultIsTheTableOfTheRuleBookToTheSecond(t *testing.T) {
	p := pathway.Default()
	require.Len(t, p.Phases, len(table))
	for i, row := range table {
		phase := p.Phases[i]
		require.Equal(t, row.id, phase.ID)
		require.Equal(t, row.stage, phase.Stage, row.id)
		require.Equal(t, plan(row.blocks), phase.Blocks, row.id)
		require.Equal(t, clock(row.run), pathway.SecondsOf(pathway.Run, phase.Blocks), row.id)
		require.Equal(t, plan(row.half), p.HalfStep(i), row.id)
	}
	require.Empty(t, p.Check())
}

func TestDefaultIsMadeAnewEachTime(t *testing.T) {
	pathway.Default().Phases[0].Blocks[0].Planned = 1
	require.Equal(t, 900, pathway.Default().Phases[0].Blocks[0].Planned)
}

func TestRunTimeRisesByOneAndThreeQuartersToThreeMinutes(t *testing.T) {
	p := pathway.Default()
	for i := 1; i < len(p.Phases); i++ {
		before := pathway.SecondsOf(pathway.Run, p.Phases[i-1].Blocks)
		if before == 0 {
			continue // from walking to L1 is the first run at all
		}
		rise := pathway.SecondsOf(pathway.Run, p.Phases[i].Blocks) - before
		require.GreaterOrEqual(t, rise, clock("1:45"), p.Phases[i].ID)
		require.LessOrEqual(t, rise, clock("3"), p.Phases[i].ID)
	}
}

func TestHalfStepsLieBetweenTheirPhases(t *testing.T) {
	p := pathway.Default()
	for i := 1; i < len(p.Phases); i++ {
		kind := pathway.Run
		if !pathway.HasRun(p.Phases[i].Blocks) {
			kind = pathway.Walk
		}
		half := pathway.SecondsOf(kind, p.HalfStep(i))
		require.Greater(t, half, pathway.SecondsOf(kind, p.Phases[i-1].Blocks), p.Phases[i].ID)
		require.Less(t, half, pathway.SecondsOf(kind, p.Phases[i].Blocks), p.Phases[i].ID)
	}
}

func TestSessionsWithRunsTakeHalfAnHour(t *testing.T) {
	p := pathway.Default()
	for i, phase := range p.Phases {
		if !pathway.HasRun(phase.Blocks) {
			continue
		}
		require.Equal(t, clock("30"), pathway.Seconds(phase.Blocks), phase.ID)
		require.Equal(t, clock("30"), pathway.Seconds(p.HalfStep(i)), phase.ID+"-")
	}
}

// Which half steps of the table the computing rule of 9.5 gives by itself, so
// that one is spelled out only where it must be.
func TestComputedHalfStepsOfTheDefault(t *testing.T) {
	for i, row := range table {
		p := pathway.Default()
		p.Phases[i].Half = nil
		if row.computed {
			require.Equal(t, plan(row.half), p.HalfStep(i), row.id)
		} else {
			require.NotEqual(t, plan(row.half), p.HalfStep(i), row.id)
		}
	}
	for id, want := range map[string]string{
		"L1": "–",                         // out of a single walk
		"L4": "5 × (run 2:30, walk 3:30)", // half-way 2:22½, rounded up to 15 s
		"R3": "–",                         // four runs of 4:30 are 18 min, under R2's 18:45
		"R4": "–",                         // three of 6:30 are 19:30, under R3's 21
		"R5": "–",                         // two of 10:15 are 20:30, under R4's 23:15
		"R6": "–",                         // no repeats
		"R7": "–",                         // a single run after a session of three blocks
	} {
		p := pathway.Default()
		i := p.Find(id).Phase()
		p.Phases[i].Half = nil
		require.Equal(t, plan(want), p.HalfStep(i), id)
	}
}
