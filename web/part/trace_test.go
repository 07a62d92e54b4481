package part

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// steady is a recording of the same heart rate.
func steady(seconds int, bpm int16) []int16 {
	rates := make([]int16, seconds)
	for i := range rates {
		rates[i] = bpm
	}
	return rates
}

// points counts the points of a curve.
func points(path string) int { return strings.Count(path, "M") + strings.Count(path, "L") }

func TestTheCurveIsThinned(t *testing.T) {
	for _, seconds := range []int{1, 60, 400, 401, 1800, 7200, 43_200} {
		line := Trace{Rates: steady(seconds, 120)}.draw().line()
		require.LessOrEqual(t, points(line), traceMost)
		require.GreaterOrEqual(t, points(line), min(seconds, traceMost/2))
		require.Equal(t, 1, strings.Count(line, "M"), "one curve without a gap")
	}
}

func TestWhatWasNotRecordedIsAGapInTheCurve(t *testing.T) {
	rates := steady(300, 120)
	for i := 100; i < 140; i++ {
		rates[i] = 0
	}
	rates[200], rates[202] = 0, 0
	line := Trace{Rates: rates}.draw().line()
	require.Equal(t, 4, strings.Count(line, "M"), "two gaps of a second leave a single one between them")
	require.Contains(t, line, "h1", "which is seen")
	require.Empty(t, Trace{Rates: make([]int16, 90)}.draw().line(), "nothing usable: no curve")
}

// The session decides what is shown: a recording that begins long before it and
// ends long after is cut, a session outside of it is shown all the same.
func TestWhatIsShown(t *testing.T) {
	block := func(from, to int) []Beaten { return []Beaten{{Kind: Run, From: from, To: to}} }
	for why, row := range map[string]struct {
		trace    Trace
		from, to int
	}{
		"no session":           {Trace{Rates: steady(600, 100)}, 0, 600},
		"the same":             {Trace{Rates: steady(600, 100), Blocks: block(0, 600)}, 0, 600},
		"began an hour before": {Trace{Rates: steady(7200, 100), Blocks: block(3600, 5400)}, 3300, 5700},
		"began late":           {Trace{Rates: steady(600, 100), Blocks: block(-120, 600)}, -120, 600},
		"ended early":          {Trace{Rates: steady(600, 100), Blocks: block(0, 900)}, 0, 900},
		"nothing at all":       {Trace{}, 0, 60},
	} {
		d := row.trace.draw()
		require.Equal(t, row.from, d.from, why)
		require.Equal(t, row.to, d.to, why)
	}
}

func TestHeartRatesAreShownInTens(t *testing.T) {
	d := Trace{Rates: []int16{0, 92, 158, 0}, Easy: 132, Low: 127, High: 137}.draw()
	require.Equal(t, 80, d.low)
	require.Equal(t, 170, d.high)
	require.Zero(t, d.y(170))
	require.Equal(t, traceHeight, d.y(80))
	d = Trace{Rates: []int16{60, 62}, Easy: 132, Low: 124, High: 140}.draw()
	require.GreaterOrEqual(t, d.high, 140, "the ceiling is always in the picture")
	require.NotEmpty(t, Trace{}.draw().rates(), "an empty one has its lines too")
}

func TestMinutesBelowThePicture(t *testing.T) {
	words := func(t Trace) string {
		var all []string
		for _, k := range t.draw().ticks() {
			all = append(all, k.Words)
		}
		return strings.Join(all, " ")
	}
	require.Equal(t, "0 10 20 30 min", words(Trace{Rates: steady(1800, 100)}))
	require.Equal(t, "0 min", words(Trace{Rates: steady(60, 100)}))
	require.Equal(t, "0 10 min", words(Trace{Rates: steady(900, 100), Blocks: []Beaten{{From: 200, To: 900}}}), "they count from the start of the session")
	require.LessOrEqual(t, len(Trace{Rates: steady(43_200, 100)}.draw().ticks()), 10)
}

// Whatever a reading holds, everything lies inside the picture.
func TestTheTraceStaysInThePicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := Trace{
			Rates: rapid.SliceOfN(rapid.Int16Range(0, 250), 0, 900).Draw(t, "rates"),
			Easy:  rapid.IntRange(0, 220).Draw(t, "easy"),
		}
		tr.Low, tr.High = max(tr.Easy-8, 0), tr.Easy+8
		at := rapid.IntRange(-300, 300).Draw(t, "begin")
		for range rapid.IntRange(0, 6).Draw(t, "blocks") {
			to := at + rapid.IntRange(0, 400).Draw(t, "seconds")
			tr.Blocks = append(tr.Blocks, Beaten{Kind: Walk, From: at, To: to})
			at = to
		}
		d := tr.draw()
		for i, second := range []int{d.from, d.to, -10_000, 100_000, at} {
			share := d.share(second)
			require.True(t, share >= 0 && share <= 10_000, "%d: %d", i, share)
		}
		for _, bpm := range []int{0, tr.Easy, tr.High, 250} {
			require.True(t, d.y(bpm) >= 0 && d.y(bpm) <= traceHeight)
		}
		line := d.line()
		require.LessOrEqual(t, points(line), traceMost)
		for _, number := range strings.FieldsFunc(line, func(r rune) bool { return r < '0' && r != '-' || r > '9' }) {
			n, err := strconv.Atoi(number)
			require.NoError(t, err)
			require.True(t, n >= 0 && n <= traceWide, line)
		}
	})
}

// The key names what is in the picture and nothing else.
func TestTheKeyNamesWhatIsThere(t *testing.T) {
	tr := Trace{Blocks: []Beaten{{Sign: "met"}, {Sign: "mixed"}, {Sign: "met"}, {}}}
	require.Equal(t, []Flagged{{"met", "settled"}, {"mixed", "heart and breath disagree"}}, tr.signs())
	require.False(t, tr.taps())
	tr.Blocks[0].Tap = 40
	require.True(t, tr.taps())
}
