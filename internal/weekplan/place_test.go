package weekplan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// on is a date by its place in the week: Mon is 0, and the week before has -1, -2.
const (
	mon = iota
	tue
	wed
	thu
	fri
	sat
	sun
)

func at(i int) day.Date { return monday() + day.Date(i) }

func run(i int) session   { return session{Kind: weekplan.Run, On: at(i)} }
func legs(i int) session  { return session{Kind: weekplan.Legs, On: at(i)} }
func light(i int) session { return session{Kind: weekplan.Strength, On: at(i)} }

func hard(s session) session {
	s.Hard = true
	return s
}

func when(s session, p weekplan.Part) session {
	s.Part = p
	return s
}

// mornings are the days on which there is time, all in the morning.
func mornings(days ...int) (open [7]weekplan.Day) {
	for _, i := range days {
		open[i].Times = weekplan.Times(0).With(weekplan.Morning)
	}
	return open
}

func everyDay() [7]weekplan.Day { return weekplan.Usually(0) }

// written is a plan in a line: days, then what has no place, then what gives way.
func written(plan weekplan.Plan) string {
	var words []string
	for _, s := range plan.Sessions {
		words = append(words, s.On.Weekday().String()[:3]+" "+s.Kind.String())
	}
	line := strings.Join(words, ", ")
	for _, u := range plan.Unplaced {
		line += fmt.Sprintf("; no %s: %s", u.Kind, u.Why)
		if u.Missed {
			line += ", let go"
		}
	}
	for _, c := range plan.Compromises {
		line += fmt.Sprintf("; %s on %s with %s", c.Rule, c.On.Weekday().String()[:3], c.With.Weekday().String()[:3])
	}
	for _, y := range plan.Yielded {
		line += fmt.Sprintf("; %s's %s not kept: %s", y.Pin.By, y.Pin.On.Weekday().String()[:3], y.Why)
	}
	return line
}

