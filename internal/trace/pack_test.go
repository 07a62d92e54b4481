package trace

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawRecording draws any recording, with what a device never writes down.
func drawRecording(t *rapid.T) Recording {
	var r Recording
	if rapid.Bool().Draw(t, "dated") {
		r.Start = time.Unix(rapid.Int64Range(-1e11, 1e11).Draw(t, "start"), rapid.Int64Range(0, 999_999_999).Draw(t, "nanoseconds")).UTC()
	}
	second := rapid.OneOf(rapid.Int32Range(0, 100), rapid.Int32())
	value := rapid.OneOf(rapid.Just(int16(Unknown)), rapid.Int16Range(0, 300), rapid.Int16())
	for range rapid.IntRange(0, 200).Draw(t, "samples") {
		r.Samples = append(r.Samples, Sample{second.Draw(t, "at"), value.Draw(t, "bpm"), value.Draw(t, "speed"), value.Draw(t, "steps")})
	}
	for range rapid.IntRange(0, 8).Draw(t, "laps") {
		r.Laps = append(r.Laps, second.Draw(t, "lap"))
	}
	for range rapid.IntRange(0, 8).Draw(t, "marks") {
		r.Marks = append(r.Marks, second.Draw(t, "mark"))
	}
	return r
}

func TestAnyRecordingIsUnpackedAsItWasPacked(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRecording(t)
		body := Pack(&r)
		back, err := Unpack(body)
		require.NoError(t, err)
		require.Equal(t, r, back)
		require.Equal(t, body, Pack(&back), "the same recording has the same bytes")
	})
}

func TestUnpackRefuses(t *testing.T) {
	// squeeze packs the numbers as they are, so that a body can lie.
	squeeze := func(numbers ...uint64) []byte {
		out := bytes.NewBuffer([]byte{packed})
		w, err := flate.NewWriter(out, flate.BestSpeed)
		require.NoError(t, err)
		var columns []byte
		for _, n := range numbers {
			columns = binary.AppendUvarint(columns, n)
		}
		_, err = w.Write(columns)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		return out.Bytes()
	}
	zigzag := func(n int64) uint64 { return uint64(n)<<1 ^ uint64(n>>63) }
	_, err := Unpack(squeeze(0, 1, 0, 0, 0, 0, 0, 0))
	require.NoError(t, err, "one sample of noughts")
	whole := Pack(&Recording{Samples: make([]Sample, 3), Laps: []int32{1}})
	for why, body := range map[string][]byte{
		"nothing":                      nil,
		"a version and nothing":        {packed},
		"another version":              append([]byte{packed + 1}, whole[1:]...),
		"no stream":                    {packed, 0xff, 0xff},
		"half of it":                   whole[:len(whole)/2],
		"a start that is neither":      squeeze(2, 0, 0, 0),
		"a start without its second":   squeeze(1),
		"more nanoseconds than second": squeeze(1, 0, 1_000_000_000, 0, 0, 0),
		"too many samples":             squeeze(0, MostSamples+1, 0, 0),
		"far too many samples":         squeeze(0, math.MaxUint64, 0, 0),
		"too many laps":                squeeze(0, 0, MostSamples+1, 0),
		"too many marks":               squeeze(0, 0, 0, MostSamples+1),
		"samples that are not there":   squeeze(0, 1000, 0, 0),
		"marks that are not there":     squeeze(0, 0, 0, 1),
		"a time no sample has":         squeeze(0, 1, 0, 0, zigzag(math.MaxInt32+1), 0, 0, 0),
		"a time far below":             squeeze(0, 1, 0, 0, zigzag(math.MinInt64), 0, 0, 0),
		"a time far above the first":   squeeze(0, 2, 0, 0, 2, zigzag(math.MaxInt64), 0, 0, 0, 0, 0, 0),
		"a rate no sample has":         squeeze(0, 1, 0, 0, 0, zigzag(math.MaxInt16+1), 0, 0),
		"a lap no recording has":       squeeze(0, 0, 1, 0, zigzag(math.MinInt32-1)),
		"something after its end":      squeeze(0, 0, 0, 0, 0),
	} {
		_, err := Unpack(body)
		require.ErrorIs(t, err, errPacked, why)
	}
	tooMany := Recording{Samples: make([]Sample, MostSamples+1)}
	_, err = Unpack(Pack(&tooMany))
	require.ErrorIs(t, err, errPacked)
	tooMany.Samples = tooMany.Samples[1:]
	_, err = Unpack(Pack(&tooMany))
	require.NoError(t, err)
}

// outingOfAnHour is an hour of walks and runs at one sample a second, with a sensor's noise.
func outingOfAnHour(moving bool) Recording {
	random := rand.New(rand.NewPCG(3, 6))
	r := Recording{Start: time.Date(2026, 4, 14, 7, 0, 0, 0, time.UTC)}
	rate := 90.0
	for t := range int32(3600) {
		target, s := 112.0, Sample{At: t, Speed: Unknown, Steps: Unknown}
		if t%300 < 120 {
			target = 158
		}
		rate += (target - rate) / 45
		s.BPM = int16(math.Round(rate + 1.5*random.NormFloat64()))
		if moving {
			s.Speed, s.Steps = int16(150+8*random.NormFloat64()), int16(118+2*random.NormFloat64())
			if target > 120 {
				s.Speed, s.Steps = int16(250+10*random.NormFloat64()), int16(164+2*random.NormFloat64())
			}
		}
		r.Samples = append(r.Samples, s)
	}
	return r
}

func TestAnHourTakesUpLittle(t *testing.T) {
	for moving, most := range map[bool]int{false: 2500, true: 8000} {
		r := outingOfAnHour(moving)
		body := Pack(&r)
		t.Logf("an hour at one sample a second, speed and steps too: %t: %d bytes", moving, len(body))
		require.Less(t, len(body), most)
	}
}

func FuzzUnpack(f *testing.F) {
	for _, moving := range []bool{false, true} {
		r := outingOfAnHour(moving)
		r.Samples = r.Samples[:120]
		r.Laps, r.Marks = []int32{60}, []int32{0, 60, 120}
		f.Add(Pack(&r))
	}
	f.Add(Pack(&Recording{}))
	f.Add([]byte{packed, 1, 2, 3})
	f.Fuzz(func(t *testing.T, body []byte) {
		r, err := Unpack(body)
		if err != nil {
			return
		}
		require.LessOrEqual(t, len(r.Samples), MostSamples)
		again, err := Unpack(Pack(&r))
		require.NoError(t, err)
		require.Equal(t, r, again)
	})
}

func BenchmarkPack(b *testing.B) {
	r := outingOfAnHour(true)
	for b.Loop() {
		Pack(&r)
	}
}

func BenchmarkUnpack(b *testing.B) {
	r := outingOfAnHour(true)
	body := Pack(&r)
	for b.Loop() {
		if _, err := Unpack(body); err != nil {
			b.Fatal(err)
		}
	}
}
