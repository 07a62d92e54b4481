package entry_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// today logs sessions at seven in the morning of the dates and asks what is next.
func (s *scene) today(t *testing.T, dates ...day.Date) entry.Today {
	t.Helper()
	for _, d := range dates {
		_, err := s.log(whole(d, 420))
		require.NoError(t, err)
	}
	got, err := s.use.Today(context.Background(), s.who, 3)
	require.NoError(t, err)
	return got
}

func TestNothingLoggedYet(t *testing.T) {
	got := newScene(t, lisbon, "2026-04-14 08:00").today(t)
	require.Equal(t, entry.Going, got.Way)
	require.Len(t, got.Plan, 12)
	require.Equal(t, []int{0, 3, 1}, []int{got.Done, got.Of, got.Number()})
	require.Equal(t, tuesday, got.Next)
	require.Nil(t, got.Last)
}

// Every row is the dates done, seen from Tuesday with three sessions a week.
func TestWhichSessionOfTheWeekIsNext(t *testing.T) {
	for _, row := range []struct {
		name   string
		a      int
		done   []day.Date
		number int
		next   day.Date
	}{
		{"two done, the last the day before yesterday", 3, []day.Date{tuesday - 4, tuesday - 2}, 3, tuesday},
		{"one done yesterday: a day between", 3, []day.Date{tuesday - 1}, 2, tuesday + 1},
		{"done today", 3, []day.Date{tuesday}, 2, tuesday + 2},
		{"three done: when the first of them leaves the seven days", 3, []day.Date{tuesday - 5, tuesday - 3, tuesday - 1}, 3, tuesday + 2},
		{"the first of four left the seven days today", 3, []day.Date{tuesday - 7, tuesday - 4, tuesday - 2}, 3, tuesday},
		{"five a week may follow each other", 5, []day.Date{tuesday - 1}, 2, tuesday},
		{"five a week, but not twice a day", 5, []day.Date{tuesday}, 2, tuesday + 1},
		{"long ago", 3, []day.Date{tuesday - 30}, 1, tuesday},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 20:00")
			s.athlete.SessionsAWeek = row.a
			got := s.today(t, row.done...)
			require.Equal(t, row.number, got.Number())
			require.Equal(t, row.next, got.Next)
		})
	}
}

func TestMissedAndExtraSessionsAreNotDone(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	for _, e := range []entry.Entry{
		{Date: tuesday - 1, Outcome: readiness.Missed},
		{Date: tuesday - 2, Outcome: readiness.CalledOff},
		{Date: tuesday - 3, Kind: readiness.Extra, Minutes: readiness.Some(40)},
	} {
		_, err := s.log(e)
		require.NoError(t, err)
	}
	got := s.today(t)
	require.Zero(t, got.Done)
	require.Len(t, got.Week, 2, "planned ones are listed all the same")
	require.Equal(t, tuesday, got.Next)
}

func TestTheWeekAcrossNewYearAndTheClockChange(t *testing.T) {
	s := newScene(t, lisbon, "2027-01-03 20:00") // the last day of ISO week 53
	got := s.today(t, day.On(2026, 12, 27), day.On(2026, 12, 28), day.On(2027, 1, 1))
	require.Equal(t, 2, got.Done, "27 December is seven days ago")
	s = newScene(t, "Europe/Berlin", "2026-03-31 00:30")
	got = s.today(t, day.On(2026, 3, 24), day.On(2026, 3, 25))
	require.Equal(t, 1, got.Done, "an hour less does not move a date")
}

func TestTheDayIsTheAthletesOwn(t *testing.T) {
	s := newScene(t, "Pacific/Kiritimati", "2026-04-15 06:00") // 14 April, 16:00 UTC
	got := s.today(t)
	require.Equal(t, tuesday+1, got.Date)
}

