package days_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
	"halfhour.app/halfhour/internal/weekplan"
)

// scene is a club with one athlete, and a clock that the test sets.
type scene struct {
	*testing.T
	store   *fake.Store
	service *days.Service
	club    roster.Club
	athlete roster.Athlete
	coach   roster.Actor
	own     roster.Actor
	now     time.Time
	keys    int
}

// monday is a Monday far from any change of clocks.
var monday = day.On(2026, time.June, 8)

func begin(t *testing.T) *scene {
	t.Helper()
	s := &scene{T: t, store: fake.New()}
	club, coach := s.store.Begin("Fellowship", "coach@example.org", "")
	s.club = club
	s.athlete = s.store.Runner(club.ID, "Runa Vik")
	s.change(func(a *roster.Athlete) { a.JoinedOn, a.ArrivalSince = monday-70, monday-70 })
	s.coach = roster.Actor{Club: club.ID, Coach: coach.ID}
	s.own = roster.Actor{Club: club.ID, Athlete: s.athlete.ID}
	s.service = &days.Service{Store: s.store, Now: func() time.Time { return s.now }}
	s.at(0, 6, 0)
	return s
}

func (s *scene) change(how func(*roster.Athlete)) {
	a := s.store.Athletes[s.athlete.ID]
	how(&a)
	s.store.Athletes[a.ID], s.athlete = a, a
}

// at sets the clock to a time where the athlete is, days after the Monday.
func (s *scene) at(after, hour, minute int) {
	s.now = (monday + day.Date(after)).Start(s.athlete.Place()).Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
}

func (s *scene) key() roster.Key {
	s.keys++
	return roster.Key(fmt.Sprintf("key-%08d", s.keys))
}

// did stores a session of the pathway done on a day at an hour.
func (s *scene) did(after, hour int) {
	s.log(after, hour, readiness.Planned, readiness.InFull)
}

func (s *scene) log(after, hour int, kind readiness.SessionKind, outcome readiness.Outcome) {
	at := (monday + day.Date(after)).Start(s.athlete.Place()).Add(time.Duration(hour) * time.Hour)
	one := roster.Session{Athlete: s.athlete.ID, Key: s.key(), ID: roster.SessionID(s.keys)}
	one.Session = readiness.Session{StartedAt: at, Date: monday + day.Date(after), Kind: kind, Effort: readiness.Some(4), Talk: readiness.Sentence, Outcome: outcome}
	if kind == readiness.Planned {
		one.Phase = s.athlete.Phase
		if outcome == readiness.InFull {
			for _, b := range pathway.Default().Blocks(pathway.Default().Find(s.athlete.Phase)) {
				one.Blocks = append(one.Blocks, readiness.Block{Kind: b.Kind, Planned: int32(b.Planned), Done: int32(b.Planned)})
			}
		}
	} else {
		one.Minutes = readiness.Some(30)
	}
	s.store.Logged = append(s.store.Logged, one)
}

func (s *scene) week(after int) days.Week {
	s.Helper()
	w, err := s.service.Week(s.Context(), s.own, s.athlete.ID, weekplan.Monday(monday+day.Date(after)))
	require.NoError(s, err)
	return w
}

// shown is a week in few letters: "Mon run, Wed done, Fri missed>Sat".
func shown(w *days.Week) string {
	var all []string
	for _, one := range w.Sessions() {
		text := one.On.Weekday().String()[:3] + " "
		switch one.State {
		case days.Done:
			text += "did "
		case days.Missed:
			text += "missed "
		}
		text += one.Kind.String()
		if one.State == days.Missed {
			text += ">"
			if one.Now != 0 {
				text += one.Now.Weekday().String()[:3]
			}
		}
		all = append(all, text)
	}
	return strings.Join(all, ", ")
}

func (s *scene) shows(want string) {
	s.Helper()
	w := s.week(0)
	require.Equal(s, want, shown(&w))
}

