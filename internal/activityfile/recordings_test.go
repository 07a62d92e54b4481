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
