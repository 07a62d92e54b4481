package weekplan_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/weekplan"
)

// told is what became of a wish, in a line.
func told(m weekplan.Moved) string {
	if m.Refused != weekplan.NoRule {
		return "refused: " + m.Refused.String()
	}
	short := func(d day.Date) string {
		if d == 0 {
			return "–"
		}
		return d.Weekday().String()[:3]
	}
	var words []string
	for _, c := range m.Changes {
		words = append(words, fmt.Sprintf("%s %s→%s", c.Kind, short(c.From), short(c.To)))
	}
	line := strings.Join(words, ", ")
	for _, c := range m.Plan.Compromises {
		line += fmt.Sprintf("; %s on %s", c.Rule, short(c.On))
	}
	for _, p := range m.Lifted {
		line += fmt.Sprintf("; lifts %s's %s", p.By, short(p.On))
	}
	return line
}

func TestMoving(t *testing.T) {
	plan := []session{run(mon), light(tue), run(wed), run(fri), legs(sat)}
	for _, c := range []struct {
		why   string
		today int
		week  func(w *weekplan.Week)
		shift weekplan.Shift
		want  string
	}{
		{
			"the run of the next day yields, and the group's day is left",
			mon, nil, weekplan.Shift{From: at(wed), To: at(thu), By: weekplan.ByAthlete},
			"run Wed→Thu, run Fri→Sat; lifts group's Wed",
		}, {
			"strength that spares the legs disturbs nobody",
			mon, nil, weekplan.Shift{Kind: weekplan.Strength, From: at(tue), To: at(wed)},
			"strength Tue→Wed",
		}, {
			"legs before a run: the run yields",
			mon, nil, weekplan.Shift{Kind: weekplan.Legs, From: at(sat), To: at(thu), By: weekplan.ByAthlete},
			"legs Sat→Thu, run Fri→Sat",
		}, {
			"onto the day of another run: that one goes elsewhere",
			mon, nil, weekplan.Shift{From: at(wed), To: at(fri), By: weekplan.ByAthlete},
			"run Wed→Fri, run Fri→Wed; lifts group's Wed",
		}, {
			"to another time of the same day",
			mon, nil, weekplan.Shift{From: at(wed), To: at(wed), Part: weekplan.Evening, By: weekplan.ByAthlete},
			"run Wed→Wed; lifts group's Wed",
		}, {
			"beside a run that is done: it is the athlete's wish, and it is said",
			tue, func(w *weekplan.Week) { w.Done = []session{run(mon)} },
			weekplan.Shift{From: at(wed), To: at(tue), By: weekplan.ByAthlete},
			"run Wed→Tue; day_between on Tue; lifts group's Wed",
		}, {
			"beside a hard one it is not done",
			tue, func(w *weekplan.Week) { w.Done = []session{hard(run(mon))} },
			weekplan.Shift{From: at(wed), To: at(tue), By: weekplan.ByAthlete},
			"refused: runs_piled",
		}, {
			"a coach may insist",
			tue, func(w *weekplan.Week) { w.Done = []session{hard(run(mon))} },
			weekplan.Shift{From: at(wed), To: at(tue), By: weekplan.ByCoach, Insist: true},
			"run Wed→Tue; runs_piled on Tue; lifts group's Wed",
		}, {
			"a missed run goes to the day that was tapped",
			tue, nil, weekplan.Shift{From: at(mon), To: at(sun), By: weekplan.ByAthlete},
			"run Mon→Sun, legs Sat→Fri",
		}, {
			"what is done stays",
			tue, func(w *weekplan.Week) { w.Done = []session{run(mon)} },
			weekplan.Shift{From: at(mon), To: at(sun), By: weekplan.ByAthlete},
			"refused: gone_by",
		}, {
			"what was done on another day is not missed",
			wed, func(w *weekplan.Week) { w.Done = []session{run(tue)} },
			weekplan.Shift{From: at(mon), To: at(sun), By: weekplan.ByAthlete},
			"refused: gone_by",
		}, {
			"nobody moves into the past",
			wed, nil, weekplan.Shift{From: at(fri), To: at(mon), By: weekplan.ByCoach, Insist: true},
			"refused: gone_by",
		}, {
			"nor into leave",
			mon, func(w *weekplan.Week) { w.Days[thu].Off = true },
			weekplan.Shift{From: at(wed), To: at(thu), By: weekplan.ByCoach, Insist: true},
			"refused: day_off",
		}, {
			"a second run on a day is not asked for",
			tue, func(w *weekplan.Week) { w.Done = []session{run(tue)} },
			weekplan.Shift{From: at(wed), To: at(tue), By: weekplan.ByAthlete},
			"refused: one_a_day",
		}, {
			"an athlete knows when they can; beside a fixed day it is said",
			mon, func(w *weekplan.Week) { w.Days[thu].Times = 0 },
			weekplan.Shift{From: at(fri), To: at(thu), By: weekplan.ByAthlete},
			"run Fri→Thu; day_between on Thu",
		}, {
			"a coach does not",
			mon, func(w *weekplan.Week) { w.Days[thu].Times = 0 },
			weekplan.Shift{From: at(wed), To: at(thu), By: weekplan.ByCoach},
			"refused: cannot_then",
		}, {
			"and insists, and it is said",
			mon, func(w *weekplan.Week) { w.Days[thu].Times = 0 },
			weekplan.Shift{Kind: weekplan.Strength, From: at(tue), To: at(thu), By: weekplan.ByCoach, Insist: true},
			"strength Tue→Thu; cannot_then on Thu",
		}, {
			"a coach's fixed day is held",
			mon, func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{On: at(wed), By: weekplan.ByCoach}} },
			weekplan.Shift{From: at(wed), To: at(thu), By: weekplan.ByAthlete},
			"refused: held_by_coach",
		}, {
			"at its time too",
			mon, func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{On: at(wed), By: weekplan.ByCoach}} },
			weekplan.Shift{From: at(wed), To: at(wed), Part: weekplan.Evening, By: weekplan.ByAthlete},
			"refused: held_by_coach",
		}, {
			"but not once it was missed",
			tue, func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{On: at(mon), By: weekplan.ByCoach}} },
			weekplan.Shift{From: at(mon), To: at(sun), By: weekplan.ByAthlete},
			"run Mon→Sun, legs Sat→Fri; lifts coach's Mon",
		}, {
			"a coach's newest wish comes before two of older days",
			mon, func(w *weekplan.Week) {
				w.Legs, w.Strength = 0, 0
				w.Present = []session{run(tue), run(thu), run(sat)}
				w.Pins = []weekplan.Pin{{On: at(tue), By: weekplan.ByCoach}, {On: at(thu), By: weekplan.ByCoach}}
				w.Around = []session{run(-1), hard(run(7))}
			},
			weekplan.Shift{From: at(sat), To: at(wed), By: weekplan.ByCoach},
			"run Sat→Wed, run Thu→Fri; day_between on Wed; lifts coach's Thu",
		}, {
			"nor is another put in its place",
			mon, func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{On: at(wed), By: weekplan.ByCoach}} },
			weekplan.Shift{From: at(fri), To: at(wed), By: weekplan.ByAthlete},
			"refused: one_a_day",
		}, {
			"a group's is left, for this athlete and this week",
			mon, func(w *weekplan.Week) { w.Pins = []weekplan.Pin{{On: at(fri)}} },
			weekplan.Shift{From: at(fri), To: at(sun), By: weekplan.ByAthlete},
			"run Fri→Sun, legs Sat→Fri; lifts group's Fri",
		},
	} {
		w := weekplan.Week{Monday: monday(), Today: at(c.today), Days: everyDay(), Sessions: 3, Legs: 1, Strength: 1, Present: plan, Pins: []weekplan.Pin{{On: at(wed)}}}
		if c.week != nil {
			c.week(&w)
		}
		m, err := weekplan.Move(&w, c.shift)
		require.NoError(t, err, c.why)
		require.Equal(t, c.want, told(m), "%s: %s", c.why, written(m.Plan))
	}
}

