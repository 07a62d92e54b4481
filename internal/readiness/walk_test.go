package readiness_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// beat is what a recording showed: valid seconds, and those under the ceiling.
func beat(valid, seconds, low, high int) readiness.Heart {
	return readiness.Heart{
		Valid: readiness.Some(valid), Seconds: readiness.Some(seconds), Low: readiness.Some(low), High: readiness.Some(high),
	}
}

// Walks says of each walk what the rules make of it, by breath, by heart and
// together (rules 3.1 to 3.5).
func TestWalks(t *testing.T) {
	const met, unmet, unknown = readiness.Met, readiness.Unmet, readiness.Unknown
	calm, high := beat(180, 140, 120, 150), beat(180, 20, 10, 30)
	for _, k := range []struct {
		why     string
		planned int32
		heart   readiness.Heart
		breath  readiness.Breath
		settle  readiness.Maybe
		off     bool // heart rate is not usable
		hot     bool
		want    readiness.WalkState
	}{
		{"breath alone", 180, readiness.Heart{}, readiness.Early, readiness.Maybe{}, false, false, readiness.WalkState{Breath: met, Heart: unknown, Both: met}},
		{"heart alone", 180, calm, readiness.BreathNotAsked, readiness.Maybe{}, false, false, readiness.WalkState{Breath: unknown, Heart: met, Both: met}},
		{"a tap before half", 180, readiness.Heart{}, readiness.BreathNotAsked, readiness.Some(89), false, false, readiness.WalkState{Breath: met, Heart: unknown, Both: met}},
		{"a tap at half", 180, readiness.Heart{}, readiness.Early, readiness.Some(90), false, false, readiness.WalkState{Breath: unmet, Heart: unknown, Both: unmet}},
		{"breath back, heart surely not", 180, high, readiness.Early, readiness.Maybe{}, false, false, readiness.WalkState{Breath: met, Heart: unmet, Both: unknown, Mixed: true}},
		{"heart calm, breath not back", 180, calm, readiness.Late, readiness.Maybe{}, false, false, readiness.WalkState{Breath: unmet, Heart: met, Both: unmet, Mixed: true}},
		{"in a short walk a heart speaks only for", 150, high, readiness.BreathNotAsked, readiness.Maybe{}, false, false, readiness.WalkState{Breath: unknown, Heart: unknown, Both: unknown}},
		{"not surely", 180, beat(180, 91, 80, 100), readiness.BreathNotAsked, readiness.Maybe{}, false, false, readiness.WalkState{Breath: unknown, Heart: unknown, Both: unknown}},
		{"too little recorded", 180, beat(143, 143, 143, 143), readiness.BreathNotAsked, readiness.Maybe{}, false, false, readiness.WalkState{Breath: unknown, Heart: unknown, Both: unknown}},
		{"whose heart rate says nothing", 180, high, readiness.Early, readiness.Maybe{}, true, false, readiness.WalkState{Breath: met, Heart: unknown, Both: met}},
		{"in heat", 180, high, readiness.Early, readiness.Maybe{}, false, true, readiness.WalkState{Breath: met, Heart: unknown, Both: met}},
	} {
		s := readiness.Session{Breath: k.breath, Hot: k.hot, Blocks: []readiness.Block{
			{Kind: pathway.Walk, Planned: 300, Done: 300, Heart: calm},
			{Kind: pathway.Run, Planned: 120, Done: 120},
			{Kind: pathway.Walk, Planned: k.planned, Done: 180, Settle: k.settle, Heart: k.heart},
		}}
		k.want.Block = 2
		require.Equal(t, []readiness.WalkState{k.want}, readiness.Walks(&s, !k.off), k.why)
	}
}

func TestWalksThatAreNotJudged(t *testing.T) {
	s := readiness.Session{Breath: readiness.Early, Blocks: []readiness.Block{
		{Kind: pathway.Walk, Planned: 300, Done: 300},
		{Kind: pathway.Run, Planned: 120, Done: 0},
		{Kind: pathway.Walk, Planned: 180, Done: 180},
		{Kind: pathway.Run, Planned: 120, Done: 120},
		{Kind: pathway.Walk, Planned: 180, Done: 0},
		{Kind: pathway.Walk, Planned: 180, Done: 180},
	}}
	require.Empty(t, readiness.Walks(&s, true), "after nothing run, not walked, after a walk")
	require.Empty(t, readiness.Walks(&readiness.Session{Breath: readiness.Early}, true), "told without blocks")
}

// What the verdict says of rule 9.4: how long, whether a fresh health check is asked
// for and since when, and whether a step back waits for the coach.
func TestTheWayBack(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	asked := day.On(2026, time.April, 14)
	for _, k := range []struct {
		why              string
		phase            string
		runs             []int // days ago
		injured, clear   int   // days ago; 0: none
		days             int
		hurt, check, due bool
		from             int // days ago, with check
	}{
		{why: "thirteen days", phase: "L3", runs: []int{13}, days: 13},
		{why: "fourteen", phase: "L3", runs: []int{14}, days: 14, due: true},
		{why: "55", phase: "L3", runs: []int{55}, days: 55, due: true},
		{why: "56", phase: "L3", runs: []int{56}, days: 56, check: true, due: true},
		{why: "60, begun again yesterday", phase: "L3", runs: []int{61, 1}, days: 60, check: true, due: true, from: 5},
		{why: "60, put back already", phase: "B1", runs: []int{60}, days: 60, check: true, from: 4},
		{why: "injured", phase: "L3", runs: []int{5}, injured: 4, days: 5, hurt: true, check: true, due: true, from: 4},
		{why: "injured and cleared", phase: "L3", runs: []int{5}, injured: 4, clear: 1, days: 5},
		{why: "injured, put back already", phase: "B1", runs: []int{5}, injured: 4, days: 5, hurt: true, check: true, from: 4},
		{why: "never ran", phase: "L3", days: 0},
	} {
		h := readiness.History{AsOf: asked, Place: lisbon, Pathway: pathway.Default(), Phase: k.phase, PhaseSince: asked - 90}
		for _, ago := range k.runs {
			date := asked - day.Date(ago)
			h.Sessions = append(h.Sessions, readiness.Session{
				StartedAt: date.Start(lisbon).Add(7 * time.Hour), Date: date, Kind: readiness.Planned, Phase: "L3",
				Blocks: []readiness.Block{{Kind: pathway.Run, Planned: 120, Done: 120}},
			})
		}
		if k.injured > 0 {
			h.InjuredOn = asked - day.Date(k.injured)
		}
		if k.clear > 0 {
			h.ClearedOn = asked - day.Date(k.clear)
		}
		want := readiness.WayBack{Days: k.days, Injured: k.hurt, Check: k.check, Due: k.due}
		if k.check {
			want.Since = asked - day.Date(k.from)
		}
		v := readiness.Assess(&h)
		require.Equal(t, want, v.WayBack(), k.why)
	}
	require.Zero(t, (&readiness.Verdict{}).WayBack(), "of somebody whose phase is not on the pathway")
}