func (s *scene) move(who roster.Actor, from, to int) days.Moved {
	s.Helper()
	m, err := s.service.Move(s.Context(), who, s.athlete.ID, days.Shift{Key: s.key(), From: monday + day.Date(from), To: monday + day.Date(to)})
	require.NoError(s, err)
	return m
}

func TestAWeekIsLaidOut(t *testing.T) {
	for _, c := range []struct {
		why  string
		tell func(*scene)
		want string
	}{
		{"three runs with a day between", func(*scene) {}, "Mon run, Wed run, Fri run"},
		{"what was done stays", func(s *scene) { s.did(0, 7); s.at(0, 8, 0) }, "Mon did run, Wed run, Fri run"},
		{"missed on Monday, there is room on Sunday", func(s *scene) { s.at(1, 6, 0) }, "Mon missed run>Sun, Wed run, Fri run, Sun run"},
		{"two missed: one is placed again, one let go", func(s *scene) { s.at(3, 6, 0) }, "Mon missed run>Sun, Wed missed run>, Fri run, Sun run"},
		{"done a day late", func(s *scene) { s.did(1, 7); s.at(1, 12, 0) }, "Mon missed run>Tue, Tue did run, Fri run, Sun run"},
		{"nothing while running is paused", func(s *scene) { s.change(func(a *roster.Athlete) { a.Held = roster.Paused }) }, ""},
		{"nothing before the coach has said where to begin", func(s *scene) { s.change(func(a *roster.Athlete) { a.Arrival = roster.Answered }) }, ""},
		{"nothing while away", func(s *scene) { s.leave(0, 2, roster.OnHoliday) }, "Thu run, Sun run"},
		{"nothing while ill", func(s *scene) { s.leave(0, 2, roster.Ill) }, ""},
		{"nothing on a holiday", func(s *scene) { s.holiday(2) }, "Mon run, Thu run, Sat run"},
		{"nothing before the day on which it began", func(s *scene) { s.at(4, 6, 0); s.change(func(a *roster.Athlete) { a.ArrivalSince = monday + 4 }) }, "Fri run, Sun run"},
		{"only on days on which there is time", func(s *scene) { s.change(func(a *roster.Athlete) { a.Available = weekend() }) }, "Sat run, Sun run"},
		{"strength beside it", func(s *scene) { s.change(func(a *roster.Athlete) { a.Strength, a.Legs = 2, 1 }) }, "Mon run, Tue strength, Wed run, Fri run, Sat legs"},
		{"called off this morning: not today any more", func(s *scene) { s.log(0, 6, readiness.Planned, readiness.CalledOff); s.at(0, 9, 0) }, "Mon missed run>Sun, Wed run, Fri run, Sun run"},
	} {
		t.Run(c.why, func(t *testing.T) {
			s := begin(t)
			c.tell(s)
			s.shows(c.want)
		})
	}
}

// lifted stores a session of strength with the exercises that were done.
func (s *scene) lifted(after int, exercises ...string) {
	s.log(after, 5, readiness.Strength, readiness.NotStated)
	for _, id := range exercises {
		one := &s.store.Logged[len(s.store.Logged)-1]
		one.Lifts = append(one.Lifts, roster.Lift{Exercise: id, For: id, Sets: []int{8, 8}})
	}
}

