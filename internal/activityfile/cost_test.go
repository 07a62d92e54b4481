package activityfile_test

import (
	"bytes"
	"runtime"
	"runtime/metrics"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/trace"
)

// costly are the longest files that are read, and files made to cost as much as
// they can.
func costly(t testing.TB) map[string]func() []byte {
	t.Helper()
	fillTo := func(size int, head, piece, tail string) func() []byte {
		return func() []byte {
			n := (size - len(head) - len(tail)) / len(piece)
			return []byte(head + strings.Repeat(piece, n) + tail)
		}
	}
	fill := func(head, piece, tail string) func() []byte { return fillTo(activityfile.MostBytes, head, piece, tail) }
	strap := func(head, piece, tail string) func() []byte {
		return fillTo(2<<20-1<<15, `{"halfhour_strap":1,`+head, piece, tail)
	}
	def := []byte{0x40, 0, 0, 20, 0, 0}
	full := []byte{0x61, 0, 0, 20, 0, 255}
	for i := range 255 {
		full = append(full, byte(i), 1, 0x02)
	}
	full = append(full, 255)
	for i := range 255 {
		full = append(full, byte(i), 255, 0)
	}
	latin := func() []byte {
		return bytes.Replace(gpxActivity(trace.MostSamples, time.Second), []byte("a test"), []byte("L\xe4uft"), 1)
	}
	return map[string]func() []byte{
		"fit":                       func() []byte { return fitActivity(t, trace.MostSamples, time.Second) },
		"gpx":                       func() []byte { return gpxActivity(trace.MostSamples, time.Second) },
		"csv":                       func() []byte { return csvActivity(trace.MostSamples, time.Second) },
		"csv packed":                func() []byte { return zipped(t, csvActivity(trace.MostSamples, time.Second)) },
		"gpx in Latin-1":            latin,
		"strap":                     func() []byte { return strapActivity(trace.MostSamples, time.Second) },
		"strap of twelve megabytes": fill(`{"halfhour_strap":1,"samples":`, " ", ""),
		"strap of lists":            strap(`"samples":`, "[", ""),
		"strap of marks":            strap(`"marks":[0`, ",1", "]}"),
		"strap of one text":         strap(`"started_at":"`, "a", `"}`),
		"strap of spaces":           strap(`"samples":[[0,99]`, " ", "]}"),
		"strap of one number":       strap(`"samples":[[0,`, "9", "]]}"),
		"fit of empty messages":     func() []byte { return rawFIT(append(def, make([]byte, activityfile.MostBytes-20)...)) },
		"fit of definitions":        func() []byte { return rawFIT(bytes.Repeat(full, (activityfile.MostBytes-14)/len(full))) },
		"fit in many parts":         func() []byte { return bytes.Repeat(rawFIT(def), activityfile.MostBytes/len(rawFIT(def))) },
		"xml of empty elements":     fill("<gpx>", "<a/>", "</gpx>"),
		"xml of attributes":         fill("<gpx>", "<a "+strings.Repeat("a='' ", 13_000)+"/>", "</gpx>"),
		"xml of points":             fill("<gpx><trk><trkseg>", "<trkpt lat='1' lon='2'/>", "</trkseg></trk></gpx>"),
		"xml of signs":              fill("<gpx><a>", "&lt;", "</a></gpx>"),
		"csv of empty lines":        fill("t,hr\n", "\n", ""),
		"csv of separators":         fill("t,hr\n", strings.Repeat(",", 60_000)+"\n", ""),
		"csv of one line":           fill("t,hr\n", ",", ""),
		"csv of quotes":             fill("t,hr\n", `"`, ""),
		"csv without an end":        fill("t,hr\n", "0,1", ""),
		"zeros, packed":             func() []byte { return zipped(t, make([]byte, 100<<20)) },
		"text in UTF-16":            fill("\xff\xfe", "\x20\x4e", ""),
		"half a pair in UTF-16":     fill("\xff\xfe", "\x00\xd8", ""),
		"letters of Latin-1 alone":  fill("", "\xe4", ""),
	}
}

// However a file is made, reading it takes less than 64 MB beside the file itself.
func TestNoFileTakesMuch(t *testing.T) {
	for name, made := range costly(t) {
		t.Run(name, func(t *testing.T) {
			body := made()
			begin := time.Now()
			peak := peakOf(func() { sound(t, body) })
			t.Logf("%.1f MB of file, %.1f MB at the peak, %v", float64(len(body))/1e6, float64(peak)/1e6, time.Since(begin).Round(time.Millisecond))
			require.Less(t, peak, uint64(64<<20))
		})
	}
}

// peakOf is how many more bytes the heap held at most than before the work, garbage
// among them.
func peakOf(work func()) uint64 {
	runtime.GC()
	before := heap()
	peak, done := before, make(chan struct{})
	stopped := make(chan uint64)
	go func() {
		for {
			select {
			case <-done:
				stopped <- peak
				return
			default:
				peak = max(peak, heap())
				runtime.Gosched()
			}
		}
	}()
	work()
	close(done)
	return <-stopped - before
}

func heap() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}
