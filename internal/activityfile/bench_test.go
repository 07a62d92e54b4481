package activityfile_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"testing"
	"time"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/proto"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/trace"
)

// An hour, second by second, beside what the libraries need to decode the same
// bytes and throw away what they find.
func BenchmarkAnHour(b *testing.B) {
	fitBody, gpxBody, csvBody := fitActivity(b, 3600, time.Second), gpxActivity(3600, time.Second), csvActivity(3600, time.Second)
	for _, c := range []struct {
		name string
		body []byte
		bare func(testing.TB, []byte)
	}{
		{"fit", fitBody, bareFIT}, {"gpx", gpxBody, bareXML}, {"csv", csvBody, bareCSV},
	} {
		b.Run(c.name, func(b *testing.B) { reading(b, c.body) })
		b.Run(c.name+"-library", func(b *testing.B) {
			b.SetBytes(int64(len(c.body)))
			b.ReportAllocs()
			for b.Loop() {
				c.bare(b, c.body)
			}
		})
	}
}

// The longest file that is read.
func BenchmarkTheLongest(b *testing.B) {
	b.Run("fit", func(b *testing.B) { reading(b, fitActivity(b, trace.MostSamples, time.Second)) })
	b.Run("gpx", func(b *testing.B) { reading(b, gpxActivity(trace.MostSamples, time.Second)) })
	b.Run("csv", func(b *testing.B) { reading(b, csvActivity(trace.MostSamples, time.Second)) })
	b.Run("strap", func(b *testing.B) { reading(b, strapActivity(trace.MostSamples, time.Second)) })
}

func reading(b *testing.B, body []byte) {
	b.Helper()
	b.SetBytes(int64(len(body)))
	b.ReportAllocs()
	for b.Loop() {
		_, err := activityfile.Read(body)
		require.NoError(b, err)
	}
}

// dropped takes messages and does nothing with them.
type dropped struct{}

func (dropped) OnMesg(proto.Message) {}

func bareFIT(t testing.TB, body []byte) {
	d := decoder.New(bytes.NewReader(body), decoder.WithMesgListener(dropped{}), decoder.WithBroadcastOnly())
	_, err := d.Decode()
	require.NoError(t, err)
}

func bareXML(t testing.TB, body []byte) {
	d := xml.NewDecoder(bytes.NewReader(body))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}

func bareCSV(t testing.TB, body []byte) {
	r := csv.NewReader(bytes.NewReader(body))
	r.ReuseRecord = true
	for {
		_, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
	}
}
