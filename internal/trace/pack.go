package trace

import (
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"time"
)

// A packed recording is one byte for the version, then a DEFLATE stream (RFC 1951)
// of whole numbers as varints (signed ones in zigzag, as encoding/binary has them):
//
//	1 and the seconds since 1970 and nanoseconds of Start, or 0 where it is zero
//	how many samples, laps and marks there are
//	At of each sample, as the change of the step from the one before: mostly 0
//	BPM, then Speed, then Steps of each sample, as the change from the one before
//	laps, then marks, as the change from the one before
//
// Column by column, since neighbours in a column are alike. An hour of one sample a
// second takes about 1.7 kB (heart rate alone) to 6.5 kB (speed and steps too).
const packed = 1

// Pack lays a recording out in few bytes, exactly. What breaks the limits of a
// recording is packed as well, but Unpack refuses it.
func Pack(r *Recording) []byte {
	var columns []byte
	if r.Start.IsZero() {
		columns = append(columns, 0)
	} else {
		columns = binary.AppendVarint(append(columns, 1), r.Start.Unix())
		columns = binary.AppendUvarint(columns, uint64(r.Start.Nanosecond()))
	}
	for _, n := range []int{len(r.Samples), len(r.Laps), len(r.Marks)} {
		columns = binary.AppendUvarint(columns, uint64(n))
	}
	step, before := int64(0), int64(0)
	for _, s := range r.Samples {
		columns = binary.AppendVarint(columns, int64(s.At)-before-step)
		step, before = int64(s.At)-before, int64(s.At)
	}
	for _, of := range []func(*Sample) *int16{bpmOf, speedOf, stepsOf} {
		before = 0
		for i := range r.Samples {
			now := int64(*of(&r.Samples[i]))
			columns, before = binary.AppendVarint(columns, now-before), now
		}
	}
	columns = appendSeconds(appendSeconds(columns, r.Laps), r.Marks)

	var out bytes.Buffer
	out.WriteByte(packed)
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		panic(err) // only for a level that is none
	}
	_, _ = w.Write(columns) // a buffer takes everything
	_ = w.Close()
	return out.Bytes()
}

func bpmOf(s *Sample) *int16   { return &s.BPM }
func speedOf(s *Sample) *int16 { return &s.Speed }
func stepsOf(s *Sample) *int16 { return &s.Steps }

func appendSeconds(columns []byte, list []int32) []byte {
	before := int64(0)
	for _, at := range list {
		columns, before = binary.AppendVarint(columns, int64(at)-before), int64(at)
	}
	return columns
}

var errPacked = errors.New("this is no packed recording")

// Unpack gives back exactly what was packed, Start in UTC. Anything else is an
// error, as are more than MostSamples samples, laps or marks; it never takes up
// more than they need.
func Unpack(body []byte) (Recording, error) {
	if len(body) == 0 || body[0] != packed {
		return Recording{}, errPacked
	}
	u := unpacker{from: bufio.NewReader(flate.NewReader(bytes.NewReader(body[1:])))}
	r := Recording{Start: u.start()}
	samples, laps, marks := u.count(), u.count(), u.count()
	if u.err == nil && samples > 0 {
		r.Samples = make([]Sample, samples)
		u.times(r.Samples)
		for _, of := range []func(*Sample) *int16{bpmOf, speedOf, stepsOf} {
			before := int64(0)
			for i := range r.Samples {
				before = u.next(before, math.MinInt16, math.MaxInt16)
				*of(&r.Samples[i]) = int16(before)
			}
		}
	}
	r.Laps, r.Marks = u.seconds(laps), u.seconds(marks)
	u.end()
	if u.err != nil {
		return Recording{}, fmt.Errorf("%w: %w", errPacked, u.err)
	}
	return r, nil
}

// unpacker reads numbers until the first that is wrong; from then on all are 0.
type unpacker struct {
	from *bufio.Reader
	err  error
}

var (
	errRange = errors.New("a number is out of its range")
	errMore  = errors.New("something follows its end")
)

func (u *unpacker) signed() int64 {
	if u.err != nil {
		return 0
	}
	n, err := binary.ReadVarint(u.from)
	u.err = err
	return n
}

func (u *unpacker) unsigned(most uint64) int64 {
	if u.err != nil {
		return 0
	}
	n, err := binary.ReadUvarint(u.from)
	if u.err = err; err == nil && n > most {
		u.err = errRange
	}
	if u.err != nil {
		return 0
	}
	return int64(n)
}

func (u *unpacker) count() int { return int(u.unsigned(MostSamples)) }

// next is a number as the change from the one before, within the range.
func (u *unpacker) next(before, low, high int64) int64 {
	change := u.signed()
	if u.err == nil && (change < low-before || change > high-before) {
		u.err = errRange
	}
	if u.err != nil {
		return 0
	}
	return before + change
}

func (u *unpacker) start() time.Time {
	if u.unsigned(1) == 0 {
		return time.Time{}
	}
	seconds := u.signed()
	nanoseconds := u.unsigned(999_999_999)
	if u.err != nil {
		return time.Time{}
	}
	return time.Unix(seconds, nanoseconds).UTC()
}

func (u *unpacker) times(samples []Sample) {
	step, before := int64(0), int64(0)
	for i := range samples {
		now := u.next(before+step, math.MinInt32, math.MaxInt32)
		step, before = now-before, now
		samples[i].At = int32(now)
	}
}

func (u *unpacker) seconds(n int) []int32 {
	if u.err != nil || n == 0 {
		return nil
	}
	list := make([]int32, n)
	before := int64(0)
	for i := range list {
		before = u.next(before, math.MinInt32, math.MaxInt32)
		list[i] = int32(before)
	}
	return list
}

// end makes sure that nothing follows.
func (u *unpacker) end() {
	if u.err != nil {
		return
	}
	switch _, err := u.from.ReadByte(); {
	case err == nil:
		u.err = errMore
	case !errors.Is(err, io.EOF):
		u.err = err
	}
}
