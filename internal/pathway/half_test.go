package pathway_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/pathway"
)

// pair is an edited pathway of two phases.
func pair(easier, harder string) *pathway.Pathway {
	return &pathway.Pathway{Phases: []pathway.Phase{
		{ID: "one", Blocks: plan(easier)}, {ID: "two", Blocks: plan(harder)},
	}}
}

func TestComputedHalfSteps(t *testing.T) {
	for _, c := range []struct{ easier, harder, want, why string }{
		{"6 × (1:00, 4:00)", "6 × (1:30, 3:30)", "6 × (1:15, 3:45)", "half-way is a whole quarter of a minute"},
		{"6 × (1:00, 4:00)", "6 × (1:20, 3:40)", "6 × (1:15, 3:45)", "half-way 1:10, rounded up to 15 s"},
		{"5 × (2:00, 4:00)", "5 × (2:31, 3:29)", "5 × (2:30, 3:30)", "half-way 2:15½ is rounded up, not to the nearest"},
		{"6 × (2:00, 3:00)", "5 × (2:45, 3:15)", "5 × (2:30, 3:30)", "the harder one's repeats"},
		{"4 × (3:00, 3:00)", "5 × (3:15, 2:45)", "4 × (3:15, 4:15)", "the easier one's where that would be the harder phase again"},
		{"4 × (2:00, 2:00)", "4 × (3:00, 2:00)", "4 × (2:30, 2:30)", "the walk fills up the longer of the two"},
		{"4 × (2:00, 4:00)", "4 × (3:00, 2:00)", "4 × (2:30, 3:30)", "the longer one may be the easier"},
		{"3 × (2:00, 2:00)", "3 × (3:00, 2:10)", "3 × (2:30, 2:30)", "the walk of 2:40 is rounded down to 15 s"},
		{"3 × (5:00, 3:00)", "2 × (7:31, 3:00)", "–", "two runs of 6:30 are 13 min, under the easier one's 15"},
		{"2 × (5:00, 3:00)", "2 × (5:10, 3:00)", "–", "two runs of 5:15 are more than the harder one's 10:20"},
		{"4 × (5:15, 2:15)", "3 × (7:45, 2:15)", "–", "three runs of 6:30 are under the easier one's 21 min"},
		{"2 × (2:30, 2:30)", "1 × (7:30, 2:30)", "1 × (5:00, 5:00)", "exactly the easier one's run time does not lie outside"},
		{"1 × (40:00, 2:00)", "4 × (12:00, 0:15)", "–", "no time is left for a walk"},
		{"5 × (2:00, 3:00)", "5 × (2:00, 3:00)", "–", "two phases that are the same"},
		{"walk 15:00", "walk 20:00", "walk 17:30", "two walks"},
		{"walk 15:00", "walk 16:50", "walk 15:30", "half-way 15:55, rounded down to 30 s"},
		{"walk 15:00", "walk 15:50", "–", "rounded down it would be the easier one again"},
		{"run 20:00", "run 25:00", "run 22:30", "two runs"},
		{"walk 30:00", "run 30:00", "–", "two single blocks that are not of a kind"},
		{"walk 30:00", "6 × (1:00, 4:00)", "–", "a single block and repeats"},
		{"6 × (1:00, 4:00)", "run 20:00, walk 2:30, run 7:30", "–", "repeats and a session of three blocks"},
		{"run 5:00, walk 2:00, run 4:00, walk 2:00", "3 × (4:00, 2:00)", "–", "runs of different length are no repeats"},
		{"walk 5:00, run 1:00", "6 × (1:00, 4:00)", "–", "repeats begin with the run"},
	} {
		p := pair(c.easier, c.harder)
		require.Equal(t, plan(c.want), p.HalfStep(1), c.why)
		require.Empty(t, p.HalfStep(0), "nothing lies before the first phase")
	}
}

func TestHalfStepOfOnesOwnStandsAsItIs(t *testing.T) {
	p := pair("6 × (1:00, 4:00)", "6 × (1:30, 3:30)")
	p.Phases[1].Half = plan("run 9:00")
	require.Equal(t, plan("run 9:00"), p.HalfStep(1))
	p.Phases[0].Half = plan("walk 10:00")
	require.Equal(t, plan("walk 10:00"), p.HalfStep(0), "even before the first phase")
}

func repeats(t *rapid.T, name string) (blocks []pathway.Block) {
	n := rapid.IntRange(1, 10).Draw(t, name+" repeats")
	run := rapid.IntRange(1, 1800).Draw(t, name+" run")
	walk := rapid.IntRange(1, 600).Draw(t, name+" walk")
	for range n {
		blocks = append(blocks, pathway.Block{Kind: pathway.Run, Planned: run}, pathway.Block{Kind: pathway.Walk, Planned: walk})
	}
	return blocks
}

func TestComputedHalfStepLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		easier, harder := repeats(t, "easier"), repeats(t, "harder")
		p := &pathway.Pathway{Phases: []pathway.Phase{{ID: "one", Blocks: easier}, {ID: "two", Blocks: harder}}}
		half := p.HalfStep(1)
		if len(half) == 0 {
			return
		}
		run, low, high := pathway.SecondsOf(pathway.Run, half), pathway.SecondsOf(pathway.Run, easier), pathway.SecondsOf(pathway.Run, harder)
		require.GreaterOrEqual(t, run, min(low, high))
		require.LessOrEqual(t, run, max(low, high))
		require.LessOrEqual(t, pathway.Seconds(half), max(pathway.Seconds(easier), pathway.Seconds(harder)))
		require.NotEqual(t, easier, half)
		require.NotEqual(t, harder, half)
		for i, b := range half {
			require.Zero(t, b.Planned%15)
			require.Equal(t, half[i%2], b, "repeats of one run and one walk")
		}
		require.Empty(t, p.Check())
	})
}

func TestHalfStepOfTwoWalksLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		easier := rapid.IntRange(1, pathway.LongestBlock).Draw(t, "easier")
		harder := rapid.IntRange(1, pathway.LongestBlock).Draw(t, "harder")
		p := &pathway.Pathway{Phases: []pathway.Phase{
			{ID: "one", Blocks: []pathway.Block{{Kind: pathway.Walk, Planned: easier}}},
			{ID: "two", Blocks: []pathway.Block{{Kind: pathway.Walk, Planned: harder}}},
		}}
		half := p.HalfStep(1)
		if len(half) == 0 {
			near := easier - harder
			require.Less(t, max(near, -near), 60, "only walks less than a minute apart have none")
			return
		}
		require.Greater(t, half[0].Planned, min(easier, harder))
		require.Less(t, half[0].Planned, max(easier, harder))
		require.Zero(t, half[0].Planned%30)
	})
}

func TestEveryNameFindsItsRung(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &pathway.Pathway{}
		for i := range rapid.IntRange(1, 8).Draw(t, "phases") {
			p.Phases = append(p.Phases, pathway.Phase{ID: fmt.Sprintf("p%d", i), Blocks: repeats(t, "phase")})
		}
		for i, phase := range p.Phases {
			r := p.Find(phase.ID)
			require.Equal(t, pathway.RungOf(i), r)
			require.Equal(t, phase.ID, p.ID(r))
			require.Equal(t, phase.Blocks, p.Blocks(r))
			half := p.Find(phase.ID + "-")
			if len(p.HalfStep(i)) == 0 {
				require.Equal(t, pathway.NoRung, half)
				continue
			}
			require.Equal(t, r-1, half)
			require.Equal(t, phase.ID+"-", p.ID(half))
			require.Equal(t, p.HalfStep(i), p.Blocks(half))
		}
	})
}
