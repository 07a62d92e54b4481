package morning_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func TestWhenASilenceBegins(t *testing.T) {
	leave := func(from, to day.Date) func(*roster.File) {
		return func(f *roster.File) {
			f.Leave = []roster.Leave{{Kind: roster.OnHoliday, Span: day.Span{From: tuesday - from, To: tuesday - to}}}
		}
	}
	for _, k := range []struct {
		ago          day.Date // of the last session
		change       func(*roster.File)
		holds, first bool
		why          string
	}{
		{6, nil, false, false, "six days are none"},
		{7, nil, true, true, "the first day"},
		{8, nil, true, false, "the second"},
		{9, leave(8, 7), true, true, "days away do not count"},
		{12, leave(11, 0), false, false, "is away"},
		{7, func(f *roster.File) { f.Athlete.Held, f.Athlete.HeldSince = roster.Paused, tuesday-3 }, false, false, "is held"},
		{7, func(f *roster.File) { f.Athlete.Arrival = roster.Answered }, false, false, "is not here yet"},
		{7, func(f *roster.File) { f.Athlete.LeftAt = time.Unix(1, 0) }, false, false, "has left"},
		{7, func(f *roster.File) { f.Sessions[0].Signs = []readiness.Sign{readiness.Faint} }, false, false, "there is something to stop for"},
		{20, func(f *roster.File) { f.Athlete.ClearedOn = tuesday - 6 }, false, false, "was cleared six days ago"},
		{20, func(f *roster.File) { f.Athlete.ClearedOn = tuesday - 7 }, true, true, "a week after a clearance"},
	} {
		s := newScene()
		f := s.add("Ines", "L3", done("L3", k.ago))
		if k.change != nil {
			k.change(f)
		}
		got, err := s.use.Silence(context.Background(), 7, f.Athlete.ID)
		require.NoError(t, err, k.why)
		require.Equal(t, morning.Silence{Since: tuesday - k.ago, Holds: k.holds, First: k.first}, got, k.why)
	}
}

func TestASilenceWithoutASession(t *testing.T) {
	s := newScene()
	f := s.add("Ines", "L3")
	f.Athlete.PhaseSince = tuesday - 7
	got, err := s.use.Silence(context.Background(), 7, f.Athlete.ID)
	require.NoError(t, err)
	require.Equal(t, morning.Silence{Since: tuesday - 7, Holds: true, First: true}, got, "counts from the day the phase began")
	f.Athlete.Pathway = 9
	_, err = s.use.Silence(context.Background(), 7, f.Athlete.ID)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "on a pathway that is gone")
}
