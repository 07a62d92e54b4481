package morning

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// trendSessions is how many sessions a trend shows at most.
const trendSessions = 7

// Trend is how soon the breath came back in the newest sessions that have taps.
type Trend struct {
	Medians []int // seconds, a session each, the oldest first
	Half    int   // seconds: half of a walk of the present phase; 0: it has none after a run
}

// Last is the newest median; ok is false where there is none.
func (t Trend) Last() (seconds int, ok bool) {
	if len(t.Medians) == 0 {
		return 0, false
	}
	return t.Medians[len(t.Medians)-1], true
}

// Falling says that each of the newest three sessions settled sooner than the one
// before it.
func (t Trend) Falling() bool {
	k := len(t.Medians)
	return k >= 3 && t.Medians[k-1] < t.Medians[k-2] && t.Medians[k-2] < t.Medians[k-3]
}

func trend(sessions []roster.Session, asked day.Date, plan []pathway.Block) Trend {
	t := Trend{Half: halfWalk(plan)}
	type point struct {
		s      *roster.Session
		median int
	}
	var newest [trendSessions]point // the newest first
	n := 0
	for i := range sessions {
		s := &sessions[i]
		if s.Date > asked {
			continue
		}
		at := 0
		for at < n && newest[at].s.StartedAt.After(s.StartedAt) {
			at++
		}
		if at == trendSessions {
			continue
		}
		median, ok := Median(s.Blocks)
		if !ok {
			continue
		}
		n = min(n+1, trendSessions)
		copy(newest[at+1:n], newest[at:n-1])
		newest[at] = point{s, median}
	}
	if n == 0 {
		return t
	}
	t.Medians = make([]int, n)
	for i := range t.Medians {
		t.Medians[i] = newest[n-1-i].median
	}
	return t
}

// halfWalk is half of the first walk after a run, in seconds.
func halfWalk(plan []pathway.Block) int {
	for i := 1; i < len(plan); i++ {
		if plan[i].Kind == pathway.Walk && plan[i-1].Kind == pathway.Run {
			return plan[i].Planned / 2
		}
	}
	return 0
}

// Median is the median of the settle times that were tapped, in seconds, rounded
// down; ok is false where there is none.
func Median(blocks []readiness.Block) (seconds int, ok bool) {
	var room [roster.MostBlocks]int
	taps := room[:0]
	for i := range blocks {
		if settle, tapped := blocks[i].Settle.Get(); tapped {
			taps = append(taps, settle)
		}
	}
	if len(taps) == 0 {
		return 0, false
	}
	slices.Sort(taps)
	return (taps[(len(taps)-1)/2] + taps[len(taps)/2]) / 2, true
}
