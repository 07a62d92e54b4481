package calendar

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
)

var (
	monday = day.On(2026, time.April, 13)
	early  = time.Date(2026, time.April, 12, 8, 0, 0, 0, time.UTC)
	later  = early.Add(time.Hour)
)

// run is one on a day of the week, from Monday as 0, at seven.
func run(on int) Entry {
	d := monday + day.Date(on)
	return Entry{Week: monday, Kind: "run", On: d, Start: d.UTC().Add(7 * time.Hour), Minutes: 40, Summary: "Run and walk"}
}

func off(e Entry) Entry { e.Off = true; return e }

// told are slot, day from Monday and sequence of each event, and whether it is off.
type told struct {
	slot     string
	on       int
	sequence int
	off      bool
}

func tell(events []Event) (all []told) {
	for _, e := range events {
		all = append(all, told{e.slot[len("2026-04-13-"):], int(e.On - monday), e.Sequence, e.Off})
	}
	return all
}

func TestWhatBecomesOfEvents(t *testing.T) {
	strength := run(2)
	strength.Kind = "strength"
	longer := run(3)
	longer.Minutes = 45
	anyTime := run(3)
	anyTime.Start = time.Time{}
	reworded := run(3)
	reworded.Summary = "Easy walk"
	silent := Entry{Week: monday, Kind: "run", Silent: true}
	for _, k := range []struct {
		why          string
		before, then []Entry
		want         []told
	}{
		{"the same stays the same", []Entry{run(1), run(3)}, []Entry{run(1), run(3)}, []told{{"run-1", 1, 0, false}, {"run-2", 3, 0, false}}},
		{"one that moved is the same one", []Entry{run(1), run(3)}, []Entry{run(3), run(5)}, []told{{"run-2", 3, 0, false}, {"run-1", 5, 1, false}}},
		{"one longer", []Entry{run(3)}, []Entry{longer}, []told{{"run-1", 3, 1, false}}},
		{"one at any time now", []Entry{run(3)}, []Entry{anyTime}, []told{{"run-1", 3, 1, false}}},
		{"words alone change no time", []Entry{run(3)}, []Entry{reworded}, []told{{"run-1", 3, 0, false}}},
		{"one that is not needed is struck out", []Entry{run(1), run(3)}, []Entry{run(1)}, []told{{"run-1", 1, 0, false}, {"run-2", 3, 1, true}}},
		{"one that was let go", []Entry{run(1)}, []Entry{off(run(1))}, []told{{"run-1", 1, 1, true}}},
		{"where the week is silent nothing is left", []Entry{run(1), run(3)}, []Entry{silent, run(1)}, []told{{"run-1", 1, 0, false}}},
		{"another kind is another event", []Entry{run(2)}, []Entry{run(2), strength}, []told{{"run-1", 2, 0, false}, {"strength-1", 2, 0, false}}},
		{"one more", []Entry{run(1)}, []Entry{run(1), run(4)}, []told{{"run-1", 1, 0, false}, {"run-2", 4, 0, false}}},
	} {
		kept, _ := merge(nil, k.before, early)
		_, events := merge(kept, k.then, later)
		require.Equal(t, k.want, tell(events), k.why)
	}
}

func TestAnEventComesBackUnderItsName(t *testing.T) {
	kept, _ := merge(nil, []Entry{run(1), run(3)}, early)
	kept, events := merge(kept, []Entry{{Week: monday, Kind: "run", Silent: true}}, later)
	require.Empty(t, events)
	kept, events = merge(kept, []Entry{run(3), run(5)}, later.Add(time.Hour))
	require.Equal(t, []told{{"run-1", 3, 2, false}, {"run-2", 5, 2, false}}, tell(events), "higher than what any program has seen")
	require.Len(t, kept, 2)
}

func TestChangedSaysWhen(t *testing.T) {
	kept, events := merge(nil, []Entry{run(1), run(3)}, early)
	require.Equal(t, early, events[0].Changed)
	reworded := run(1)
	reworded.Description = "With the early birds."
	_, events = merge(kept, []Entry{reworded, run(3)}, later)
	require.Equal(t, later, events[0].Changed)
	require.Equal(t, early, events[1].Changed, "so that the same calendar is the same bytes")
}

// Whatever is wanted one after the other: names are unlike, no number ever falls, and a
// number stays only where the time and the state do.
func TestNumbersOnlyGrow(t *testing.T) {
	days := rapid.SliceOfNDistinct(rapid.IntRange(0, 6), 0, 4, func(n int) int { return n })
	rapid.Check(t, func(r *rapid.T) {
		var kept []Kept
		seen := map[string]Event{}
		for step := range rapid.IntRange(1, 8).Draw(r, "steps") {
			var wanted []Entry
			for _, n := range days.Draw(r, "days") {
				e := run(n)
				e.Off = rapid.IntRange(0, 5).Draw(r, "off") == 0
				wanted = append(wanted, e)
			}
			if rapid.IntRange(0, 4).Draw(r, "silent") == 0 {
				wanted = append(wanted, Entry{Week: monday, Kind: "run", Silent: true})
			}
			var events []Event
			kept, events = merge(kept, wanted, early.Add(time.Duration(step)*time.Hour))
			names := map[string]bool{}
			live := 0
			for _, e := range events {
				require.False(r, names[e.slot])
				names[e.slot] = true
				if old, there := seen[e.slot]; there {
					require.GreaterOrEqual(r, e.Sequence, old.Sequence)
					if e.Sequence == old.Sequence {
						require.True(r, e.Start.Equal(old.Start))
						require.Equal(r, old.Off, e.Off)
					}
				}
				seen[e.slot] = e
				if !e.Off {
					live++
				}
			}
			require.Equal(r, len(slices.DeleteFunc(wanted, func(e Entry) bool { return e.Off || e.Silent })), live, "all that is wanted is there")
		}
	})
}
