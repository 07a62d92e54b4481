package days_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// Whatever is wished, done and missed in two weeks: never more is planned than the
// phase and the strength ask for, nothing on days off or in time gone by, one of a kind
// a day, and every read of a moment says the same.
func TestWhateverIsWishedAndDone(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := begin(t)
		number := func(name string, most int) int { return rapid.IntRange(0, most).Draw(r, name) }
		s.change(func(a *roster.Athlete) {
			a.SessionsAWeek = 2 + number("a week", 4)
			a.Strength = number("strength", 3)
			a.Legs = number("legs", a.Strength)
			a.Available = roster.Available(number("times", 1<<21-1))
		})
		if number("holiday", 3) == 0 {
			s.holiday(number("on", 13))
		}
		if from := number("away", 20); from < 12 {
			s.leave(from, from+number("for", 4), roster.OnHoliday)
		}
		for at := range 14 {
			s.at(at, 6+number("hour", 16), 0)
			s.live(r, at, number)
			for _, first := range []int{0, 7} {
				w := s.week(first)
				require.Equal(r, w, s.week(first), "the same moment")
				sound(r, &w)
			}
		}
	})
}

// live is one day: something is done, moved, fixed, or not.
func (s *scene) live(r *rapid.T, at int, number func(string, int) int) {
	switch number("deed", 5) {
	case 0:
		s.log(at, 5, readiness.Planned, readiness.InFull)
	case 1:
		s.lifted(at, [][]string{nil, {"plank"}, {"plank", "goblet-squat"}}[number("lifted", 2)]...)
	case 2:
		who := s.own
		if number("who", 1) == 1 {
			who = s.coach
		}
		w := s.week(7 * number("week", 1))
		var all []days.Session
		for _, one := range w.Sessions() {
			if one.State != days.Done {
				all = append(all, one)
			}
		}
		if len(all) == 0 {
			return
		}
		one := all[number("which", len(all)-1)]
		_, err := s.service.Move(s.Context(), who, s.athlete.ID, days.Shift{
			Key: s.key(), Kind: one.Kind, From: one.On, To: w.Monday + day.Date(number("to", 6)), Part: weekplan.Part(number("part", 3)),
			Insist: number("insist", 1) == 1,
		})
		require.NoError(r, err)
	case 3:
		_, err := s.service.Pin(s.Context(), s.own, s.athlete.ID, days.Fixed{
			Key: s.key(), Kind: []weekplan.Kind{weekplan.Run, weekplan.Strength, weekplan.Legs}[number("kind", 2)], Weekday: (monday + day.Date(number("weekday", 6))).Weekday(),
		})
		require.NoError(r, err)
	}
}

// sound holds what must be true of every week.
func sound(r *rapid.T, w *days.Week) {
	planned, strong, insisted := 0, 0, false
	for i := range w.Pins {
		insisted = insisted || w.Pins[i].Insist
	}
	for i := range w.Days {
		d := &w.Days[i]
		runs, lifts := 0, 0
		for _, one := range d.Sessions {
			require.Equal(r, d.On, one.On)
			if one.State != days.Planned {
				continue
			}
			require.Equal(r, days.NotOff, d.Off, "nothing on a day off")
			require.GreaterOrEqual(r, d.On, w.Today, "nothing in time gone by")
			if one.Kind <= weekplan.Walk {
				runs++
			} else {
				lifts++
			}
		}
		planned, strong = planned+runs, strong+lifts
		if !insisted {
			require.LessOrEqual(r, runs, 1)
			require.LessOrEqual(r, lifts, 1)
		}
	}
	if !insisted {
		require.LessOrEqual(r, planned, max(0, w.Of-w.Done), "no more than the phase has")
		require.LessOrEqual(r, strong, w.Athlete.Strength)
	}
}
