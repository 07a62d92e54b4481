package trace_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// A device that writes a mean for every block leaps at each change and holds its
// value in between: that is how it writes, and no sensor that is stuck or counts steps.
func TestARecordingWrittenInSteps(t *testing.T) {
	plan, err := pathway.Parse("walk 5:00, 6x(run 1:30, walk 3:30)")
	require.NoError(t, err)
	var r trace.Recording
	for _, b := range plan {
		for range b.Planned {
			rate := int16(112)
			if b.Kind == pathway.Run {
				rate = 151
			}
			r.Samples = append(r.Samples, trace.Sample{At: int32(len(r.Samples)), BPM: rate, Speed: trace.Unknown, Steps: trace.Unknown})
		}
	}
	reading := trace.Read(&r, plan, trace.Ceilings{Easy: 132, EasyLow: 127, EasyHigh: 137})
	require.Empty(t, reading.Artefacts)
	require.Equal(t, trace.ByHeart, reading.By)
	start := 0
	for i, b := range reading.Blocks {
		require.InDelta(t, start, b.Start, 3, "block %d", i)
		start += b.Planned
		if i > 0 && b.Kind == pathway.Walk {
			require.Equal(t, trace.Settled, b.State, "block %d", i)
		}
	}
}
