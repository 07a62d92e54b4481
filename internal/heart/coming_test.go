package heart_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// Heart rate comes after the answers and the coach's word: they say whether it counts.
func TestNothingIsMeasuredBeforeSomebodyIsHere(t *testing.T) {
	for _, arrival := range []roster.Arrival{roster.Invited, roster.Answered, roster.Withdrawn, ""} {
		s := newScene(t)
		s.athlete.Arrival = arrival
		s.Athletes[s.athlete.ID] = s.athlete
		for what, err := range map[string]error{
			"a talk test": s.use.TalkTest(t.Context(), s.mine, s.athlete.ID, "key-of-the-test", []intensity.Stage{{Rate: 110, Talk: intensity.Chat}, {Rate: 125, Talk: intensity.Sentence}}),
			"a rate":      s.use.Measure(t.Context(), s.coach, s.athlete.ID, "key-of-the-rate", roster.RestMeasured, 60, s.athlete.Today(s.now)),
			"a recording": func() error {
				_, err := s.use.Attach(t.Context(), s.mine, s.athlete.ID, 1, []byte("x"), false, false)
				return err
			}(),
		} {
			require.Equal(t, fault.Conflict, fault.KindOf(err), "%s of somebody %s: %v", what, arrival, err)
		}
		require.Empty(t, s.Measured)
		pulse, err := s.use.Pulse(t.Context(), s.mine, s.athlete.ID)
		require.NoError(t, err, "what is known can be looked at")
		require.Empty(t, pulse.Measurements)
	}
}
