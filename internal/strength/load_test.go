package strength_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/strength"
)

// told is a session so many days ago.
func told(ago, minutes, planned int, effort readiness.Maybe) readiness.Session {
	date := asOf - day.Date(ago)
	s := readiness.Session{
		StartedAt: date.UTC().Add(18 * time.Hour), Date: date, Kind: readiness.Strength, Minutes: readiness.Some(minutes), Effort: effort,
	}
	if planned > 0 {
		s.PlannedMinutes = readiness.Some(planned)
	}
	return s
}

func assess(sessions ...readiness.Session) readiness.Verdict {
	return readiness.Assess(&readiness.History{
		AsOf: asOf, Place: time.UTC, Pathway: pathway.Default(), Phase: "L1", PhaseSince: asOf - 60, HistorySince: asOf - 60, Sessions: sessions,
	})
}

func TestASessionCountsAsLoad(t *testing.T) {
	v := assess(told(1, 25, 25, readiness.Some(5)), told(3, 20, 25, readiness.Maybe{}))
	require.Equal(t, float64(25*5+20*5), v.Load.Week, "minutes × effort; a missing effort is that of the others (rule 8.1)")
	require.Equal(t, 1, v.Load.Filled)
}

// A week of strength that was planned is no jump, the same unplanned is (rule 8.3 b).
func TestWhatWasPlannedIsNoJump(t *testing.T) {
	week := func(planned int) readiness.Verdict {
		var s []readiness.Session
		for ago := 8; ago < 35; ago += 3 {
			s = append(s, told(ago, 10, 10, readiness.Some(3)))
		}
		for ago := 0; ago < 6; ago += 2 {
			s = append(s, told(ago, 25, planned, readiness.Some(5)))
		}
		return assess(s...)
	}
	planned, unplanned := week(25), week(0)
	require.Zero(t, planned.Flags&readiness.FlagLoadJump)
	require.NotZero(t, unplanned.Flags&readiness.FlagLoadJump)
}

func TestPainOfAStrengthSessionIsRead(t *testing.T) {
	s := told(1, 25, 25, readiness.Some(5))
	s.PainAsked, s.Pain = true, []readiness.Pain{{Site: "left knee", Score: 7}}
	require.Equal(t, readiness.Pause, assess(s).Action)
}

func TestMinutes(t *testing.T) {
	// Two sets of 12 repetitions at 4 s with a rest of 75 s, then 45 s to the next: 216 s;
	// twice as long on two sides: 312 s.
	s := strength.Session{Slots: []strength.Slot{{Exercise: "squat", Target: strength.Beginner()}, {Exercise: "one-arm-row", Target: strength.Beginner()}}}
	require.Equal(t, 9, s.Minutes(strength.Standard()), "528 s, rounded up")
	s = strength.Session{Slots: []strength.Slot{{Exercise: "plank", Target: strength.BeginnerHold()}}}
	require.Equal(t, 3, s.Minutes(strength.Standard()), "2 × 30 + 75 + 45 = 180 s")

	require.Equal(t, 13, strength.MinutesDone(25, 6, 12), "12.5, rounded up from the half")
	require.Equal(t, 25, strength.MinutesDone(25, 14, 12), "more sets than planned")
	require.Equal(t, 1, strength.MinutesDone(3, 1, 12), "something is never nothing")
	require.Zero(t, strength.MinutesDone(25, 0, 12))
	require.Zero(t, strength.MinutesDone(25, 3, 0))
}

func TestARackIsLookedAt(t *testing.T) {
	for _, c := range []struct {
		rack  strength.Rack
		place string
	}{
		{strength.Rack{List: []int{5000, 50}}, "list[1]"},
		{strength.Rack{List: []int{100_001}}, "list[0]"},
		{strength.Rack{List: make([]int, 61)}, "list"},
		{strength.Rack{Least: 50, Most: 10_000, Step: 500}, "least"},
		{strength.Rack{Least: 2000, Most: 1000, Step: 500}, "most"},
		{strength.Rack{Least: 2000, Most: 10_000}, "step"},
	} {
		faults := c.rack.Check()
		require.NotEmpty(t, faults)
		require.Equal(t, c.place, faults[0].Place)
	}
	good := kilograms(10, 2.5, 10, 5)
	require.Empty(t, good.Check())
	require.Equal(t, []int{2500, 5000, 10_000}, good.Weights())
	step := strength.Rack{Least: 2000, Most: 7000, Step: 2500}
	require.Empty(t, step.Check())
	require.Equal(t, []int{2000, 4500, 7000}, step.Weights())
	require.Equal(t, "7.5 kg", strength.Kilograms(7500))
	require.Equal(t, "20 kg", strength.Kilograms(20_000))
}