func TestWishesThatMakeNoSense(t *testing.T) {
	w := weekplan.Week{Monday: monday(), Today: monday(), Days: everyDay(), Sessions: 1, Present: []session{run(mon)}}
	for _, c := range []struct {
		why   string
		shift weekplan.Shift
		want  fault.Kind
	}{
		{"not there any more", weekplan.Shift{From: at(tue), To: at(wed)}, fault.Conflict},
		{"of another kind", weekplan.Shift{Kind: weekplan.Legs, From: at(mon), To: at(wed)}, fault.Conflict},
		{"into another week", weekplan.Shift{From: at(mon), To: at(7)}, fault.Invalid},
		{"only coaches insist", weekplan.Shift{From: at(mon), To: at(tue), By: weekplan.ByAthlete, Insist: true}, fault.Invalid},
		{"no kind", weekplan.Shift{Kind: weekplan.Other, From: at(mon), To: at(tue)}, fault.Invalid},
	} {
		_, err := weekplan.Move(&w, c.shift)
		require.Equal(t, c.want, fault.KindOf(err), c.why)
	}
	w.Monday++
	_, err := weekplan.Move(&w, weekplan.Shift{From: at(mon), To: at(tue)})
	require.Equal(t, fault.Invalid, fault.KindOf(err))
}

