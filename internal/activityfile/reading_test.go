package activityfile_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/trace"
)

// Hearts and sensors of other people: nothing in them was made up, so nothing but
// gaps and a last second without a heart rate is taken out. Seconds at or under 140,
// gaps and highest rates came with the recordings, counted without this program.
func TestNothingGenuineIsCleanedAway(t *testing.T) {
	for _, c := range []struct {
		name          string
		seconds, easy int // easy: at or under 140
		most          int // beats a minute, if only for a second
		artefacts     []trace.Artefact
	}{
		{"run-1hz.fit", 2833, 677, 178, []trace.Artefact{{From: 2804, To: 2805, Kind: trace.NoContact}}},
		{"run-smart.gpx", 948, 13, 203, []trace.Artefact{
			{From: 0 + 10, To: 20, Kind: trace.Gap}, {From: 403 + 10, To: 403 + 106, Kind: trace.Gap},
			{From: 516 + 10, To: 516 + 11, Kind: trace.Gap}, {From: 801 + 10, To: 801 + 52, Kind: trace.Gap},
		}},
		{"run-wide.csv", 1679, 400, 172, nil},
		{"run-time-bpm.csv", 2081, 910, 161, nil},
		{"ramp-elapsed-bpm.csv", 923, 75, 202, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := activityfile.Read(recorded(t, c.name))
			require.NoError(t, err)
			r := trace.Read(&file.Recording, nil, trace.Ceilings{})
			require.Equal(t, c.seconds, r.Seconds)
			require.Equal(t, c.artefacts, r.Artefacts)
			require.Empty(t, r.Warnings)
			easy, most := 0, int16(0)
			for _, rate := range r.Rates {
				if rate > 0 && rate <= 140 {
					easy++
				}
				most = max(most, rate)
			}
			require.Equal(t, c.easy, easy)
			require.InDelta(t, c.most, most, 1, "a last sample holds for no second")
			require.LessOrEqual(t, r.Peak, c.most)
			require.Greater(t, r.Peak, c.most-4, "held for ten seconds")
		})
	}
}