// Strength is hard on the legs by the exercises that were done, whatever was planned for
// the day; the week has its number all the same.
func TestStrengthIsWhatWasDone(t *testing.T) {
	for _, c := range []struct {
		why  string
		tell func(*scene)
		want string
	}{
		{"as planned", func(s *scene) { s.lifted(1, "one-arm-row") }, "Mon missed run>, Tue did strength, Wed run, Fri run, Sat legs"},
		{"legs where arms were planned: the run of the day after gives way, and Saturday spares them", func(s *scene) { s.lifted(1, "goblet-squat") }, "Mon missed run>, Tue did legs, Fri run, Sat strength, Sun run"},
		{"not known: as it was planned", func(s *scene) { s.lifted(1) }, "Mon missed run>, Tue did strength, Wed run, Fri run, Sat legs"},
		{"an exercise without a set was not done", func(s *scene) {
			s.lifted(1, "one-arm-row", "goblet-squat")
			s.store.Logged[0].Lifts[1].Sets = nil
		}, "Mon missed run>, Tue did strength, Wed run, Fri run, Sat legs"},
		{"arms where nothing was planned, and legs are still to come", func(s *scene) { s.lifted(0, "one-arm-row") }, "Mon missed run>, Mon did strength, Wed run, Fri run, Sat legs"},
		{"legs on the Sunday before: no run on Monday", func(s *scene) { s.at(0, 6, 0); s.lifted(-1, "goblet-squat") }, "Tue run, Wed strength, Thu run, Sat run, Sun legs"},
		{"legs both times, though one was to spare them: two are enough", func(s *scene) { s.lifted(0, "squat"); s.at(4, 6, 0); s.lifted(3, "squat") }, "Mon missed run>Sun, Mon did legs, Wed missed run>, Thu did legs, Sat run, Sun run"},
	} {
		t.Run(c.why, func(t *testing.T) {
			s := begin(t)
			s.change(func(a *roster.Athlete) { a.Strength, a.Legs = 2, 1 })
			s.at(1, 12, 0)
			c.tell(s)
			s.shows(c.want)
			s.at(6, 12, 0)
			strong := 0
			w := s.week(0)
			for _, one := range w.Sessions() {
				if one.Kind >= weekplan.Strength && one.State != days.Missed {
					strong++
				}
			}
			require.LessOrEqual(t, strong, 2)
		})
	}
}

func weekend() roster.Available {
	return roster.Available(0).With(time.Saturday, roster.Morning).With(time.Sunday, roster.Morning)
}

func (s *scene) leave(from, to int, kind roster.LeaveKind) {
	s.store.Leaving[1] = roster.Leave{ID: 1, Athlete: s.athlete.ID, Kind: kind, Span: day.Span{From: monday + day.Date(from), To: monday + day.Date(to)}}
}

func (s *scene) holiday(on int) {
	_, err := s.service.AddHoliday(s.Context(), s.coach, roster.Holiday{Name: "Midsummer", Span: day.Span{From: monday + day.Date(on)}}, s.key())
	require.NoError(s, err)
}

// A programme for strength that is given in the middle of a week was not missed before.
func TestStrengthBeginsWhenItIsGiven(t *testing.T) {
	s := begin(t)
	s.did(0, 7)
	s.did(2, 7)
	s.at(3, 9, 0)
	s.change(func(a *roster.Athlete) { a.Strength, a.Legs = 3, 1 })
	s.store.Programs = append(s.store.Programs, roster.Program{ID: 1, Athlete: s.athlete.ID, At: s.now})
	s.shows("Mon did run, Wed did run, Thu strength, Fri run, Sat legs")
	s.at(5, 9, 0)
	s.shows("Mon did run, Wed did run, Thu missed strength>, Fri missed run>Sat, Sat run, Sat legs")
}

// What was planned in a week gone by is told only where somebody wished it: nobody knows
// the times, the phase and the strength of then.
func TestAWeekGoneByTellsWhatWasDone(t *testing.T) {
	s := begin(t)
	s.shows("Mon run, Wed run, Fri run")
	s.did(0, 7)
	s.move(s.own, 4, 5)
	s.lifted(3, "plank")
	s.at(6, 20, 0)
	s.shows("Mon did run, Wed missed run>Sun, Thu missed run>Sun, Thu did strength, Sat missed run>, Sun run")
	s.at(7, 6, 0)
	s.change(func(a *roster.Athlete) { a.Strength, a.SessionsAWeek, a.Available = 3, 5, weekend() })
	s.shows("Mon did run, Thu did strength, Sat missed run>")
	w := s.week(0)
	require.True(t, w.Past())
	require.Equal(t, 1, w.Done)
}