func TestWeeks(t *testing.T) {
	before := monday() - 1
	for _, c := range []struct {
		why  string
		week weekplan.Week
		want string
	}{
		{
			"three runs have a day between, over the weekend too",
			weekplan.Week{Days: everyDay(), Sessions: 3},
			"Mon run, Wed run, Fri run",
		}, {
			"strength that spares the legs goes on days without a run while there are any",
			weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2},
			"Mon run, Tue strength, Wed run, Fri run, Sat strength",
		}, {
			"legs are never worked hard the day before a run, nor on Sunday if the week repeats",
			weekplan.Week{Days: everyDay(), Sessions: 3, Legs: 1, Strength: 1},
			"Mon run, Tue strength, Wed run, Fri run, Sat legs",
		}, {
			"on a shared day the run comes first, on the day of the run legs may be worked",
			weekplan.Week{Days: mornings(mon, wed, fri), Sessions: 3, Legs: 2},
			"Mon run, Mon legs, Wed run, Fri run, Fri legs",
		}, {
			"at a weekend alone two easy runs stand on days in a row, and it is said",
			weekplan.Week{Days: mornings(sat, sun), Sessions: 3},
			"Sat run, Sun run; no run: one_a_day; day_between on Sun with Sat",
		}, {
			"for a third run no two are put in a row",
			weekplan.Week{Days: mornings(mon, tue, fri), Sessions: 3},
			"Mon run, Fri run; no run: day_between",
		}, {
			"for a fourth they are, because four were asked for",
			weekplan.Week{Days: mornings(mon, tue, thu, sat), Sessions: 4},
			"Mon run, Tue run, Thu run, Sat run; day_between on Tue with Mon",
		}, {
			"but once a week at most",
			weekplan.Week{Days: mornings(mon, tue, thu, fri), Sessions: 4},
			"Mon run, Tue run, Fri run; no run: runs_piled; day_between on Tue with Mon",
		}, {
			"six runs a week are asked for: four have a place",
			weekplan.Week{Days: everyDay(), Sessions: 6},
			"Mon run, Wed run, Fri run, Sun run; no run: runs_piled; no run: runs_piled",
		}, {
			"hard runs are never in a row",
			weekplan.Week{Days: mornings(sat, sun), Sessions: 2, HardRuns: true},
			"Sat run; no run: hard_in_a_row",
		}, {
			"walks may be, six a week, and one day is for rest",
			weekplan.Week{Days: everyDay(), Kind: weekplan.Walk, Sessions: 6, Strength: 1},
			"Mon walk, Tue walk, Wed walk, Thu walk, Fri walk, Sat walk, Sat strength",
		}, {
			"legs do not go on the only day left, since the run of Monday is known",
			weekplan.Week{Days: mornings(sun), Legs: 1, Around: []session{run(7)}},
			"; no legs: fresh_legs",
		}, {
			"no run the day after hard legs of last Sunday",
			weekplan.Week{Days: mornings(mon, thu), Sessions: 2, Around: []session{legs(-1)}},
			"Thu run; no run: fresh_legs",
		}, {
			"no third run in a row over the edge of the week",
			weekplan.Week{Days: mornings(mon), Sessions: 1, Around: []session{run(-2), run(-1)}},
			"; no run: runs_piled",
		}, {
			"leave leaves one day: one run, and the reason of the others",
			weekplan.Week{Days: onlyFriday(), Sessions: 3},
			"Fri run; no run: one_a_day; no run: one_a_day",
		}, {
			"nobody has a time: nothing is placed",
			weekplan.Week{Sessions: 1},
			"; no run: cannot_then",
		}, {
			"like the usual week where that is as good",
			weekplan.Week{Days: everyDay(), Sessions: 3, Usual: []session{run(tue - 7), run(thu - 7), run(sat - 7)}},
			"Tue run, Thu run, Sat run",
		}, {
			"a coach's day before a group's, and the other is not needed",
			weekplan.Week{Days: everyDay(), Sessions: 1, Pins: []weekplan.Pin{{On: at(tue)}, {On: at(sat), By: weekplan.ByCoach}}},
			"Sat run; group's Tue not kept: not_needed",
		}, {
			"a group's day is no use to whoever cannot then",
			weekplan.Week{Days: mornings(mon, thu), Sessions: 2, Pins: []weekplan.Pin{{On: at(tue), Part: weekplan.Evening}}},
			"Mon run, Thu run; group's Tue not kept: cannot_then",
		}, {
			"an athlete who fixes a day can then",
			weekplan.Week{Days: mornings(mon, thu), Sessions: 2, Pins: []weekplan.Pin{{On: at(sat), By: weekplan.ByAthlete}}},
			"Mon run, Sat run",
		}, {
			"three fixed days in a row are one too many",
			weekplan.Week{Days: everyDay(), Sessions: 3, Pins: []weekplan.Pin{{On: at(tue)}, {On: at(wed)}, {On: at(thu)}}},
			"Tue run, Thu run, Sat run; group's Wed not kept: runs_piled",
		}, {
			"fixed days in a row are kept once, and it is said",
			weekplan.Week{Days: everyDay(), Sessions: 3, Pins: []weekplan.Pin{{On: at(tue)}, {On: at(wed)}}},
			"Tue run, Wed run, Sat run; day_between on Wed with Tue",
		}, {
			"a fixed day in the leave is not kept",
			weekplan.Week{Days: onlyFriday(), Sessions: 1, Pins: []weekplan.Pin{{On: at(tue), By: weekplan.ByCoach, Insist: true}}},
			"Fri run; coach's Tue not kept: day_off",
		}, {
			"a day beside Monday's run, which is none of this week's: told of the day that is",
			weekplan.Week{Days: mornings(sun), Sessions: 1, Around: []session{run(7)}},
			"Sun run; day_between on Sun with Mon",
		}, {
			"a fixed day beside the one that was enough is not needed, rather than unsafe",
			weekplan.Week{Days: everyDay(), Sessions: 1, Pins: []weekplan.Pin{{On: at(sun)}, {On: at(sat), By: weekplan.ByCoach}}},
			"Sat run; group's Sun not kept: not_needed",
		}, {
			"two times fixed for one day: the coach's is kept, the other not needed",
			weekplan.Week{Days: everyDay(), Sessions: 2, Pins: []weekplan.Pin{
				{On: at(mon), Part: weekplan.Evening, By: weekplan.ByAthlete}, {On: at(mon), Part: weekplan.Morning, By: weekplan.ByCoach},
			}},
			"Mon run, Thu run; athlete's Mon not kept: not_needed",
		}, {
			"a coach insists: all of it stays and all of it is said",
			weekplan.Week{Days: mornings(mon, wed, fri), Sessions: 3, Legs: 1, Pins: []weekplan.Pin{
				{Kind: weekplan.Legs, On: at(thu), By: weekplan.ByCoach, Insist: true}, {On: at(fri), By: weekplan.ByCoach, Insist: true},
			}},
			"Mon run, Wed run, Thu legs, Fri run; cannot_then on Thu with Thu; fresh_legs on Fri with Thu",
		}, {
			"a coach insists on more than the week's number",
			weekplan.Week{Days: mornings(mon, thu), Sessions: 1, Pins: []weekplan.Pin{
				{On: at(mon), By: weekplan.ByCoach, Insist: true}, {On: at(thu), By: weekplan.ByCoach, Insist: true},
			}},
			"Mon run, Thu run; beyond on Thu with Thu",
		}, {
			"or of strength",
			weekplan.Week{Days: mornings(mon, thu), Legs: 1, Pins: []weekplan.Pin{
				{Kind: weekplan.Strength, On: at(mon), By: weekplan.ByCoach, Insist: true}, {Kind: weekplan.Legs, On: at(thu), By: weekplan.ByCoach, Insist: true},
			}},
			"Mon strength, Thu legs; beyond on Thu with Thu",
		}, {
			"or on the day of rest",
			weekplan.Week{Days: everyDay(), Kind: weekplan.Walk, Sessions: 6, Strength: 1, Pins: []weekplan.Pin{
				{On: at(mon)}, {On: at(tue)}, {On: at(wed)}, {On: at(thu)}, {On: at(fri)}, {On: at(sat)},
				{Kind: weekplan.Strength, On: at(sun), By: weekplan.ByCoach, Insist: true},
			}},
			"Mon walk, Tue walk, Wed walk, Thu walk, Fri walk, Sun walk, Sun strength; group's Sat not kept: rest_day",
		}, {
			"seven days insisted on",
			weekplan.Week{Days: everyDay(), Kind: weekplan.Walk, Sessions: 6, Pins: insisted(mon, tue, wed, thu, fri, sat, sun)},
			"Mon walk, Tue walk, Wed walk, Thu walk, Fri walk, Sat walk, Sun walk; beyond on Sun with Sun; rest_day on Sun with Sun",
		}, {
			"three runs in a row insisted on",
			weekplan.Week{Days: everyDay(), Sessions: 3, Pins: insisted(mon, tue, wed)},
			"Mon run, Tue run, Wed run; runs_piled on Wed with Tue; day_between on Tue with Mon",
		}, {
			"a run insisted on before two of the next week",
			weekplan.Week{Days: mornings(sun), Sessions: 1, Pins: insisted(sun), Around: []session{run(7), run(8)}},
			"Sun run; runs_piled on Sun with Tue; day_between on Sun with Mon",
		}, {
			"two pairs insisted on",
			weekplan.Week{Days: everyDay(), Sessions: 4, Pins: insisted(mon, tue, thu, fri)},
			"Mon run, Tue run, Thu run, Fri run; runs_piled on Fri with Thu; day_between on Tue with Mon",
		},
	} {
		c.week.Monday, c.week.Today = monday(), before
		require.Equal(t, c.want, written(place(t, c.week)), c.why)
	}
}

