package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/intensity"
)

// The first row is a worked example of a public patient-education page (found),
// which rounds in steps and prints 156; the others were computed by script from
// Karvonen's definition.
func TestHeartRatesOfTheReserve(t *testing.T) {
	for _, c := range []struct {
		max, rest intensity.Milli
		percent   int
		want      intensity.Milli
	}{
		{193_000, 70_000, 70, 156_100},
		{180_000, 60_000, 40, 108_000},
		{180_000, 60_000, 60, 132_000},
		{175_000, 70_000, 30, 101_500},
		{175_000, 70_000, 40, 112_000},
		{175_000, 70_000, 60, 133_000},
		{175_000, 70_000, 90, 164_500},
		{176_500, 68_000, 40, 111_400},
		{176_500, 68_000, 59, 132_015},
		{176_500, 68_000, 60, 133_100},
	} {
		require.Equal(t, c.want, intensity.OfReserve(c.percent, c.rest, c.max))
	}
	require.Equal(t, intensity.BPM(156), intensity.OfReserve(70, 70_000, 193_000).Floor())
}
