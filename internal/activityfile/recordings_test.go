package activityfile_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/trace"
)

// facts came with the recordings, counted without this package.
type facts struct {
	records, hearts int
	least, most     int16
	mean            float64
	seconds         int32   // last time less first
	gaps            []int32 // over ten seconds: where each begins and how long it is
	easy            int     // seconds at or under 140
}

func TestRecordingsOfOthers(t *testing.T) {
	for _, c := range []struct {
		name, format string
		start        string
		facts        facts
	}{
		{"run-1hz.fit", activityfile.FIT, "", facts{2809, 2808, 69, 178, 153.98, 2833, nil, 677}},
		{"run-smart.gpx", activityfile.GPX, "2012-10-24T23:29:40Z", facts{206, 206, 130, 203, 190.01, 948, []int32{0, 20, 403, 106, 516, 11, 801, 52}, 13}},
		{"run-wide.csv", activityfile.CSV, "2021-03-24T21:40:55Z", facts{1679, 1679, 81, 172, 148.24, 1679, nil, 400}},
		{"run-time-bpm.csv", activityfile.CSV, "2021-06-21T21:08:56Z", facts{2082, 2082, 67, 161, 141.78, 2081, nil, 910}},
		{"ramp-elapsed-bpm.csv", activityfile.CSV, "", facts{924, 924, 114, 202, 173.77, 923, nil, 75}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := activityfile.Read(recorded(t, c.name))
			require.NoError(t, err)
			require.Equal(t, c.format, file.Format)
			require.Equal(t, c.facts, factsOf(file.Recording))
			if c.start != "" {
				require.Equal(t, c.start, file.Recording.Start.Format(time.RFC3339))
			}
		})
	}
}

// Where the recordings hold walks between runs, speed and steps show them.
func TestRecordingsOfOthersShowTheirWalks(t *testing.T) {
	for _, c := range []struct {
		name      string
		run, walk [2]int32 // seconds
		laps      []int32
	}{
		{"run-1hz.fit", [2]int32{900, 1900}, [2]int32{2522, 2719}, []int32{272, 1109, 1868}},
		{"run-wide.csv", [2]int32{400, 1000}, [2]int32{1356, 1543}, []int32{360, 703, 1092, 1524}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := read(t, recorded(t, c.name))
			runSpeed, runSteps := pace(r, c.run)
			walkSpeed, walkSteps := pace(r, c.walk)
			require.Greater(t, runSpeed, 220.0, "a run is faster than 2.2 m/s")
			require.Less(t, walkSpeed, 200.0, "a walk is slower than 2 m/s")
			require.InDelta(t, 165, runSteps, 15, "steps of both feet")
			require.Less(t, walkSteps, runSteps-15)
			require.Equal(t, c.laps, r.Laps)
		})
	}
}

// pace is the mean speed and steps of a stretch.
func pace(r trace.Recording, stretch [2]int32) (cm, steps float64) {
	n := 0.0
	for _, s := range r.Samples {
		if s.At >= stretch[0] && s.At < stretch[1] && s.Speed != trace.Unknown && s.Steps != trace.Unknown {
			cm, steps, n = cm+float64(s.Speed), steps+float64(s.Steps), n+1
		}
	}
	return cm / n, steps / n
}

// recorded is a file of testdata.
func recorded(t testing.TB, name string) []byte {
	t.Helper()
	body, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return body
}

func factsOf(r trace.Recording) facts {
	f := facts{records: len(r.Samples), least: math.MaxInt16}
	sum := 0
	for i, s := range r.Samples {
		holds := int32(0) // the last holds for no time that is known
		if i+1 < len(r.Samples) {
			holds = r.Samples[i+1].At - s.At
		}
		if holds > trace.Hold {
			f.gaps = append(f.gaps, s.At, holds)
		}
		if s.BPM == 0 {
			continue
		}
		f.hearts++
		sum += int(s.BPM)
		f.least, f.most = min(f.least, s.BPM), max(f.most, s.BPM)
		if s.BPM <= 140 {
			f.easy += int(min(holds, trace.Hold))
		}
	}
	f.mean = math.Round(100*float64(sum)/float64(f.hearts)) / 100
	f.seconds = r.Samples[len(r.Samples)-1].At - r.Samples[0].At
	return f
}