// insisted are days on which a coach insists.
func insisted(days ...int) (pins []weekplan.Pin) {
	for _, i := range days {
		pins = append(pins, weekplan.Pin{On: at(i), By: weekplan.ByCoach, Insist: true})
	}
	return pins
}

// onlyFriday is a week of leave up to Thursday and again from Saturday.
func onlyFriday() [7]weekplan.Day {
	days := everyDay()
	for i := range days {
		days[i].Off = i != fri
	}
	return days
}

func TestTimesOfADay(t *testing.T) {
	days := mornings(mon)
	days[mon].Times = days[mon].Times.With(weekplan.Evening)
	w := weekplan.Week{Monday: monday(), Today: monday(), Days: days, Sessions: 1, Legs: 1}
	require.Equal(t, []session{when(run(mon), weekplan.Morning), hard(when(legs(mon), weekplan.Evening))}, place(t, w).Sessions)
	w.Now = weekplan.Midday
	require.Equal(t, []session{when(run(mon), weekplan.Evening), hard(when(legs(mon), weekplan.Evening))}, place(t, w).Sessions,
		"in one part of the day the run still comes first")
	w.Now, w.Usual = weekplan.Any, []session{when(run(-7), weekplan.Evening)}
	require.Equal(t, weekplan.Evening, place(t, w).Sessions[0].Part, "as usual")
	w.Present = []session{when(run(mon), weekplan.Morning)}
	require.Equal(t, weekplan.Morning, place(t, w).Sessions[0].Part, "as planned")
}

