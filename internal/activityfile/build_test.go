package activityfile_test

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/kit/hash/crc16"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/trace"
)

// begun is when the files made here begin.
var begun = time.Date(2026, 3, 2, 7, 0, 0, 0, time.UTC)

// refused is the sentence with which a file is refused.
func refused(t testing.TB, body []byte) string {
	t.Helper()
	_, err := activityfile.Read(body)
	require.Error(t, err)
	require.Equal(t, fault.Invalid, fault.KindOf(err))
	fields := fault.FieldsOf(err)
	require.Len(t, fields, 1)
	require.Equal(t, "file", fields[0].Place)
	return fields[0].Message
}

// read is the recording of a file that must be taken.
func read(t testing.TB, body []byte) trace.Recording {
	t.Helper()
	file, err := activityfile.Read(body)
	require.NoError(t, err)
	return file.Recording
}

// sample is one with neither speed nor steps.
func sample(at int32, bpm int16) trace.Sample {
	return trace.Sample{At: at, BPM: bpm, Speed: trace.Unknown, Steps: trace.Unknown}
}

// rate is a heart rate that changes, as if of somebody who runs and walks.
func rate(second int) int {
	if second%300 < 90 {
		return 125 + second%300/3
	}
	return 155 - (second%300-90)/7
}

// fitOf is a FIT file of the messages.
func fitOf(t testing.TB, options []encoder.Option, messages ...proto.Message) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, encoder.New(&b, options...).Encode(&proto.FIT{Messages: messages}))
	return b.Bytes()
}

func fileID(kind typedef.File) proto.Message {
	return mesgdef.NewFileId(nil).SetType(kind).SetTimeCreated(begun).ToMesg(nil)
}

// record is a record of a second after the beginning.
func record(second int, bpm uint8) *mesgdef.Record {
	return mesgdef.NewRecord(nil).SetTimestamp(begun.Add(time.Duration(second) * time.Second)).SetHeartRate(bpm)
}

// fitActivity is an activity with so many records, a step apart.
func fitActivity(t testing.TB, records int, step time.Duration) []byte {
	t.Helper()
	messages := []proto.Message{fileID(typedef.FileActivity)}
	for i := range records {
		r := record(0, uint8(rate(i))).SetTimestamp(begun.Add(time.Duration(i) * step)).
			SetPositionLat(int32(500_000_000 + 300*i)).SetPositionLong(int32(100_000_000 + 200*i)).
			SetEnhancedSpeed(uint32(2500 + i%40)).SetDistance(uint32(250 * i)).SetCadence(uint8(78 + i%5)).SetEnhancedAltitude(uint32(2600 + i%9))
		messages = append(messages, r.ToMesg(nil))
	}
	return fitOf(t, nil, messages...)
}

// reframed is the FIT file with another header: 12 bytes long, or 14 with that sum.
func reframed(body []byte, size int, sum uint16) []byte {
	data := body[body[0] : len(body)-2]
	out := make([]byte, size, len(body)+2)
	copy(out, body[:12])
	out[0] = byte(size)
	if size == 14 {
		binary.LittleEndian.PutUint16(out[12:], sum)
	}
	return summed(append(out, data...))
}

// summed is the FIT file with its checksum put behind.
func summed(body []byte) []byte {
	crc := crc16.New()
	_, _ = crc.Write(body)
	return binary.LittleEndian.AppendUint16(bytes.Clone(body), crc.Sum16())
}

// rawFIT is a FIT file with these bytes for messages.
func rawFIT(data []byte) []byte {
	header := []byte{12, 0x20, 0, 0, 0, 0, 0, 0, '.', 'F', 'I', 'T'}
	binary.LittleEndian.PutUint32(header[4:], uint32(len(data)))
	return summed(append(header, data...))
}

// gpxOf is a GPX file round what stands in its track.
func gpxOf(track string) []byte {
	return []byte(`<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="a test" xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:test"><trk>
` + track + `
</trk></gpx>
`)
}

// segment is a segment of a track.
func segment(points ...string) string {
	return "<trkseg>\n" + strings.Join(points, "\n") + "\n</trkseg>"
}

// bare is a point with a time and what else stands in it, at one place.
func bare(clock, more string) string {
	return fmt.Sprintf(`<trkpt lat="1.0" lon="2.0"><time>2026-03-02T%s</time>%s</trkpt>`, clock, more)
}

// beating is an extension with a heart rate.
func beating(bpm any) string {
	return fmt.Sprintf("<extensions><x:e><x:hr>%v</x:hr></x:e></extensions>", bpm)
}

// gpxActivity is a track with so many points, a step apart.
func gpxActivity(points int, step time.Duration) []byte {
	var b strings.Builder
	b.WriteString("<trkseg>\n")
	for i := range points {
		fmt.Fprintf(&b, "<trkpt lat=\"%.7f\" lon=\"%.7f\">\n<ele>%d.2</ele>\n<time>%s</time>\n", 41+float64(i)*2.5e-5, 8+float64(i)*1e-5, 30+i%7, begun.Add(time.Duration(i)*step).Format(time.RFC3339))
		fmt.Fprintf(&b, "<extensions><x:e><x:hr>%d</x:hr><x:cad>%d</x:cad></x:e></extensions>\n</trkpt>\n", rate(i), 78+i%5)
	}
	b.WriteString("</trkseg>")
	return gpxOf(b.String())
}

// csvActivity is a table with so many rows, a step apart.
func csvActivity(rows int, step time.Duration) []byte {
	var b bytes.Buffer
	b.WriteString("timestamp,heart_rate,enhanced_speed,cadence\n")
	for i := range rows {
		fmt.Fprintf(&b, "%s,%d,%d.%02d,%d\n", begun.Add(time.Duration(i)*step).Format("2006-01-02 15:04:05+00:00"), rate(i), 2, i%100, 78+i%5)
	}
	return b.Bytes()
}

// strapOf is what the phone writes down of a strap: lists of samples and of marks.
func strapOf(samples, marks string) []byte {
	return []byte(`{"halfhour_strap":1,"started_at":"2026-03-02T07:00:00Z","samples":[` + samples + `],"marks":[` + marks + `]}`)
}

// strapActivity is one with so many samples, a step apart.
func strapActivity(samples int, step time.Duration) []byte {
	var b strings.Builder
	for i := range samples {
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "[%d,%d]", (time.Duration(i) * step).Milliseconds(), rate(i))
	}
	return strapOf(b.String(), "0,1.5,3")
}

// zipped packs with gzip.
func zipped(t testing.TB, body []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := w.Write(body)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}
