package weekplan_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/weekplan"
)

func place(t require.TestingT, w weekplan.Week) weekplan.Plan {
	plan, err := weekplan.Place(&w)
	require.NoError(t, err)
	return plan
}

// held draws a week and lays it out, for what must be so of every plan.
func held(t *testing.T, check func(t *rapid.T, w weekplan.Week, plan weekplan.Plan)) {
	t.Helper()
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w := drawn(t, large)
		plan := place(t, w)
		check(t, withoutStrolls(w), plan)
	})
}

func TestNothingIsPlacedWhereItCannotBe(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		for _, s := range plan.Sessions {
			require.False(t, w.Days[s.On-w.Monday].Off, "a day off")
			require.Contains(t, openAt(&w)(s.On, s.Kind), s.Part)
			require.False(t, s.Extra)
		}
		require.True(t, slices.IsSortedFunc(plan.Sessions, func(a, b session) int {
			return slices.Compare([]int{int(a.On), int(a.Part), int(a.Kind)}, []int{int(b.On), int(b.Part), int(b.Kind)})
		}), "in order, the run before the strength")
	})
}

func TestADayOfRestStays(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		used := map[day.Date]bool{}
		for _, s := range w.Done {
			used[s.On] = true
		}
		before := len(used)
		for _, s := range plan.Sessions {
			used[s.On] = true
		}
		require.True(t, len(used) < 7 || before == 7)
	})
}

// breaches are the clashes that were not there before anything was placed.
func breaches(w *weekplan.Week, placed []session) (rules []string) {
	old := clashes(fixed(w), w.Monday)
	for c := range clashes(slices.Concat(fixed(w), placed), w.Monday) {
		if !old[c] {
			rules = append(rules, c)
		}
	}
	slices.Sort(rules)
	return rules
}

// mayGive says whether the rule may give way without anybody insisting.
func mayGive(r weekplan.Rule) bool { return r == weekplan.RunFirst || r == weekplan.DayBetween }

// The days next to each other: only two easy runs in a row ever, and that once, and
// it is said.
func TestNeighbouringDaysGoTogether(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		var told []string
		for _, c := range plan.Compromises {
			require.True(t, mayGive(c.Rule), c)
			if c.Rule == weekplan.DayBetween {
				require.Equal(t, day.Date(1), max(c.On, c.With)-min(c.On, c.With))
				require.True(t, anyOn(plan.Sessions, c.On, isRun))
				told = append(told, fmt.Sprint(c.Rule, " ", max(c.On, c.With)))
			} else {
				require.Equal(t, c.On, c.With)
			}
		}
		require.Equal(t, breaches(&w, plan.Sessions), told)
		require.LessOrEqual(t, len(told), 1)
	})
}

// All that is asked for is done, placed, or said to have no place, and no more than
// that is placed.
func TestNoSessionIsLostAndNoneIsAdded(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		a := asks(&w)
		without := func(is func(session) bool) (n, gone int) {
			for _, u := range plan.Unplaced {
				if is(session{Kind: u.Kind}) {
					n++
					if u.Missed {
						gone++
					}
				}
			}
			return n, gone
		}
		for _, c := range []struct {
			is   func(session) bool
			need int
		}{{isPath, a.path}, {isLegs, a.legs}, {isLight, a.light}} {
			n, gone := without(c.is)
			require.Equal(t, c.need, amount(plan.Sessions, c.is)+n)
			require.Equal(t, min(n, missed(&w, c.is)), gone, "the missed ones are let go first")
		}
		for _, u := range plan.Unplaced {
			require.NotEqual(t, weekplan.NoRule, u.Why)
		}
	})
}

// The reason is true: with the rule left out of sight, one more could be placed on
// some day.
func TestWhatHasNoPlaceHasNone(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		for _, u := range plan.Unplaced {
			for d := w.Monday; d < w.Monday+7; d++ {
				for _, p := range openAt(&w)(d, u.Kind) {
					more := append(slices.Clone(plan.Sessions), session{Kind: u.Kind, On: d, Part: p, Hard: u.Kind == weekplan.Legs || w.HardRuns && u.Kind == weekplan.Run})
					ok, first := allowed(&w, more)
					_, was := allowed(&w, plan.Sessions)
					fits := ok && first == was && runPairs(slices.Concat(fixed(&w), more), w.Monday) == runPairs(slices.Concat(fixed(&w), plan.Sessions), w.Monday)
					require.False(t, fits, "%v would fit on %v: %v", u, d, plan.Sessions)
					require.Less(t, u.Why, weekplan.CannotThen, "there is a time")
				}
			}
		}
	})
}

func TestWithoutRunsOnDaysInARowWhereThereNeedNotBe(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		if a := asks(&w); a.close == 0 && len(w.Pins) == 0 {
			require.Empty(t, slices.DeleteFunc(plan.Compromises, func(c weekplan.Compromise) bool { return c.Rule != weekplan.DayBetween }))
		}
	})
}

func TestTheSameWeekIsLaidOutTheSame(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		other := w
		other.Pins = rapid.Permutation(w.Pins).Draw(t, "pins")
		other.Done = rapid.Permutation(w.Done).Draw(t, "done")
		other.Around = rapid.Permutation(w.Around).Draw(t, "around")
		other.Present = rapid.Permutation(w.Present).Draw(t, "present")
		other.Usual = rapid.Permutation(w.Usual).Draw(t, "usual")
		again := place(t, other)
		require.ElementsMatch(t, plan.Yielded, again.Yielded)
		plan.Yielded, again.Yielded = nil, nil
		require.Equal(t, plan, again, "in whatever order things are given")
	})
}

