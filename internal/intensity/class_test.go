package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/intensity"
)

// The borders of Garber and others, Med Sci Sports Exerc 2011;43:1334–1359, as two
// tables taken from it print them (both found): very light under 57 % of maximum
// and 30 % of reserve, light 57–63 and 30–39, moderate 64–76 and 40–59, vigorous
// 77–95 and 60–89, near-maximal from 96 and 90. What lies between the whole per
// cents (63.9) is our reading: it belongs to the class below.
func TestClassesBeginAtTheirPrintedNumber(t *testing.T) {
	of := func(begins ...intensity.Milli) func(intensity.Milli) intensity.Class {
		return func(permille intensity.Milli) intensity.Class {
			c := intensity.VeryLight
			for _, b := range begins {
				if permille >= 10*b {
					c++
				}
			}
			return c
		}
	}
	ofMax, ofReserve := of(57, 64, 77, 96), of(30, 40, 60, 90)
	rapid.Check(t, func(t *rapid.T) {
		permille := intensity.Milli(rapid.IntRange(0, 1100).Draw(t, "permille"))
		max := intensity.BPM(rapid.IntRange(100, 230).Draw(t, "max")).Milli()
		rest := intensity.BPM(rapid.IntRange(30, 99).Draw(t, "rest")).Milli()
		got, ok := intensity.ClassOfMax(permille*max/1000, max)
		require.True(t, ok)
		require.Equal(t, ofMax(permille), got, "of maximum")
		got, ok = intensity.ClassOfReserve(rest+permille*(max-rest)/1000, rest, max)
		require.True(t, ok)
		require.Equal(t, ofReserve(permille), got, "of reserve")
	})
}

func TestClassBordersToTheThousandth(t *testing.T) {
	const max = 200_000
	for _, c := range []struct {
		rate intensity.Milli
		want intensity.Class
		why  string
	}{
		{113_999, intensity.VeryLight, "just under 57 %"},
		{114_000, intensity.Light, "57 %, which a float takes for 56.99…"},
		{127_800, intensity.Light, "63.9 %, between two whole per cents"},
		{128_000, intensity.Moderate, "64 %"},
		{152_000, intensity.Moderate, "76 %"},
		{153_999, intensity.Moderate, "just under 77 %"},
		{154_000, intensity.Vigorous, "77 %"},
		{190_000, intensity.Vigorous, "95 %"},
		{191_999, intensity.Vigorous, "just under 96 %"},
		{192_000, intensity.NearMaximal, "96 %"},
		{210_000, intensity.NearMaximal, "above the maximum"},
	} {
		got, ok := intensity.ClassOfMax(c.rate, max)
		require.True(t, ok)
		require.Equal(t, c.want, got, c.why)
	}
	part, whole := 57.0, 100.0
	require.Less(t, part/whole*100, 57.0, "why none of this is done in floats")
}

// Why the two columns must not be mixed: computed from the definitions with a
// maximum of 180 and 70 at rest.
func TestShareOfMaximumIsNotShareOfReserve(t *testing.T) {
	for ofMax, want := range map[intensity.Milli]float64{65: 42.7, 75: 59.1, 76: 60.7, 85: 75.5, 95: 91.8} {
		rate := ofMax * 180_000 / 100
		reserve, ok := intensity.PercentOfReserve(rate, 70_000, 180_000)
		require.True(t, ok)
		require.InDelta(t, want, reserve, 0.05)
		share, ok := intensity.PercentOfMax(rate, 180_000)
		require.True(t, ok)
		require.InDelta(t, float64(ofMax), share, 1e-9)
	}
	for rest, want := range map[intensity.Milli]float64{60: 62.5, 70: 59.1, 80: 55.0} {
		reserve, ok := intensity.PercentOfReserve(135_000, 1000*rest, 180_000)
		require.True(t, ok)
		require.InDelta(t, want, reserve, 0.05)
	}
	byMax, _ := intensity.ClassOfMax(135_000, 180_000)
	byReserve, _ := intensity.ClassOfReserve(135_000, 60_000, 180_000)
	require.Equal(t, intensity.Moderate, byMax)
	require.Equal(t, intensity.Vigorous, byReserve)
}

func TestNoClassWithoutAMaximum(t *testing.T) {
	_, ok := intensity.ClassOfMax(120_000, 0)
	require.False(t, ok)
	_, ok = intensity.ClassOfReserve(120_000, 180_000, 180_000)
	require.False(t, ok)
	_, ok = intensity.PercentOfMax(120_000, 0)
	require.False(t, ok)
	_, ok = intensity.PercentOfReserve(120_000, 180_000, 170_000)
	require.False(t, ok)
}

func TestClassesHaveNames(t *testing.T) {
	require.Equal(t, "very light", intensity.VeryLight.String())
	require.Equal(t, "near-maximal to maximal", intensity.NearMaximal.String())
}