func TestTimesAsTheRosterKeepsThem(t *testing.T) {
	var a roster.Available
	a = a.With(time.Monday, roster.Midday).With(time.Sunday, roster.Evening)
	days := weekplan.Usually(uint32(a))
	for i, d := range days {
		for p := weekplan.Morning; p <= weekplan.Evening; p++ {
			require.Equal(t, a.At(at(i).Weekday(), roster.DayPart(p-weekplan.Morning)), d.Times.Has(p))
		}
	}
	require.Equal(t, weekplan.AllDay, weekplan.Usually(0)[3].Times, "not told")
	require.False(t, weekplan.Times(0).Has(weekplan.Any))
	require.Equal(t, weekplan.AllDay, weekplan.Times(0).With(weekplan.Any))
}

func TestMonday(t *testing.T) {
	for i := range 7 {
		require.Equal(t, monday(), weekplan.Monday(at(i)))
	}
	require.Equal(t, time.Monday, weekplan.Monday(day.On(2027, time.January, 1)).Weekday())
}

func TestWhatMakesNoSenseIsRefused(t *testing.T) {
	good := weekplan.Week{Monday: monday(), Today: at(wed), Days: everyDay(), Sessions: 3}
	for _, c := range []struct {
		place string
		spoil func(w *weekplan.Week)
	}{
		{"monday", func(w *weekplan.Week) { w.Monday++ }},
		{"today", func(w *weekplan.Week) { w.Today = 0 }},
		{"kind", func(w *weekplan.Week) { w.Kind = weekplan.Legs }},
		{"sessions", func(w *weekplan.Week) { w.Sessions = 7 }},
		{"strength", func(w *weekplan.Week) { w.Legs, w.Strength = 2, 2 }},
		{"now", func(w *weekplan.Week) { w.Now = 4 }},
		{"days[3]", func(w *weekplan.Week) { w.Days[3].Times = 8 }},
		{"pins[0]", func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{Kind: weekplan.Other}} }},
		{"pins[0]", func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{By: weekplan.ByAthlete, Insist: true}} }},
		{"done[0]", func(w *weekplan.Week) { w.Done = []session{run(thu)} }},
		{"done[1]", func(w *weekplan.Week) { w.Done = []session{run(mon), {Kind: 5, On: at(tue)}} }},
		{"around[0]", func(w *weekplan.Week) { w.Around = []session{run(-3)} }},
		{"present[0]", func(w *weekplan.Week) { w.Present = []session{run(7)} }},
		{"pins", func(w *weekplan.Week) { w.Pins = make([]weekplan.Pin, 101) }},
		{"usual", func(w *weekplan.Week) { w.Usual = slices.Repeat([]session{run(0)}, 101) }},
		{"usual[0]", func(w *weekplan.Week) { w.Usual = []session{{}} }},
	} {
		w := good
		c.spoil(&w)
		_, err := weekplan.Place(&w)
		require.Equal(t, fault.Invalid, fault.KindOf(err))
		require.Equal(t, c.place, fault.FieldsOf(err)[0].Place)
	}
	_, err := weekplan.Place(&good)
	require.NoError(t, err)
}

func TestRulesHaveNames(t *testing.T) {
	seen := map[string]bool{}
	for r := weekplan.RunFirst; r <= weekplan.HeldByCoach; r++ {
		require.NotEmpty(t, r.String())
		require.False(t, seen[r.String()])
		seen[r.String()] = true
	}
}
