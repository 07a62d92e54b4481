package days_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
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

func TestASessionIsMovedAndMovedBack(t *testing.T) {
	s := begin(t)
	require.Equal(t, weekplan.NoRule, s.move(s.own, 2, 3).Refused)
	s.shows("Mon run, Thu run, Sat run")
	s.move(s.own, 3, 2)
	s.shows("Mon run, Wed run, Fri run")
	s.at(2, 6, 0)
	s.shows("Mon missed run>Sun, Wed run, Fri run, Sun run")
}
