package weekplan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/weekplan"
)

func TestWeeksHalfOver(t *testing.T) {
	usual := []session{run(mon), light(tue), run(wed), light(thu), run(fri)}
	for _, c := range []struct {
		why   string
		today int
		week  weekplan.Week
		want  string
	}{
		{
			"all is done as planned: the rest stays",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue)}},
			"Wed run, Thu strength, Fri run",
		}, {
			"Monday's run was missed, and Sunday is free for it",
			tue, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2},
			"Tue strength, Wed run, Thu strength, Fri run, Sun run",
		}, {
			"where Monday follows with a run, Sunday is no day for it, and it is let go",
			tue, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Around: []session{run(7)}},
			"Tue strength, Wed run, Thu strength, Fri run; no run: day_between, let go",
		}, {
			"two were missed: one has a place, the other is let go",
			thu, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{light(tue)}},
			"Thu strength, Fri run, Sun run; no run: day_between, let go",
		}, {
			"Friday's run was done on Thursday already, so all are done; strength goes on Friday instead",
			fri, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue), run(wed), run(thu)}},
			"Fri strength",
		}, {
			"Monday's run was done on Tuesday: Wednesday's must yield, and only that one does",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(tue), light(tue)}},
			"Thu strength, Fri run, Sun run",
		}, {
			"Monday's run was done today in place of today's: nothing more today, nothing was missed but one",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{light(tue), run(wed)}},
			"Thu strength, Fri run, Sun run",
		}, {
			"a run outside the plan is kept clear of, but is none of the three",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue), {Kind: weekplan.Run, On: at(tue), Extra: true}}},
			"Thu strength, Fri run, Sun run",
		}, {
			"an easy walk besides changes nothing",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue), {Kind: weekplan.Walk, On: at(wed), Extra: true}}},
			"Wed run, Thu strength, Fri run",
		}, {
			"the morning is over, the run goes into what is left of the day",
			wed, weekplan.Week{Days: everyDay(), Now: weekplan.Evening, Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue)}},
			"Wed run, Thu strength, Fri run",
		}, {
			"strength of this morning spares the legs: the run may follow if it must, and that is said",
			sun, weekplan.Week{Days: everyDay(), Sessions: 1, Strength: 1, Done: []session{light(sun)}, Present: []session{run(sun), light(sun)}},
			"Sun run; run_first on Sun with Sun",
		}, {
			"hard legs of this morning do not",
			sun, weekplan.Week{Days: everyDay(), Sessions: 1, Legs: 1, Done: []session{legs(sun)}, Present: []session{run(sun), legs(sun)}},
			"; no run: fresh_legs",
		}, {
			"after a hard run yesterday no legs today",
			tue, weekplan.Week{Days: mornings(tue), Legs: 1, Sessions: 1, Done: []session{hard(run(mon))}, Present: []session{run(mon), legs(tue)}},
			"; no legs: hard_in_a_row",
		}, {
			"six days are taken: the seventh is for rest",
			sun, weekplan.Week{
				Days: everyDay(), Sessions: 2, Present: []session{run(mon)},
				Done: []session{other(mon), other(tue), other(wed), other(thu), other(fri), other(sat)},
			},
			"; no run: rest_day; no run: rest_day, let go",
		}, {
			"what a coach insisted on is done, and not asked for again",
			wed, weekplan.Week{Days: everyDay(), Sessions: 3, Strength: 2, Done: []session{run(mon), light(tue), run(wed)}, Pins: insisted(wed)},
			"Thu strength, Fri run",
		}, {
			"what is to come before the run of this noon comes too late",
			wed, weekplan.Week{
				Days: mornings(wed), Sessions: 1, Legs: 1, Done: []session{when(run(wed), weekplan.Midday)}, Present: []session{run(wed), legs(wed)},
				Pins: []weekplan.Pin{{Kind: weekplan.Legs, On: at(wed), Part: weekplan.Morning, By: weekplan.ByAthlete}},
			},
			"; no legs: cannot_then; athlete's Wed not kept: gone_by",
		}, {
			"the week is over",
			7, weekplan.Week{Days: everyDay(), Sessions: 3, Done: []session{run(mon)}, Present: []session{run(mon), run(wed), run(fri)}},
			"; no run: gone_by, let go; no run: gone_by, let go",
		},
	} {
		c.week.Monday, c.week.Today = monday(), at(c.today)
		if c.week.Present == nil {
			c.week.Present = usual
		}
		require.Equal(t, c.want, written(place(t, c.week)), c.why)
	}
}

func other(i int) session { return session{Kind: weekplan.Other, On: at(i)} }
