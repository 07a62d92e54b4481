package activityfile_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"
	"time"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/trace"
)

func TestFITFields(t *testing.T) {
	activity := fileID(typedef.FileActivity)
	for _, c := range []struct {
		why    string
		record *mesgdef.Record
		want   trace.Sample
	}{
		{"heart rate alone", record(1, 140), sample(1, 140)},
		{"no heart rate", record(1, 0xFF), sample(1, 0)},
		{"no contact", record(1, 0), sample(1, 0)},
		{"no heart beats so fast", record(1, 251), sample(1, 0)},
		{"the fastest that may be", record(1, 250), sample(1, 250)},
		{"millimetres a second", record(1, 140).SetSpeed(2504), trace.Sample{At: 1, BPM: 140, Speed: 250, Steps: trace.Unknown}},
		{"rounded", record(1, 140).SetSpeed(2505), trace.Sample{At: 1, BPM: 140, Speed: 251, Steps: trace.Unknown}},
		{"the wider field goes before", record(1, 140).SetSpeed(1000).SetEnhancedSpeed(2500), trace.Sample{At: 1, BPM: 140, Speed: 250, Steps: trace.Unknown}},
		{"nobody is so fast on foot", record(1, 140).SetEnhancedSpeed(4_000_000), sample(1, 140)},
		{"speed and way in three bytes", record(1, 140).SetCompressedSpeedDistance([3]byte{0xFA, 0x30, 0x12}), trace.Sample{At: 1, BPM: 140, Speed: 0xFA, Steps: trace.Unknown}},
		{"turns of one foot", record(1, 140).SetCadence(82), trace.Sample{At: 1, BPM: 140, Speed: trace.Unknown, Steps: 164}},
		{"and half a turn", record(1, 140).SetCadence(82).SetFractionalCadence(64), trace.Sample{At: 1, BPM: 140, Speed: trace.Unknown, Steps: 165}},
		{"and three quarters of one", record(1, 140).SetCadence(82).SetFractionalCadence(96), trace.Sample{At: 1, BPM: 140, Speed: trace.Unknown, Steps: 166}},
		{"standing still", record(1, 140).SetCadence(0).SetEnhancedSpeed(0), trace.Sample{At: 1, BPM: 140, Speed: 0, Steps: 0}},
	} {
		for order, options := range map[string][]encoder.Option{"little": nil, "big": {encoder.WithBigEndian()}} {
			t.Run(c.why+", "+order+" end first", func(t *testing.T) {
				r := read(t, fitOf(t, options, activity, record(0, 100).ToMesg(nil), c.record.ToMesg(nil)))
				require.Equal(t, []trace.Sample{sample(0, 100), c.want}, r.Samples)
				require.Equal(t, begun, r.Start)
			})
		}
	}
}

