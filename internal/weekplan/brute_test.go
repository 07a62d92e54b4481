package weekplan_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/weekplan"
)

// monday is the week of most tests.
func monday() day.Date { return day.On(2026, time.June, 8) }

// priced is a placement that may be, with its price and the days it needs.
type priced struct {
	days  uint8
	price []int
}

// daysOf has a bit for each day on which something is placed.
func daysOf(list []session) (days uint8) {
	for _, s := range list {
		days |= 1 << (s.On - monday())
	}
	return days
}

// Every set of days on which somebody can, with every number of runs from two to
// four and of both kinds of strength: of all placements there are, none is better.
func TestNoPlacementIsBetterOnAnyDays(t *testing.T) {
	t.Parallel()
	for sessions := 2; sessions <= 4; sessions++ {
		for legs := range 4 {
			for light := range 4 - legs {
				everyDays(t, weekplan.Week{Monday: monday(), Today: monday() - 3, Sessions: sessions, Legs: legs, Strength: light})
			}
		}
	}
}

func everyDays(t *testing.T, w weekplan.Week) {
	t.Helper()
	var all []priced
	morning := func(day.Date, weekplan.Kind) []weekplan.Part { return []weekplan.Part{weekplan.Morning} }
	every(&w, morning, func(placed []session) {
		if ok, first := allowed(&w, placed); ok {
			all = append(all, priced{daysOf(placed), price(&w, placed, first)})
		}
	})
	slices.SortFunc(all, func(a, b priced) int { return slices.Compare(a.price, b.price) })
	for mask := range 128 {
		for i := range w.Days {
			w.Days[i].Times = weekplan.Times(mask >> i & 1)
		}
		best := slices.IndexFunc(all, func(p priced) bool { return int(p.days)&^mask == 0 })
		plan, err := weekplan.Place(&w)
		require.NoError(t, err)
		ok, first := allowed(&w, plan.Sessions)
		require.True(t, ok, "%07b: %v", mask, plan.Sessions)
		require.Equal(t, all[best].price, price(&w, plan.Sessions, first), "%d %d %d %07b: %v", w.Sessions, w.Legs, w.Strength, mask, plan.Sessions)
		require.Zero(t, int(daysOf(plan.Sessions))&^mask)
	}
}

// Weeks of every kind, half over, with fixed days, things done and planned before,
// and neighbours: again none is better.
func TestNoPlacementIsBetterInAnyWeek(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t, small)
		plan := place(t, w)
		w = withoutStrolls(w)
		ok, first := allowed(&w, plan.Sessions)
		require.True(t, ok, "%+v", plan.Sessions)
		got := price(&w, plan.Sessions, first)
		every(&w, openAt(&w), func(placed []session) {
			if ok, first := allowed(&w, placed); ok {
				other := price(&w, placed, first)
				require.LessOrEqual(t, slices.Compare(got, other), 0, "%v\n%v for %+v\n%v for %+v", w, got, plan.Sessions, other, placed)
			}
		})
	})
}

// openAt are the times at which something may be placed.
func openAt(w *weekplan.Week) func(day.Date, weekplan.Kind) []weekplan.Part {
	return func(d day.Date, k weekplan.Kind) (parts []weekplan.Part) {
		of := w.Days[d-w.Monday]
		if of.Off || d < w.Today {
			return nil
		}
		for p := weekplan.Morning; p <= weekplan.Evening; p++ {
			if goneBy(w, d, p) {
				continue
			}
			own := slices.ContainsFunc(w.Pins, func(f weekplan.Pin) bool { return opens(w, f, d, k, p) })
			if of.Times.Has(p) || own {
				parts = append(parts, p)
			}
		}
		return parts
	}
}

