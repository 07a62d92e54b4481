package entry_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func TestWhatCoachesAreToKnowAtOnce(t *testing.T) {
	hurts := func(score int8) func(*entry.Entry) {
		return func(e *entry.Entry) { e.Pain = []readiness.Pain{{Site: "knee", Score: score}} }
	}
	signs := func(signs ...readiness.Sign) func(*entry.Entry) { return func(e *entry.Entry) { e.Signs = signs } }
	for _, k := range []struct {
		first, then func(*entry.Entry)
		want        []roster.Alarm
		why         string
	}{
		{hurts(0), hurts(5), []roster.Alarm{0, 0}, "nothing that stops running"},
		{signs(readiness.Faint), hurts(0), []roster.Alarm{roster.AlarmSign, 0}, "taken back: nothing new"},
		{hurts(0), signs(readiness.NightPain), []roster.Alarm{0, roster.AlarmBone}, "told with a correction"},
		{hurts(6), hurts(8), []roster.Alarm{roster.AlarmPain, 0}, "of the same kind: known"},
		{hurts(6), signs(readiness.Faint, readiness.HopPain), []roster.Alarm{roster.AlarmPain, roster.AlarmSign | roster.AlarmBone}, "other kinds"},
	} {
		s := newScene(t, lisbon, "2026-04-14 08:00")
		e := whole(tuesday, 420)
		k.first(&e)
		r, err := s.log(e)
		require.NoError(t, err, k.why)
		e = whole(tuesday, 420)
		k.then(&e)
		_, err = s.use.Correct(context.Background(), s.who, 3, r.ID, 1, e)
		require.NoError(t, err, k.why)
		require.Equal(t, k.want, s.alarms, k.why)
	}
}

func TestAMorningAfterThatStopsRunning(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	e := whole(tuesday-1, 420)
	e.Pain = []readiness.Pain{{Site: "shin", Score: 4}}
	r, err := s.log(e)
	require.NoError(t, err)
	for _, score := range []int{5, 7, 8} {
		_, err = s.use.NextMorning(context.Background(), s.who, 3, r.ID, []entry.Morning{{Site: "shin", Score: readiness.Some(score)}})
		require.NoError(t, err)
	}
	require.Equal(t, []roster.Alarm{0, 0, roster.AlarmPain, 0}, s.alarms, "once, when it came to six")
}
