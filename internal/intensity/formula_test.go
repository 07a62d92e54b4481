package intensity_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/intensity"
)

// The formulas are published (sources at the constants); the values below were
// computed from them by a script of its own. Found: Fox, Tanaka, Gellish linear,
// Nes, Zhu. From memory: the coefficients of Gellish quadratic.
func TestPredictedMaximaOfTheFormulas(t *testing.T) {
	want := map[intensity.Formula]map[int]float64{
		intensity.Fox:              {25: 195, 40: 180, 45: 175, 60: 160, 70: 150},
		intensity.Tanaka:           {25: 190.5, 40: 180, 45: 176.5, 60: 166, 70: 159},
		intensity.Gellish:          {25: 189.5, 40: 179, 45: 175.5, 60: 165, 70: 158},
		intensity.GellishQuadratic: {25: 187.625, 40: 180.8, 45: 177.825, 60: 166.8, 70: 157.7},
		intensity.Nes:              {25: 195, 40: 185.4, 45: 182.2, 60: 172.6, 70: 166.2},
		intensity.Zhu:              {25: 179.375, 40: 173, 50: 166},
	}
	for f, ages := range want {
		for age, beats := range ages {
			max, _ := f.Max(age)
			require.Equal(t, beats, max.Beats(), "%s at %d", f, age)
		}
	}
}

// Where the published lines cross is algebra.
func TestFormulasCrossWhereTheirLinesDo(t *testing.T) {
	at := func(f intensity.Formula, age int) intensity.Milli { max, _ := f.Max(age); return max }
	require.Equal(t, at(intensity.Fox, 40), at(intensity.Tanaka, 40))
	require.Equal(t, at(intensity.Fox, 25), at(intensity.Nes, 25))
	rapid.Check(t, func(t *rapid.T) {
		age := rapid.IntRange(18, 110).Draw(t, "age")
		require.Equal(t, intensity.Milli(1000), at(intensity.Tanaka, age)-at(intensity.Gellish, age))
		require.Equal(t, age > 40, at(intensity.Fox, age) < at(intensity.Tanaka, age))
	})
}

func TestMaximaFallWithAge(t *testing.T) {
	for f := intensity.Nes; f <= intensity.Zhu; f++ {
		from, to := f.Ages()
		for age := from; age < to; age++ {
			now, ok := f.Max(age)
			require.True(t, ok)
			later, _ := f.Max(age + 1)
			require.Less(t, later, now, "%s from %d to %d", f, age, age+1)
		}
		_, ok := f.Max(from - 1)
		require.False(t, ok, "%s is not used below its ages", f)
		_, ok = f.Max(to + 1)
		require.False(t, ok, "%s is not used above its ages", f)
	}
}

// The ages of the people tested: Gellish 27 to 78 and Zhu 18 to 50 found, Tanaka
// from memory.
func TestAgesAreThoseOfThePeopleTested(t *testing.T) {
	for f, want := range map[intensity.Formula][2]int{
		intensity.Gellish: {27, 78}, intensity.GellishQuadratic: {27, 78},
		intensity.Zhu: {18, 50}, intensity.Tanaka: {18, 81},
	} {
		from, to := f.Ages()
		require.Equal(t, want, [2]int{from, to}, f.String())
	}
}

func TestFormulasHaveTheNamesOfDocuments(t *testing.T) {
	names := []string{"nes", "fox", "tanaka", "gellish", "gellish_quadratic", "zhu"}
	for i, name := range names {
		f, ok := intensity.ParseFormula(name)
		require.True(t, ok)
		require.Equal(t, intensity.Formula(i), f)
		require.Equal(t, name, f.String())
	}
	for _, name := range []string{"", "Nes", "fox ", "astrand"} {
		_, ok := intensity.ParseFormula(name)
		require.False(t, ok, name)
	}
}

func TestMilliRoundsDown(t *testing.T) {
	require.Equal(t, intensity.Milli(132_000), intensity.BPM(132).Milli())
	require.Equal(t, intensity.BPM(132), intensity.Milli(132_999).Floor())
	require.Equal(t, 132.999, intensity.Milli(132_999).Beats())
}
