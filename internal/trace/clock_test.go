package trace

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// written are samples at the seconds given, of a heart that never beats twice alike:
// 60, 61, 62 … in the order of the lines.
func written(seconds ...int) (samples []Sample) {
	for i, second := range seconds {
		samples = append(samples, Sample{At: int32(second), BPM: int16(60 + i%190), Speed: Unknown, Steps: Unknown})
	}
	return samples
}

// each are the whole seconds from one to the other, both included.
func each(from, to int) (seconds []int) {
	for second := from; second <= to; second++ {
		seconds = append(seconds, second)
	}
	return seconds
}

// ratesOf are the rates of a recording with these samples, and what is said of them.
func ratesOf(samples []Sample) ([]int16, []string) {
	c := chart(&Recording{Samples: samples})
	return c.rates, c.warnings
}

const apart = "more than an hour apart"

// The rates wanted are the numbers of the lines, second by second, from 60 on; 0: none.
func TestClocks(t *testing.T) {
	for _, c := range []struct {
		why     string
		seconds []int
		rates   []int16
		warning string
	}{
		{"nothing", nil, nil, ""},
		{"one sample holds for no second: nobody knows until when", []int{0}, []int16{}, ""},
		{"one sample, whatever its second", []int{500}, []int16{}, ""},
		{"all at one second", []int{7, 7, 7, 7}, []int16{}, ""},
		{"one a second", each(0, 4), []int16{60, 61, 62, 63}, ""},
		{"the first is at second 0", each(100, 104), []int16{60, 61, 62, 63}, ""},
		{"each holds until the next", []int{0, 2, 5}, []int16{60, 60, 61, 61, 61}, ""},
		{"ten seconds at most", []int{0, 12}, []int16{60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 0, 0}, ""},
		{"of two at one second the later counts", []int{0, 1, 1, 2}, []int16{60, 62}, ""},
		{"a single line out of order is left out", []int{0, 1, 3, 2, 4, 5}, []int16{60, 61, 61, 62, 64}, ""},
		{"so are three in their own order", []int{0, 1, 2, 3, 4, 5, 2, 3, 4, 6, 7}, []int16{60, 61, 62, 63, 64, 65, 69}, ""},
		{"four are a clock that jumped", []int{0, 1, 2, 3, 4, 5, 1, 2, 3, 4, 6, 7}, []int16{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 69, 70}, "back by 5 s"},
		{"a line far back is out of order", slices.Concat(each(0, 3), []int{-5000}, each(4, 6)), []int16{60, 61, 62, 63, 65, 66}, ""},
		{"lines that go back and back again are out of order", []int{0, 1, 2, 3, 9, 8, 7, 6, 5, 10}, []int16{60, 61, 62, 63, 63, 63, 63, 63, 63, 64}, ""},
		{"a clock that jumps back is spliced one second on", slices.Concat(each(0, 9), each(4, 8), each(9, 12)),
			[]int16{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71, 72, 73, 74, 75, 76, 77}, "back by 6 s"},
		{"a clock that jumps back just before the end", slices.Concat(each(0, 9), each(4, 5)), []int16{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70}, "back by 6 s"},
		{"one line alone at the end is none", slices.Concat(each(0, 9), []int{4}), []int16{60, 61, 62, 63, 64, 65, 66, 67, 68}, ""},
		{"it may jump twice", slices.Concat(each(0, 5), each(0, 5), each(0, 5)), []int16{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70, 71, 72, 73, 74, 75, 76}, "back by 12 s"},
		{"a wild time forward is left out", slices.Concat(each(0, 3), []int{50_000}, each(4, 6)), []int16{60, 61, 62, 63, 65, 66}, ""},
		{"so is one of minutes", slices.Concat(each(0, 3), []int{1800}, each(4, 9)), []int16{60, 61, 62, 63, 65, 66, 67, 68, 69}, ""},
		{"and one of some seconds", slices.Concat(each(0, 3), []int{20}, each(4, 9)), []int16{60, 61, 62, 63, 65, 66, 67, 68, 69}, ""},
		{"the last line too", slices.Concat(each(0, 6), []int{50_000}), []int16{60, 61, 62, 63, 64, 65}, apart},
		{"and the first", slices.Concat([]int{0}, each(50_000, 50_006)), []int16{61, 62, 63, 64, 65, 66}, apart},
		{"of stretches over an hour apart the one with most samples is read", slices.Concat(each(0, 3), each(4000, 4009), each(9000, 9004)),
			[]int16{64, 65, 66, 67, 68, 69, 70, 71, 72}, apart},
		{"of two alike the first", slices.Concat(each(0, 3), each(4000, 4003)), []int16{60, 61, 62}, apart},
		{"the least and the greatest second there is", slices.Concat([]int{math.MinInt32}, each(0, 3), []int{math.MaxInt32}, each(4, 5)), []int16{61, 62, 63, 64, 66}, ""},
		{"a start at the edge of what is read", each(farthest-3, farthest), []int16{60, 61, 62}, ""},
		{"only wild times", []int{math.MaxInt32, math.MinInt32, farthest + 1, -farthest - 1}, nil, ""},
	} {
		rates, warnings := ratesOf(written(c.seconds...))
		require.Len(t, rates, len(c.rates), c.why)
		require.Equal(t, c.rates, rates, c.why)
		if c.warning == "" {
			require.Empty(t, warnings, c.why)
			continue
		}
		require.Len(t, warnings, 1, c.why)
		require.Contains(t, warnings[0], c.warning, c.why)
	}
}