// underway is a week laid out on Monday and lived through to some day, some of it
// missed, and a wish.
func underway(t *rapid.T) (weekplan.Week, weekplan.Shift) {
	w, plan := laidAhead(t)
	if len(plan.Sessions) == 0 {
		t.Skip("nothing to move")
	}
	w.Today = w.Monday + day.Date(rapid.IntRange(-1, 6).Draw(t, "until"))
	for _, s := range plan.Sessions {
		if s.On <= w.Today && rapid.IntRange(0, 2).Draw(t, "done") > 0 {
			s.Hard = s.Hard || rapid.IntRange(0, 4).Draw(t, "hard") == 0
			w.Done = append(w.Done, s)
		}
	}
	of := rapid.SampledFrom(plan.Sessions).Draw(t, "which")
	return w, weekplan.Shift{
		Kind: of.Kind, From: of.On, To: monday() + day.Date(rapid.IntRange(0, 6).Draw(t, "to")),
		Part: weekplan.Part(rapid.IntRange(0, 3).Draw(t, "part")), By: weekplan.By(rapid.IntRange(0, 2).Draw(t, "by")),
	}
}

func moving(t *testing.T, check func(t *rapid.T, w weekplan.Week, s weekplan.Shift, m weekplan.Moved)) {
	t.Helper()
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, s := underway(t)
		m, err := weekplan.Move(&w, s)
		require.NoError(t, err)
		if m.Refused != weekplan.NoRule {
			require.False(t, mayGive(m.Refused))
			m.Plan.Yielded, m.Changes = nil, nil
			again := place(t, w)
			again.Yielded = nil
			require.Equal(t, again, m.Plan, "as if nothing had been wished")
			return
		}
		check(t, w, s, m)
	})
}

func TestAMoveIsSafeAndWhole(t *testing.T) {
	moving(t, func(t *rapid.T, w weekplan.Week, s weekplan.Shift, m weekplan.Moved) {
		there := func(o session) bool { return s.Part == weekplan.Any || o.Part == s.Part }
		require.True(t, anyOn(m.Plan.Sessions, s.To, both(sameThing(s.Kind), there)), "it is where it was wished to be")
		for _, c := range breaches(&w, m.Plan.Sessions) {
			require.True(t, strings.HasPrefix(c, weekplan.DayBetween.String()), c)
		}
		for _, c := range []struct {
			is func(session) bool
			of int
		}{{isPath, w.Sessions}, {isLifted, w.Legs + w.Strength}} {
			require.LessOrEqual(t, amount(w.Done, both(c.is, planned))+amount(m.Plan.Sessions, c.is), c.of)
		}
	})
}

