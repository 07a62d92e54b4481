package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/document"
)

// recordings are published activities, with licence and origin beside them.
const recordings = "../../internal/activityfile/testdata"

func traced(t *testing.T, in string, args ...string) document.Trace {
	t.Helper()
	c := call(t, in, append([]string{"trace"}, args...)...)
	require.Equal(t, 0, c.status, c.err)
	require.Empty(t, c.err)
	var d document.Trace
	require.NoError(t, json.Unmarshal([]byte(c.out), &d), c.out)
	return d
}

// The walks of two published runs, as the notes beside them tell (seconds; found by
// speed there): 1992 to 2045 of the one, 1055 to 1100 and 1356 to 1543 of the other.
// Neither was run to a plan; the plans here were written after what was done.
func TestWalksOfPublishedRuns(t *testing.T) {
	for _, c := range []struct {
		file, plan string
		walks      map[int][2]int // by block
	}{
		{"run-1hz.fit", "run 33:12, walk 0:53, run 13:09", map[int][2]int{1: {1992, 2045}}},
		{"run-wide.csv", "run 17:35, walk 0:45, run 4:16, walk 3:07, run 2:16", map[int][2]int{1: {1055, 1100}, 3: {1356, 1543}}},
	} {
		d := traced(t, "", filepath.Join(recordings, c.file), "--plan", c.plan, "--ceiling", "140")
		require.Equal(t, "speed", *d.By)
		for i, want := range c.walks {
			require.InDelta(t, want[0], d.Blocks[i].Start, 10, "%s block %d", c.file, i)
			require.InDelta(t, want[1], d.Blocks[i].End, 10, "%s block %d", c.file, i)
			require.NotEqual(t, "not_assessable", *d.Blocks[i].State)
		}
	}
}

// A walk of the modelled heart of the evidence: from 165 towards 115 with a time
// constant of 90 s, ceiling 135: under it from 82.47 s on, 54 % of three minutes.
const modelled = "walk 3:00, 5x(run 3:00, walk 3:00)"

func modelledCSV() string {
	var b strings.Builder
	b.WriteString("elapsed_s,bpm\n")
	rate, second := 115.0, 0
	minutes := func(n int, towards, constant float64) {
		for range 60 * n {
			fmt.Fprintf(&b, "%d,%.0f\n", second, rate)
			rate += (towards - rate) / constant
			second++
		}
	}
	minutes(3, 115, 30)
	for range 5 {
		minutes(3, 165.3, 30)
		minutes(3, 115, 90)
	}
	return b.String()
}

func TestTraceReadsAModelledSession(t *testing.T) {
	file := filepath.Join(t.TempDir(), "session.csv")
	require.NoError(t, os.WriteFile(file, []byte(modelledCSV()), 0o600))
	for _, d := range []document.Trace{
		traced(t, "", file, "--plan", modelled, "--ceiling", "135", "--ceiling-sd", "8"),
		traced(t, modelledCSV(), "-", "--plan", modelled, "--ceiling", "135", "--ceiling-sd", "8"),
	} {
		require.Equal(t, 1979, d.Duration)
		require.Equal(t, 1980, d.Samples)
		require.InDelta(t, 1, d.Coverage, 0.001)
		require.InDelta(t, 0, *d.Offset, 3)
		require.Equal(t, "heart_rate", *d.By)
		require.Empty(t, d.Artefacts)
		require.Len(t, d.Blocks, 11)
		require.Equal(t, "follows_no_run", *d.Blocks[0].Reason, "the warm-up follows no run")
		require.Nil(t, d.Blocks[1].State, "a run has none")
		for i := 2; i < len(d.Blocks)-1; i += 2 {
			b := d.Blocks[i]
			require.Equal(t, "settled", *b.State)
			require.InDelta(t, 0.54, *b.Share, 0.03)
			require.InDelta(t, 82.5, *b.Settle, 4)
			require.Less(t, *b.EasyLow, *b.Easy)
			require.Greater(t, *b.EasyHigh, *b.Easy)
			require.InDelta(t, 24.3, *b.Drop, 3, "50 beats · (1 − exp(−60/90))")
		}
	}
}

func TestTraceRefusesInWords(t *testing.T) {
	for _, c := range []struct {
		why, in string
		args    []string
		place   string
	}{
		{"no plan at all", "", []string{"--plan", "", "--ceiling", "130"}, "plan: "},
		{"no block", "", []string{"--plan", "jog 5:00", "--ceiling", "130"}, "plan: "},
		{"no heart", "", []string{"--plan", "run 5:00", "--ceiling", "30"}, "ceiling: "},
		{"not to be believed", "", []string{"--plan", "run 5:00", "--ceiling", "130", "--ceiling-sd", "40"}, "ceiling-sd: "},
		{"no recording", "good morning", []string{"--plan", "run 5:00", "--ceiling", "130"}, "file: "},
	} {
		got := call(t, c.in, append([]string{"trace", "-"}, c.args...)...)
		require.Equal(t, 2, got.status, c.why)
		require.Empty(t, got.out, c.why)
		require.True(t, strings.HasPrefix(got.err, c.place), "%s: %s", c.why, got.err)
	}
	got := call(t, "", "trace", filepath.Join(t.TempDir(), "none.fit"), "--plan", "run 5:00", "--ceiling", "130")
	require.Equal(t, 1, got.status)
	require.Contains(t, got.err, "cannot be opened")
}