func TestATimeThatIsNotUsedChangesNothing(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		i := rapid.IntRange(0, 6).Draw(t, "day")
		p := weekplan.Part(rapid.IntRange(1, 3).Draw(t, "part"))
		date := w.Monday + day.Date(i)
		used := func(s session) bool { return s.On == date && s.Part == p }
		wish := func(f weekplan.Pin) bool { return f.On == date && f.By == weekplan.ByAthlete && f.Part == weekplan.Any }
		if slices.ContainsFunc(plan.Sessions, used) || slices.ContainsFunc(w.Pins, wish) {
			return
		}
		w.Days[i].Times &^= 1 << (p - 1)
		require.Equal(t, plan.Sessions, place(t, w).Sessions)
	})
}

func TestAPlanStaysWhenItIsLaidOutAgain(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		some := func(w *weekplan.Week) bool { return missed(w, isPath)+missed(w, isLegs)+missed(w, isLight) > 0 }
		was := some(&w)
		w.Present = slices.DeleteFunc(slices.Clone(w.Present), func(s session) bool { return s.On >= w.Today })
		w.Present = append(w.Present, plan.Sessions...)
		if was || some(&w) {
			return // room left by what was missed is another test's
		}
		require.Equal(t, plan.Sessions, place(t, w).Sessions)
	})
}

func TestTheNextWeekIsLaidOutAlikeSevenDaysOn(t *testing.T) {
	held(t, func(t *rapid.T, w weekplan.Week, plan weekplan.Plan) {
		next := w
		next.Monday, next.Today = w.Monday+7, w.Today+7
		next.Pins = slices.Clone(w.Pins)
		for i := range next.Pins {
			next.Pins[i].On += 7
		}
		next.Done, next.Around, next.Present = later(w.Done, 7), later(w.Around, 7), later(w.Present, 7)
		require.Equal(t, later(plan.Sessions, 7), later(place(t, next).Sessions, 0))
	})
}

func later(list []session, days day.Date) []session {
	list = slices.Clone(list)
	for i := range list {
		list[i].On += days
	}
	return list
}

// laidAhead draws a week that is laid out before it begins.
func laidAhead(t *rapid.T) (weekplan.Week, weekplan.Plan) {
	w := withoutStrolls(drawn(t, large))
	w.Today, w.Now, w.Done, w.Present = w.Monday-1, weekplan.Any, nil, nil
	plan := place(t, w)
	w.Present = plan.Sessions
	return w, plan
}

// Day after day all is done as planned: nothing of what lies ahead changes.
func TestAWeekThatIsKeptToStays(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, plan := laidAhead(t)
		for range 7 {
			w.Today++
			left := slices.DeleteFunc(slices.Clone(plan.Sessions), func(s session) bool { return s.On <= w.Today })
			for _, s := range plan.Sessions {
				if s.On == w.Today {
					w.Done = append(w.Done, s)
				}
			}
			ahead := slices.DeleteFunc(place(t, w).Sessions, func(s session) bool { return s.On <= w.Today })
			require.Equal(t, slices.Concat(left), slices.Concat(ahead), "%+v", w)
		}
	})
}

// gainsAWish says whether a plan keeps more fixed days than another, parts two runs
// in a row, or has the run first.
func gainsAWish(w *weekplan.Week, was, is []session) bool {
	wishes := func(placed []session) []int {
		_, first := allowed(w, placed)
		p := price(w, placed, first)
		return []int{p[0], p[1], p[2], p[4], p[8]}
	}
	return slices.Compare(wishes(is), wishes(was)) < 0
}

// What is missed goes on a free later day or nowhere: the rest stays where it is
// (but where there is room now to mend a compromise), nothing clashes that did not, and the week never gets more than it had.
func TestWhatIsMissedNeverPilesUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, plan := laidAhead(t)
		for range 7 {
			w.Today++
			w.Present = plan.Sessions
			for _, s := range plan.Sessions {
				if s.On == w.Today-1 && rapid.Bool().Draw(t, "done") {
					w.Done = append(w.Done, s)
				}
			}
			next := place(t, w)
			stays := slices.DeleteFunc(slices.Clone(plan.Sessions), func(s session) bool { return s.On < w.Today })
			moved := slices.ContainsFunc(stays, func(s session) bool { return !slices.Contains(next.Sessions, s) })
			require.True(t, !moved || gainsAWish(&w, stays, next.Sessions), "%+v\nnow %+v", w, next)
			old := clashes(slices.Concat(fixed(&w), plan.Sessions), w.Monday)
			for _, c := range breaches(&w, next.Sessions) {
				require.True(t, old[c] || len(w.Pins) > 0 && gainsAWish(&w, stays, next.Sessions), "%s in %+v\nnow %+v", c, w, next)
			}
			require.LessOrEqual(t, amount(w.Done, isPath)+amount(next.Sessions, isPath), w.Sessions)
			require.LessOrEqual(t, amount(w.Done, isLifted)+amount(next.Sessions, isLifted), w.Legs+w.Strength)
			past := slices.DeleteFunc(slices.Clone(plan.Sessions), func(s session) bool { return s.On >= w.Today })
			plan.Sessions = slices.Concat(past, next.Sessions)
		}
	})
}