// opens says whether an athlete's fixed day makes a time good that was not.
func opens(w *weekplan.Week, f weekplan.Pin, d day.Date, k weekplan.Kind, p weekplan.Part) bool {
	if f.By != weekplan.ByAthlete || f.On != d {
		return false
	}
	if !sameThing(f.Kind)(session{Kind: k}) || goneBy(w, d, f.Part) {
		return false
	}
	if f.Part != weekplan.Any {
		return f.Part == p
	}
	for q := weekplan.Morning; q <= weekplan.Evening; q++ {
		if w.Days[d-w.Monday].Times.Has(q) && !goneBy(w, d, q) {
			return false
		}
	}
	return true
}

// size says how much is drawn.
type size struct{ open, times int }

var (
	small = size{open: 4, times: 2} // as many open days and times as every placement can be made of
	large = size{open: 7, times: 3}
)

// drawn is a week of any kind in which nobody insists.
func drawn(t *rapid.T, of size) weekplan.Week {
	w := weekplan.Week{
		Monday:   monday(),
		Today:    monday() + day.Date(rapid.IntRange(-2, 7).Draw(t, "today")),
		Kind:     rapid.SampledFrom([]weekplan.Kind{weekplan.Run, weekplan.Run, weekplan.Run, weekplan.Walk}).Draw(t, "kind"),
		Sessions: rapid.IntRange(0, 6).Draw(t, "sessions"),
		HardRuns: rapid.IntRange(0, 4).Draw(t, "hard") == 0,
		Legs:     rapid.IntRange(0, 3).Draw(t, "legs"),
		Now:      weekplan.Part(rapid.IntRange(0, 3).Draw(t, "now")),
	}
	w.Strength = rapid.IntRange(0, 3-w.Legs).Draw(t, "strength")
	for range of.open {
		w.Days[rapid.IntRange(0, 6).Draw(t, "open")].Times |= 1 << rapid.IntRange(0, 2).Draw(t, "part")
	}
	for range rapid.IntRange(0, of.times).Draw(t, "more") {
		w.Days[rapid.IntRange(0, 6).Draw(t, "again")].Times |= weekplan.Times(rapid.IntRange(0, 7).Draw(t, "parts"))
	}
	if of == small && opened(&w) > 6 {
		t.Skip("too many placements")
	}
	for i := range w.Days {
		w.Days[i].Off = rapid.IntRange(0, 9).Draw(t, "off") == 0
	}
	for range rapid.IntRange(0, 3).Draw(t, "pins") {
		w.Pins = append(w.Pins, weekplan.Pin{
			Kind: weekplan.Kind(rapid.IntRange(0, 3).Draw(t, "pinned")), On: monday() + day.Date(rapid.IntRange(-1, 7).Draw(t, "on")),
			Part: weekplan.Part(rapid.IntRange(0, 3).Draw(t, "at")), By: weekplan.By(rapid.IntRange(0, 2).Draw(t, "by")),
		})
	}
	if until := min(int(w.Today-w.Monday), 6); until >= 0 {
		w.Done = drawnSessions(t, "done", 4, 0, until)
	}
	if rapid.Bool().Draw(t, "neighbours") {
		w.Around = slices.Concat(drawnSessions(t, "before", 2, -2, -1), drawnSessions(t, "after", 2, 7, 8))
	}
	w.Present = drawnSessions(t, "present", 6, 0, 6)
	w.Usual = drawnSessions(t, "usual", 4, -7, -1)
	return w
}

// opened counts open times.
func opened(w *weekplan.Week) (n int) {
	for _, d := range w.Days {
		for p := weekplan.Morning; p <= weekplan.Evening; p++ {
			if d.Times.Has(p) {
				n++
			}
		}
	}
	return n
}

func drawnSessions(t *rapid.T, label string, most, from, to int) []session {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) session {
		s := session{
			Kind: weekplan.Kind(rapid.IntRange(0, 4).Draw(t, "kind")), On: monday() + day.Date(rapid.IntRange(from, to).Draw(t, "on")),
			Part: weekplan.Part(rapid.IntRange(0, 3).Draw(t, "part")),
		}
		s.Hard = rapid.IntRange(0, 4).Draw(t, "hard") == 0
		s.Extra = rapid.IntRange(0, 4).Draw(t, "extra") == 0
		return s
	}), 0, most).Draw(t, label)
}