func TestASessionIsMovedAndMovedBack(t *testing.T) {
	s := begin(t)
	require.Equal(t, weekplan.NoRule, s.move(s.own, 2, 3).Refused)
	s.shows("Mon run, Thu run, Sat run")
	s.move(s.own, 3, 2)
	s.shows("Mon run, Wed run, Fri run")
	s.at(2, 6, 0)
	s.shows("Mon missed run>Sun, Wed run, Fri run, Sun run")
}

func TestAMoveIsRefusedWithItsReason(t *testing.T) {
	s := begin(t)
	s.change(func(a *roster.Athlete) { a.Available = weekend().With(time.Wednesday, roster.Evening) })
	s.shows("Wed run, Sat run")
	require.Equal(t, weekplan.CannotThen, firstRefused(t, s, 2, 0), "an athlete's own wish says that there is time")
	s.store.Leaving[1] = roster.Leave{ID: 1, Athlete: s.athlete.ID, Kind: roster.OnHoliday, Span: day.Span{From: monday + 4, To: monday + 4}}
	before := len(s.store.Pins)
	require.Equal(t, weekplan.DayOff, s.move(s.own, 2, 4).Refused)
	require.Equal(t, weekplan.DayOff, s.move(s.coach, 2, 4).Refused, "nor for a coach")
	require.Len(t, s.store.Pins, before, "nothing is kept")
	s.at(3, 9, 0)
	require.Equal(t, weekplan.GoneBy, s.move(s.own, 5, 1).Refused)
}

// firstRefused says why a group's wish for the day would not be kept; an athlete may go
// to any time.
func firstRefused(t *testing.T, s *scene, from, to int) weekplan.Rule {
	t.Helper()
	w := s.week(0)
	choices, err := w.Choices(s.coach, weekplan.Run, monday+day.Date(from))
	require.NoError(t, err)
	require.True(t, choices[to].Insist, "a coach may insist")
	return choices[to].Refused
}

func TestTheSameKeyMovesOnce(t *testing.T) {
	s := begin(t)
	x := days.Shift{Key: "the-same-key", From: monday + 2, To: monday + 3}
	for i := range 2 {
		m, err := s.service.Move(t.Context(), s.own, s.athlete.ID, x)
		require.NoError(t, err)
		require.Equal(t, i == 1, m.Again)
	}
	require.Len(t, s.store.Pins, 1)
	back := days.Shift{Key: "another-key", From: monday + 3, To: monday + 2}
	for i := range 2 {
		m, err := s.service.Move(t.Context(), s.own, s.athlete.ID, back)
		require.NoError(t, err)
		require.Equal(t, i == 1, m.Again, "taking back, too")
	}
	s.shows("Mon run, Wed run, Fri run")
}

func TestOfTwoAtOnceTheSecondIsTold(t *testing.T) {
	s := begin(t)
	seen := s.week(0)
	s.move(s.coach, 2, 3)
	_, err := s.service.Move(t.Context(), s.own, s.athlete.ID, days.Shift{Key: s.key(), From: monday + 2, To: monday + 1})
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Contains(t, fault.MessageOf(err), "The week has changed meanwhile")
	_, err = s.store.AddPin(t.Context(), s.own, roster.Pin{Athlete: s.athlete.ID, Key: s.key(), On: monday + 5}, nil, seen.Athlete.WeekVersion)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "both had read the same week")
}

func TestACoachsDayAnAthleteCannotMove(t *testing.T) {
	s := begin(t)
	s.move(s.coach, 2, 3)
	require.Equal(t, weekplan.HeldByCoach, s.move(s.own, 3, 2).Refused)
	require.Equal(t, fault.Forbidden, fault.KindOf(s.service.Unpin(t.Context(), s.own, s.athlete.ID, s.store.Pins[0].ID)))
	require.NoError(t, s.service.Unpin(t.Context(), s.coach, s.athlete.ID, s.store.Pins[0].ID))
	require.NoError(t, s.service.Unpin(t.Context(), s.coach, s.athlete.ID, s.store.Pins[0].ID), "ended already is no fault")
	require.Equal(t, weekplan.NoRule, s.move(s.own, 3, 2).Refused)
}