func TestWhoMayNotRun(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*scene)
		way    entry.Way
	}{
		{"chest pressure", func(s *scene) { s.sessions[0].Signs = []readiness.Sign{readiness.ChestPressure} }, entry.StopSigned},
		{"chest pressure and a pause", func(s *scene) {
			s.sessions[0].Signs = []readiness.Sign{readiness.ChestPressure}
			s.athlete.Held = roster.Paused
		}, entry.StopSigned},
		{"night pain", func(s *scene) { s.sessions[0].Signs = []readiness.Sign{readiness.NightPain} }, entry.ReferBone},
		{"sent to a doctor", func(s *scene) { s.athlete.Held = roster.Referred }, entry.Referred},
		{"paused by the coach", func(s *scene) { s.athlete.Held = roster.Paused }, entry.Paused},
		{"a limp", func(s *scene) { s.sessions[0].Limp = true }, entry.Paused},
		{"a limp on leave", func(s *scene) {
			s.sessions[0].Limp = true
			s.leave = []roster.Leave{{Span: day.Span{From: tuesday}}}
		}, entry.Paused},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 20:00")
			s.today(t, tuesday)
			row.change(s)
			got := s.today(t)
			require.Equal(t, row.way, got.Way)
			require.Empty(t, got.Plan, "nothing is prescribed")
			s.athlete.Held = roster.NotHeld
			s.athlete.ClearedOn, s.athlete.ClearedAt = tuesday, s.now
			s.leave = nil
			got = s.today(t)
			require.Equal(t, entry.Going, got.Way, "until a clearance")
			require.NotEmpty(t, got.Plan)
		})
	}
}

func TestOnLeave(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 20:00")
	s.leave = []roster.Leave{{Span: day.Span{From: tuesday - 20, To: tuesday - 15}}, {Span: day.Span{From: tuesday - 1, To: tuesday + 5}}}
	got := s.today(t)
	require.Equal(t, entry.OnLeave, got.Way)
	require.Equal(t, tuesday+5, got.Leave.To)
	require.NotEmpty(t, got.Plan)
}

func TestIllAndInjuredNobodyRuns(t *testing.T) {
	away := func(kind roster.LeaveKind, from, to day.Date) roster.Leave {
		return roster.Leave{Kind: kind, Span: day.Span{From: from, To: to}}
	}
	for _, row := range []struct {
		name  string
		leave []roster.Leave
		way   entry.Way
	}{
		{"ill", []roster.Leave{away(roster.Ill, tuesday-1, 0)}, entry.Ill},
		{"ill on holiday", []roster.Leave{away(roster.Ill, tuesday-1, 0), away(roster.OnHoliday, tuesday-5, tuesday+5)}, entry.Ill},
		{"injured while ill", []roster.Leave{away(roster.Injured, tuesday-1, 0), away(roster.Ill, tuesday-1, 0)}, entry.Hurt},
		{"well again", []roster.Leave{away(roster.Ill, tuesday-5, tuesday-1)}, entry.Going},
		{"well again today: rest until tomorrow", []roster.Leave{away(roster.Ill, tuesday-5, tuesday)}, entry.FromTomorrow},
		{"healed today, on the first phase", []roster.Leave{away(roster.Injured, tuesday-5, tuesday)}, entry.FromTomorrow},
		{"ill until tomorrow", []roster.Leave{away(roster.Ill, tuesday-5, tuesday+1)}, entry.Ill},
		{"holiday until today", []roster.Leave{away(roster.OnHoliday, tuesday-5, tuesday)}, entry.OnLeave},
		{"ill tomorrow", []roster.Leave{away(roster.Ill, tuesday+1, 0)}, entry.Going},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 20:00")
			s.leave = row.leave
			got := s.today(t, tuesday-3)
			require.Equal(t, row.way, got.Way)
			require.Equal(t, row.way <= entry.OnLeave, len(got.Plan) > 0)
		})
	}
}