// The changes, made to the plan as it was, give the plan as it is.
func TestTheChangesAreAllThereIs(t *testing.T) {
	moving(t, func(t *rapid.T, w weekplan.Week, s weekplan.Shift, m weekplan.Moved) {
		require.Equal(t, [2]day.Date{s.From, s.To}, [2]day.Date{m.Changes[0].From, m.Changes[0].To}, "the session itself comes first")
		var is []string
		for _, o := range w.Present {
			if o.On >= w.Today && !anyOn(w.Done, o.On, sameThing(o.Kind)) {
				is = append(is, fmt.Sprint(o.Kind, o.On))
			}
		}
		for _, c := range m.Changes {
			if c.From >= w.Today {
				i := slices.Index(is, fmt.Sprint(c.Kind, c.From))
				require.GreaterOrEqual(t, i, 0, c)
				is = slices.Delete(is, i, i+1)
			}
			if c.To != 0 {
				is = append(is, fmt.Sprint(c.Kind, c.To))
			}
		}
		var want []string
		for _, o := range m.Plan.Sessions {
			want = append(want, fmt.Sprint(o.Kind, o.On))
		}
		require.ElementsMatch(t, want, is, "%+v %+v", w.Present, m.Changes)
	})
}

// Kept as told, what was moved stays there when the week is laid out again.
func TestAMoveLasts(t *testing.T) {
	moving(t, func(t *rapid.T, w weekplan.Week, s weekplan.Shift, m weekplan.Moved) {
		w.Pins = slices.DeleteFunc(slices.Clone(w.Pins), func(p weekplan.Pin) bool { return slices.Contains(m.Lifted, p) })
		w.Pins = append(w.Pins, m.Pin)
		w.Present = slices.DeleteFunc(slices.Clone(w.Present), func(o session) bool {
			return o.On > w.Today || o.On == w.Today && !anyOn(w.Done, o.On, sameThing(o.Kind)) || o.On == s.From && isSame(o, s)
		})
		w.Present = append(w.Present, m.Plan.Sessions...)
		require.Equal(t, m.Plan.Sessions, place(t, w).Sessions, "%+v\n%+v\n%+v", w, s, m)
	})
}

func isSame(o session, s weekplan.Shift) bool { return sameThing(s.Kind)(o) }

// A coach who insists gets it, but on days off and in the past; everything else
// stays safe, and what gave way is named.
func TestWhatACoachInsistsOnIsToldInFull(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, s := underway(t)
		s.By, s.Insist = weekplan.ByCoach, true
		m, err := weekplan.Move(&w, s)
		require.NoError(t, err)
		if m.Refused != weekplan.NoRule {
			require.Contains(t, []weekplan.Rule{weekplan.DayOff, weekplan.GoneBy, weekplan.OneADay}, m.Refused)
			return
		}
		for _, c := range breaches(&w, m.Plan.Sessions) {
			rule, date, _ := strings.Cut(c, " ")
			require.True(t, slices.ContainsFunc(m.Plan.Compromises, func(c weekplan.Compromise) bool {
				at := max(c.On, c.With).String() == date
				piled := c.Rule == weekplan.RunsPiled && (rule == "third" || rule == weekplan.DayBetween.String())
				return at && (c.Rule.String() == rule || piled)
			}), "%s in %+v", c, m.Plan)
			near := slices.ContainsFunc(m.Plan.Sessions, func(o session) bool { return o.On == s.To })
			require.True(t, near)
		}
	})
}