func TestAFixedDayHoldsEveryWeekUntilItIsLeftFreeOnce(t *testing.T) {
	s := begin(t)
	_, err := s.service.Pin(t.Context(), s.own, s.athlete.ID, days.Fixed{Key: s.key(), Kind: weekplan.Run, Weekday: time.Tuesday, Part: weekplan.Evening})
	require.NoError(t, err)
	s.shows("Tue run, Fri run, Sun run")
	s.move(s.own, 1, 2)
	w := s.week(0)
	require.NotContains(t, shown(&w), "Tue run", "this week it is left free")
	next := s.week(7)
	require.Contains(t, shown(&next), "Tue run", "next week it holds")
	s.move(s.own, 2, 1)
	s.shows("Tue run, Fri run, Sun run")
}

func TestAGroupsDaysAreItsAthletes(t *testing.T) {
	s := begin(t)
	g := roster.Group{Name: "Early birds"}
	g.Meets[1], g.Meets[3] = readiness.Some(6*60+30), readiness.Some(18*60)
	id, err := s.service.SaveGroup(t.Context(), s.coach, g, s.key())
	require.NoError(t, err)
	require.NoError(t, s.service.SetHabits(t.Context(), s.coach, s.athlete.ID, days.Habits{Group: id}))
	s.shows("Tue run, Thu run, Sat run")
	w := s.week(0)
	one := w.Days[1].Sessions[0]
	require.Equal(t, "Early birds", one.Group)
	require.Equal(t, readiness.Some(390), one.At)
	require.Equal(t, weekplan.Morning, one.Part)
	require.NoError(t, s.service.RemoveGroup(t.Context(), s.coach, id))
	require.Zero(t, s.store.Athletes[s.athlete.ID].Group)
}

func TestAnAthleteSetsOnlyTheTimes(t *testing.T) {
	s := begin(t)
	require.NoError(t, s.service.SetHabits(t.Context(), s.coach, s.athlete.ID, days.Habits{Strength: 2, Legs: 1}))
	require.NoError(t, s.service.SetHabits(t.Context(), s.own, s.athlete.ID, days.Habits{Available: weekend(), Strength: 0}))
	a := s.store.Athletes[s.athlete.ID]
	require.Equal(t, weekend(), a.Available)
	require.Equal(t, 2, a.Strength)
	err := s.service.SetHabits(t.Context(), s.coach, s.athlete.ID, days.Habits{Strength: 1, Legs: 2})
	require.Equal(t, "legs", fault.FieldsOf(err)[0].Place)
	stranger := roster.Actor{Club: s.club.ID, Athlete: s.athlete.ID + 100}
	require.Equal(t, fault.NotFound, fault.KindOf(s.service.SetHabits(t.Context(), stranger, s.athlete.ID, days.Habits{})))
}

