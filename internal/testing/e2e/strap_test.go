package e2e

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/web"
)

// beat is what strap.js reads out of a notification.
type beat struct {
	BPM     *int
	Contact *bool
	Energy  *int
	RR      []float64
}

// modules is a browser on an empty page beside the files of the pages.
func modules(t *testing.T) *browser.Tab {
	t.Helper()
	files := http.FileServerFS(web.Static())
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/" {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			_, _ = w.Write([]byte("<!doctype html><title>modules</title><link rel=icon href='/icon.svg'>"))
			return
		}
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	tab := browser.New(t, browser.Phone)
	require.EqualValues(t, 200, tab.Open(server.URL+"/"))
	return tab
}

// The heart rate measurement of the Bluetooth SIG's Heart Rate Service, byte for
// byte: flags, rate, energy, intervals in 1/1024 s. The examples were computed from
// the field list of the service (found); that energy is in kilojoules is from
// memory.
func TestHeartRateMeasurementsAreDecoded(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	yes, no := true, false
	for _, row := range []struct {
		bytes   string
		bpm     int // 0: a dropout
		contact *bool
		energy  int // -1: none
		rr      []float64
		why     string
	}{
		{"00 48", 72, nil, -1, nil, "the strap cannot tell whether it feels skin"},
		{"02 50", 80, nil, -1, nil, "the contact bit alone means nothing"},
		{"06 8C", 140, &yes, -1, nil, "skin felt"},
		{"04 00", 0, &no, -1, nil, "no skin and no beat: a dropout"},
		{"04 48", 0, &no, -1, nil, "a rate without skin is one of before"},
		{"00 00", 0, nil, -1, nil, "no beat is never a heart rate of 0"},
		{"01 2C 01", 300, nil, -1, nil, "two bytes, the lower first"},
		{"07 B4 00", 180, &yes, -1, nil, "two bytes with skin felt"},
		{"16 55 D3 02", 85, &yes, -1, []float64{706.05}, "an interval"},
		{"1E 78 0A 00 00 02 F8 01", 120, &yes, 10, []float64{500, 492.19}, "energy and two intervals"},
		{"1F 96 00 2C 01 9A 01", 150, &yes, 300, []float64{400.39}, "everything in its widest form"},
		{"18 46 FF FF 00 04", 70, nil, 65535, []float64{1000}, "energy that is full"},
		{"E0 48", 72, nil, -1, nil, "reserved bits are not read"},
		{"06 8C FF", 140, &yes, -1, nil, "a byte too many is not read"},
	} {
		got := decoded(tab, row.bytes)
		require.NotNil(t, got, row.why)
		require.Equal(t, row.bpm == 0, got.BPM == nil, row.why)
		if row.bpm > 0 {
			require.Equal(t, row.bpm, *got.BPM, row.why)
		}
		require.Equal(t, row.contact, got.Contact, row.why)
		require.Equal(t, row.energy == -1, got.Energy == nil, row.why)
		if row.energy >= 0 {
			require.Equal(t, row.energy, *got.Energy, row.why)
		}
		require.Len(t, got.RR, len(row.rr), row.why)
		for i, want := range row.rr {
			require.InDelta(t, want, got.RR[i], 0.005, row.why)
		}
	}
	for _, malformed := range []string{"", "00", "01 48", "08 48 05", "10 50 01", "18 46 FF", "1F 96 00 2C"} {
		require.Nil(t, decoded(tab, malformed), "%q", malformed)
	}
	require.Empty(t, tab.Faults())
}

// decoded gives the bytes, in hexadecimal, to the decoder.
func decoded(tab *browser.Tab, bytes string) *beat {
	var list []string
	for b := range strings.FieldsSeq(bytes) {
		list = append(list, "0x"+b)
	}
	return browser.Eval[*beat](tab, fmt.Sprintf(
		`import('/strap.js').then(m => m.decode(new DataView(new Uint8Array([%s]).buffer)))`, strings.Join(list, ",")))
}

// A part of a longer buffer is read from where it begins.
func TestAViewIntoALongerBufferIsDecoded(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	bpm := browser.Eval[int](tab, `import('/strap.js').then(m => m.decode(new DataView(new Uint8Array([9, 9, 0, 72, 9]).buffer, 2, 2)).bpm)`)
	require.Equal(t, 72, bpm)
}

// The mean is that of the last fifteen seconds, by a clock that the test moves.
func TestTheMeanForgetsWhatIsOld(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	means := browser.Eval[[]*int](tab, `import('/strap.js').then(m => {
		let now = 0
		const recent = new m.Recent(15, () => now)
		const means = [recent.mean()]
		for (const [at, bpm] of [[1000, 120], [9000, 130], [15500, 135], [17000, 140]]) {
			now = at
			recent.add(bpm)
			means.push(recent.mean())
		}
		now = 40000
		means.push(recent.mean())
		return means
	})`)
	var got []int
	for _, m := range means {
		if m == nil {
			got = append(got, 0)
			continue
		}
		got = append(got, *m)
	}
	require.Equal(t, []int{0, 120, 125, 128, 135, 0}, got)
}