// After an injury, and after eight weeks, nothing is prescribed until a coach has
// looked (rule 9.4).
func TestTheCoachLooksFirstAfterAnInjuryOrALongTime(t *testing.T) {
	for _, row := range []struct {
		name    string
		phase   string
		last    day.Date
		injured day.Date
		cleared day.Date
		way     entry.Way
	}{
		{"injured last week", "L3", tuesday - 9, tuesday - 8, 0, entry.CheckFirst},
		{"cleared since", "L3", tuesday - 9, tuesday - 8, tuesday - 1, entry.Going},
		{"injured, and put back to the first phase", "B1", tuesday - 9, tuesday - 8, 0, entry.Going},
		{"55 days without running: easier, but going", "L3", tuesday - 55, 0, 0, entry.Going},
		{"56 days", "L3", tuesday - 56, 0, 0, entry.CheckFirst},
		{"56 days, and put back", "B1", tuesday - 56, 0, 0, entry.Going},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, lisbon, "2026-04-14 20:00")
			s.today(t, row.last)
			s.athlete.Phase, s.athlete.InjuredOn, s.athlete.ClearedOn = row.phase, row.injured, row.cleared
			got := s.today(t)
			require.Equal(t, row.way, got.Way)
			require.Equal(t, row.way == entry.Going, len(got.Plan) > 0)
		})
	}
}

func TestMorningsNotToldOf(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 20:00")
	for _, row := range []struct {
		date day.Date
		pain []readiness.Pain
	}{
		{tuesday - 8, []readiness.Pain{{Site: "knee", Score: 2}}},
		{tuesday - 3, []readiness.Pain{{Site: "knee", Score: 2, NextMorning: readiness.Some(0)}, {Site: "shin", Score: 1}}},
		{tuesday - 1, []readiness.Pain{{Site: "knee", Score: 0}}},
		{tuesday, []readiness.Pain{{Site: "knee", Score: 2}}},
	} {
		e := whole(row.date, 420)
		e.Pain = row.pain
		_, err := s.log(e)
		require.NoError(t, err)
	}
	got := s.today(t)
	require.Len(t, got.FollowUps, 1, "not of long ago, not where it is told or was nothing, not before the morning")
	require.Equal(t, tuesday-3, got.FollowUps[0].Session.Date)
	require.Equal(t, "shin", got.FollowUps[0].Pain[0].Site)
	s.now = s.now.Add(24 * time.Hour)
	require.Len(t, s.today(t).FollowUps, 2)
}

// A clearance cannot have looked at what nobody had told yet.
func TestASignToldAfterTheClearance(t *testing.T) {
	for _, k := range []struct {
		why    string
		coach  roster.CoachID
		change func(*entry.Entry)
		way    entry.Way
	}{
		{"chest pressure in a session before it", 0, func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.ChestPressure} }, entry.StopSigned},
		{"night pain", 0, func(e *entry.Entry) { e.Signs = []readiness.Sign{readiness.NightPain} }, entry.ReferBone},
		{"a limp", 0, func(e *entry.Entry) { e.Limp = true }, entry.Paused},
		{"pain that holds is old by now", 0, func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "left shin", Score: 5}} }, entry.Going},
		{"entered by the coach, who has read it", 2, func(e *entry.Entry) { e.Limp = true }, entry.Going},
	} {
		s := newScene(t, lisbon, "2026-04-14 20:00")
		s.athlete.ClearedOn, s.athlete.ClearedAt = tuesday, s.now.Add(-2*time.Hour)
		s.who.Coach = k.coach
		e := whole(tuesday, 7*60)
		k.change(&e)
		_, err := s.log(e)
		require.NoError(t, err, k.why)
		require.Equal(t, k.way, s.today(t).Way, k.why)
		s.athlete.ClearedAt = s.now.Add(time.Minute)
		require.Equal(t, entry.Going, s.today(t).Way, "%s: cleared again", k.why)
	}
}