func TestAnHourApart(t *testing.T) {
	rates, warnings := ratesOf(written(0, 3600))
	require.Len(t, rates, 3600, "an hour is a long break")
	require.Empty(t, warnings)
	rates, warnings = ratesOf(written(0, 3601))
	require.Empty(t, rates, "a second more is another recording")
	require.Len(t, warnings, 1)
}

func TestTheLongestRecording(t *testing.T) {
	var seconds []int
	for second := 0; second <= LongestTime+600; second += 10 {
		seconds = append(seconds, second)
	}
	rates, _ := ratesOf(written(seconds...))
	require.Len(t, rates, LongestTime, "what lies behind twelve hours is not read")
	require.NotContains(t, rates, int16(0))
}

// Some devices write the same lines again after a break of their own.
func TestLinesThatAreRepeated(t *testing.T) {
	all := written(each(0, 199)...)
	want, _ := ratesOf(all)
	for _, c := range []struct {
		why      string
		from, to int // lines written once more behind line to
	}{
		{"twenty of them", 80, 100},
		{"a hundred", 0, 100},
		{"four", 96, 100},
		{"all", 0, 200},
		{"the last three", 197, 200},
	} {
		rates, warnings := ratesOf(slices.Concat(all[:c.to], all[c.from:c.to], all[c.to:]))
		require.Equal(t, want, rates, c.why)
		require.Empty(t, warnings, c.why)
	}
	var twice []Sample
	for _, s := range all {
		twice = append(twice, s, s)
	}
	rates, warnings := ratesOf(twice)
	require.Equal(t, want, rates, "each line twice")
	require.Empty(t, warnings)
}

// Nine of ten lines alike are a repeat, fewer a clock that jumped.
func TestARepeatIsToldFromAJump(t *testing.T) {
	all := written(each(0, 99)...)
	for changed, repeat := range map[int]bool{0: true, 3: true, 4: false, 30: false} {
		again := slices.Clone(all[40:])
		for i := range changed {
			again[i].BPM += 100
		}
		rates, warnings := ratesOf(slices.Concat(all, again))
		require.Equal(t, repeat, len(warnings) == 0, "%d of the first 30 lines differ", changed)
		require.Equal(t, repeat, len(rates) == 99, "%d of the first 30 lines differ", changed)
	}
}

// Of several lines at one second the last known of each value counts.
func TestLinesAtOneSecond(t *testing.T) {
	line := func(bpm, speed, steps int16) Sample { return Sample{1, bpm, speed, steps} }
	for _, c := range []struct {
		why   string
		lines []Sample
		want  Sample
	}{
		{"the last", []Sample{line(100, 150, 110), line(110, 160, 115)}, line(110, 160, 115)},
		{"no heart rate is none", []Sample{line(100, 150, 110), line(0, 160, 115)}, line(100, 160, 115)},
		{"rather one that is", []Sample{line(0, 150, 110), line(110, Unknown, Unknown)}, line(110, 150, 110)},
		{"each value may stand on its own line", []Sample{line(0, 150, Unknown), line(0, Unknown, 110), line(100, Unknown, Unknown)}, line(100, 150, 110)},
		{"standing still is known", []Sample{line(0, 150, 110), line(0, 0, 0)}, line(0, 0, 0)},
	} {
		course := chart(&Recording{Samples: slices.Concat([]Sample{{At: 0}}, c.lines, []Sample{{At: 2}})})
		require.Equal(t, c.want, Sample{1, course.rates[1], course.speeds[1], course.steps[1]}, c.why)
	}
}

var walkRunWalk = []pathway.Block{{Kind: pathway.Walk, Planned: 120}, {Kind: pathway.Run, Planned: 120}, {Kind: pathway.Walk, Planned: 180}}

// Where only a later stretch is read, laps and marks move with it.
func TestLapsAndMarksOfALaterStretch(t *testing.T) {
	rates := joined(walking(120, 110), going(120, 110, 160, 30), going(180, 160, 110, 60))
	r := Recording{Samples: written(each(0, 20)...), Marks: []int32{10_000, 10_120, 10_240, 10_420}}
	for second, rate := range rates {
		r.Samples = append(r.Samples, Sample{At: int32(10_000 + second), BPM: rate, Speed: Unknown, Steps: Unknown})
	}
	c := chart(&r)
	require.Equal(t, 10_000, c.shift)
	bounds, by := c.align(&r, walkRunWalk)
	require.Equal(t, ByMarks, by)
	require.Equal(t, []int{0, 120, 240, 420}, bounds)
	require.Equal(t, fmt.Sprint(rates[:419]), fmt.Sprint(c.rates))
}