func TestFITHeaders(t *testing.T) {
	body := fitActivity(t, 30, time.Second)
	want := read(t, body)
	for why, other := range map[string][]byte{
		"a short header":                            reframed(body, 12, 0),
		"a header without a sum":                    reframed(body, 14, 0),
		"a header whose own sum is wrong":           reframed(body, 14, 0x1234),
		"a sum over the messages alone":             append(bytes.Clone(reframed(body, 12, 0)[:len(body)-4]), summed(body[14 : len(body)-2])[len(body)-16:]...),
		"filled up with zeros":                      append(bytes.Clone(body), make([]byte, 500)...),
		"times in the headers of messages":          fitOf(t, []encoder.Option{encoder.WithHeaderOption(encoder.HeaderOptionCompressedTimestamp, 3)}, messagesOf(t, 30)...),
		"another file behind that is no activity":   append(bytes.Clone(body), fitOf(t, nil, fileID(typedef.FileSettings), record(0, 99).ToMesg(nil))...),
		"another file in front that is no activity": append(fitOf(t, nil, fileID(typedef.FileSettings), record(0, 99).ToMesg(nil)), body...),
	} {
		t.Run(why, func(t *testing.T) {
			got := read(t, other)
			require.Len(t, got.Samples, 30)
			for i, s := range got.Samples {
				require.Equal(t, want.Samples[i].At, s.At)
				require.Equal(t, want.Samples[i].BPM, s.BPM)
			}
			require.Equal(t, want.Start, got.Start)
		})
	}
	for _, c := range []struct {
		why  string
		body []byte
		says string
	}{
		{"wrong sum", append(bytes.Clone(body[:len(body)-2]), body[len(body)-2]^1, body[len(body)-1]), "the file was damaged on its way"},
		{"only a header", body[:14], "the file ends too early: 14 of"},
		{"half a header", body[:12], "the file ends too early"},
		{"never finished", summed(append(bytes.Clone(body[:4]), 0, 0, 0, 0, '.', 'F', 'I', 'T', 0, 0)), "the device did not finish writing this file"},
		{"a size of four gigabytes", summed(append(bytes.Clone(body[:4]), 0xFF, 0xFF, 0xFF, 0xFF, '.', 'F', 'I', 'T', 0, 0)), "the file ends too early"},
		{"a header of a size that there is not", append([]byte{13}, body[1:]...), "no FIT file"},
		{"something else behind", append(bytes.Clone(body), []byte("and a few words more")...), "after its first part the file holds something that is no FIT file"},
		{"a few bytes behind", append(bytes.Clone(body), 1, 2), "the file ends in the middle of a record"},
		{"no records", fitOf(t, nil, fileID(typedef.FileActivity)), "there are no records with a time in this file"},
		{"no heart rate", fitOf(t, nil, fileID(typedef.FileActivity), record(0, 0xFF).ToMesg(nil), record(1, 0).ToMesg(nil)), "there is no heart rate in this file"},
		{"heart rate in messages of its own", fitOf(t, nil, fileID(typedef.FileActivity), record(0, 0xFF).ToMesg(nil), mesgdef.NewHr(nil).SetTimestamp(begun).SetFilteredBpm([]uint8{120}).ToMesg(nil)), "kept apart from its records"},
		{"records without a time", fitOf(t, nil, fileID(typedef.FileActivity), mesgdef.NewRecord(nil).SetHeartRate(120).ToMesg(nil)), "there are no records with a time"},
		{"a message that nothing describes", rawFIT([]byte{0x00, 1, 2, 3}), "not put together as a FIT file should be (byte 13)"},
		{"a message longer than the file", rawFIT([]byte{0x40, 0, 0, 20, 0, 1, 3, 200, 2, 0x00, 1}), "not put together as a FIT file should be"},
		{"a definition longer than the file", rawFIT([]byte{0x40, 0, 0, 20, 0, 200, 3, 1, 2}), "not put together as a FIT file should be"},
	} {
		t.Run(c.why, func(t *testing.T) { require.Contains(t, refused(t, c.body), c.says) })
	}
}

// messagesOf are those of a small activity with nothing but heart rates.
func messagesOf(t *testing.T, records int) []proto.Message {
	t.Helper()
	all := []proto.Message{fileID(typedef.FileActivity)}
	for i := range records {
		all = append(all, record(i, uint8(rate(i))).ToMesg(nil))
	}
	return all
}

// Definitions as no writer should make them, and some do.
func TestFITDefinitionsThatAreOdd(t *testing.T) {
	stamp := binary.LittleEndian.AppendUint32(nil, 1_100_000_000)
	one := func(size, base byte, value ...byte) []byte {
		definition := []byte{0x40, 0, 0, 20, 0, 2, 253, 4, 0x86, 3, size, base}
		return rawFIT(append(append(append(definition, 0x00), stamp...), value...))
	}
	for _, c := range []struct {
		why  string
		body []byte
		want int16 // 0: refused, since there is no heart rate
	}{
		{"as it should be", one(1, 0x02, 131), 131},
		{"in two bytes", one(2, 0x84, 131, 0), 131},
		{"in four bytes", one(4, 0x86, 131, 0, 0, 0), 131},
		{"two bytes said to be four", one(2, 0x86, 131, 0), 131},
		{"several values: the first", one(3, 0x02, 131, 132, 133), 131},
		{"zero stands for none", one(1, 0x0A, 0), 0},
		{"three bytes of a number", one(3, 0x86, 131, 0, 0), 0},
		{"a text", one(3, 0x07, '1', '3', '1'), 0},
		{"a number with a sign", one(1, 0x01, 120), 0},
		{"a type that there is not", one(1, 0x77, 120), 0},
		{"of no size", one(0, 0x02), 0},
		{"no number at all", one(2, 0x84, 0xFF, 0xFF), 0},
	} {
		t.Run(c.why, func(t *testing.T) {
			if c.want == 0 {
				require.Contains(t, refused(t, c.body), "there is no heart rate")
				return
			}
			require.Equal(t, []trace.Sample{sample(0, c.want)}, read(t, c.body).Samples)
		})
	}
}

// A type may say that zero stands for none.
func TestFITZeroThatStandsForNone(t *testing.T) {
	for base, want := range map[byte]int16{0x84: 0, 0x8B: trace.Unknown} {
		definition := []byte{0x40, 0, 0, 20, 0, 3, 253, 4, 0x86, 3, 1, 0x02, 6, 2, base}
		r := read(t, rawFIT(append(definition, 0x00, 100, 0, 0, 0, 131, 0, 0)))
		require.Equal(t, want, r.Samples[0].Speed)
	}
}