// The week is that of the athlete's own date, whatever the club's is, and a day has
// passed when it has for them.
func TestDaysAreTheAthletesOwn(t *testing.T) {
	for _, c := range []struct {
		why, zone string
		now       time.Time
		today     day.Date
		want      string
	}{
		{"a minute before midnight it is still Monday", "Europe/Lisbon", time.Date(2026, 6, 8, 22, 59, 0, 0, time.UTC), monday, "Mon run, Wed run, Fri run"},
		{"at midnight Monday's run was missed", "Europe/Lisbon", time.Date(2026, 6, 8, 23, 0, 0, 0, time.UTC), monday + 1, "Mon missed run>Sun, Wed run, Fri run, Sun run"},
		{"far in the east it is Tuesday already", "Pacific/Kiritimati", time.Date(2026, 6, 8, 12, 0, 0, 0, time.UTC), monday + 1, "Mon missed run>Sun, Wed run, Fri run, Sun run"},
		{"far in the west it is still Sunday", "Pacific/Pago_Pago", time.Date(2026, 6, 8, 8, 0, 0, 0, time.UTC), monday - 1, "Tue run, Thu run, Sun run"},
	} {
		t.Run(c.why, func(t *testing.T) {
			s := begin(t)
			s.change(func(a *roster.Athlete) { a.Zone, a.ArrivalSince = c.zone, monday-1 })
			s.now = c.now
			w := s.week(0)
			require.Equal(t, c.today, w.Today)
			require.Equal(t, c.want, shown(&w))
			own, err := s.service.Week(t.Context(), s.own, s.athlete.ID, 0)
			require.NoError(t, err)
			require.Equal(t, weekplan.Monday(c.today), own.Monday)
		})
	}
}

// Weeks in which clocks change have seven days like others, and so does the one over
// the end of a year that counts 53.
func TestWeeksWithOddDays(t *testing.T) {
	for name, first := range map[string]day.Date{
		"clocks go forward on Sunday": day.On(2026, time.March, 23), "clocks go back on Sunday": day.On(2026, time.October, 19),
		"week 53 of 2026": day.On(2026, time.December, 28),
	} {
		t.Run(name, func(t *testing.T) {
			s := begin(t)
			place := s.athlete.Place()
			for i := range 7 {
				for _, hour := range []int{0, 23} {
					s.now = (first + day.Date(i)).At(hour, place)
					w, err := s.service.Week(t.Context(), s.own, s.athlete.ID, 0)
					require.NoError(t, err)
					require.Equal(t, first, w.Monday)
					require.Equal(t, first+day.Date(i), w.Today)
					require.Equal(t, first+6, w.Days[6].On)
				}
			}
			s.now = (first + 7).Start(place)
			w, err := s.service.Week(t.Context(), s.own, s.athlete.ID, 0)
			require.NoError(t, err)
			require.Equal(t, first+7, w.Monday)
		})
	}
}

// What somebody typed a hundred times must not take the page of everybody from the coach.
func TestAWeekWithMoreSessionsThanAnybodyDoes(t *testing.T) {
	s := begin(t)
	for i := range 7 {
		for hour := range 20 {
			s.log(i, hour, readiness.Other, readiness.NotStated)
		}
		s.did(i, 21)
	}
	s.at(6, 23, 0)
	_, err := s.service.Week(t.Context(), s.own, s.athlete.ID, 0)
	require.NoError(t, err)
	s.at(9, 8, 0)
	_, err = s.service.Week(t.Context(), s.own, s.athlete.ID, 0)
	require.NoError(t, err)
}

func TestEverybodysWeek(t *testing.T) {
	s := begin(t)
	other := s.store.Runner(s.club.ID, "Aki Mori")
	weeks, err := s.service.Weeks(t.Context(), s.coach, 0)
	require.NoError(t, err)
	require.Len(t, weeks, 2)
	require.Equal(t, "Aki Mori", weeks[0].Athlete.Name)
	own, err := s.service.Week(t.Context(), s.coach, s.athlete.ID, 0)
	require.NoError(t, err)
	require.Equal(t, shown(&own), shown(&weeks[1]), "the same as one by one")
	apart := s.coach
	apart.OwnOnly = true
	other.Coach = s.coach.Coach + 100
	s.store.Athletes[other.ID] = other
	weeks, err = s.service.Weeks(t.Context(), apart, 0)
	require.NoError(t, err)
	require.Len(t, weeks, 1, "another coach's athlete is not seen")
	_, err = s.service.Week(t.Context(), apart, other.ID, 0)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = s.service.Week(t.Context(), s.own, s.athlete.ID, monday+7*(days.MostAhead+1))
	require.Equal(t, fault.NotFound, fault.KindOf(err), "too far ahead")
}
