package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

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

func TestZonesHoldTheirTops(t *testing.T) {
	for _, c := range []struct {
		rate intensity.Milli
		want intensity.Zone
		why  string
	}{
		{60_000, intensity.Zone1, "far under the top is zone 1 too"},
		{136_800, intensity.Zone1, "exactly 76 % of 180"},
		{136_801, intensity.Zone2, "a thousandth more"},
		{154_800, intensity.Zone2, "exactly 86 %"},
		{154_801, intensity.Zone3, "a thousandth more"},
		{200_000, intensity.Zone3, "above the maximum"},
	} {
		require.Equal(t, c.want, intensity.ZoneOfMax(c.rate, 180_000), c.why)
	}
	for _, c := range []struct {
		rate intensity.Milli
		want intensity.Zone
		why  string
	}{
		{50_000, intensity.Zone1, "below rest"},
		{132_000, intensity.Zone1, "exactly 60 % of the reserve from 60 to 180"},
		{132_001, intensity.Zone2, "a thousandth more"},
		{150_000, intensity.Zone2, "exactly 75 %"},
		{150_001, intensity.Zone3, "a thousandth more"},
	} {
		require.Equal(t, c.want, intensity.ZoneOfReserve(c.rate, 60_000, 180_000), c.why)
	}
}

func TestZonesNeverFallAsTheHeartRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		max := intensity.Milli(rapid.IntRange(100_000, 230_000).Draw(t, "max"))
		rest := intensity.Milli(rapid.IntRange(30_000, 99_000).Draw(t, "rest"))
		rate := intensity.Milli(rapid.IntRange(0, 240_000).Draw(t, "rate"))
		require.LessOrEqual(t, intensity.ZoneOfMax(rate, max), intensity.ZoneOfMax(rate+1, max))
		require.LessOrEqual(t, intensity.ZoneOfReserve(rate, rest, max), intensity.ZoneOfReserve(rate+1, rest, max))
	})
}