// Times that count from when the device was switched on are no dates.
func TestFITWithoutADate(t *testing.T) {
	definition := []byte{0x40, 0, 0, 20, 0, 2, 253, 4, 0x86, 3, 1, 0x02}
	r := read(t, rawFIT(append(definition, 0x00, 100, 0, 0, 0, 131, 0x00, 103, 0, 0, 0, 132)))
	require.True(t, r.Start.IsZero())
	require.Equal(t, []trace.Sample{sample(0, 131), sample(3, 132)}, r.Samples)
}

func TestFITLaps(t *testing.T) {
	lap := func(from, to int) proto.Message {
		return mesgdef.NewLap(nil).SetTimestamp(begun.Add(time.Duration(to) * time.Second)).SetStartTime(begun.Add(time.Duration(from) * time.Second)).ToMesg(nil)
	}
	for _, c := range []struct {
		why  string
		laps [][2]int
		want []int32
	}{
		{"none", nil, nil},
		{"the whole is one", [][2]int{{0, 100}}, nil},
		{"the first is where the recording begins", [][2]int{{0, 40}, {40, 70}, {70, 100}}, []int32{40, 70}},
		{"the first began before the first record", [][2]int{{-3, 40}, {40, 100}}, []int32{40}},
		{"in any order, and twice", [][2]int{{70, 100}, {40, 70}, {0, 40}, {40, 70}}, []int32{40, 70}},
		{"behind the last record", [][2]int{{0, 40}, {40, 100}, {101, 101}}, []int32{40}},
	} {
		t.Run(c.why, func(t *testing.T) {
			messages := messagesOf(t, 101)
			for _, l := range c.laps {
				messages = append(messages, lap(l[0], l[1]))
			}
			require.Equal(t, c.want, read(t, fitOf(t, nil, messages...)).Laps)
		})
	}
}

// What the library's full decoder finds is found here too, record by record.
func TestFITAsTheLibraryDecodes(t *testing.T) {
	body := recorded(t, "run-1hz.fit")
	decoded, err := decoder.New(bytes.NewReader(body)).Decode()
	require.NoError(t, err)
	var want []trace.Sample
	var first time.Time
	for i := range decoded.Messages {
		if decoded.Messages[i].Num != typedef.MesgNumRecord {
			continue
		}
		r := mesgdef.NewRecord(&decoded.Messages[i])
		if first.IsZero() {
			first = r.Timestamp
		}
		s := sample(int32(r.Timestamp.Sub(first)/time.Second), 0)
		if r.HeartRate != basetype.Uint8Invalid {
			s.BPM = int16(r.HeartRate)
		}
		if r.EnhancedSpeed != basetype.Uint32Invalid {
			s.Speed = int16(math.Round(float64(r.EnhancedSpeed) / 10))
		}
		if r.Cadence != basetype.Uint8Invalid {
			s.Steps = 2 * int16(r.Cadence)
			if r.FractionalCadence != basetype.Uint8Invalid {
				s.Steps = int16(math.Round(2 * (float64(r.Cadence) + r.FractionalCadenceScaled())))
			}
		}
		want = append(want, s)
	}
	got := read(t, body)
	require.Len(t, got.Samples, len(want))
	for i, s := range want {
		require.Equal(t, s, got.Samples[i], i)
	}
	require.True(t, first.Equal(got.Start))
}

// Two files put together into one are one recording, in their order.
func TestFITFilesInARow(t *testing.T) {
	second := fitOf(t, nil, fileID(typedef.FileActivity), record(500, 130).ToMesg(nil), record(501, 131).ToMesg(nil))
	r := read(t, append(fitActivity(t, 3, time.Second), second...))
	require.Len(t, r.Samples, 5)
	require.Equal(t, []trace.Sample{sample(500, 130), sample(501, 131)}, r.Samples[3:])
}

// A developer's fields are passed over, however many describe them.
func TestFITFieldsOfDevelopers(t *testing.T) {
	described := []byte{0x41, 0, 0, 206, 0, 1, 0, 1, 0x02} // field_description
	var data []byte
	data = append(data, described...)
	for range 300_000 {
		data = append(data, 0x01, 7)
	}
	data = append(data, 0x60, 0, 0, 20, 0, 2, 253, 4, 0x86, 3, 1, 0x02, 2, 9, 1, 0, 8, 2, 0)
	for i := range 10_000 {
		data = append(data, 0x00)
		data = binary.LittleEndian.AppendUint32(data, uint32(1_100_000_000+i))
		data = append(data, 131, 1, 2, 3)
	}
	require.Len(t, read(t, rawFIT(data)).Samples, 10_000)
}
