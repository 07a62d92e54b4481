package activityfile

import (
	"bytes"
	"encoding/binary"
	"errors"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/kit/datetime"
	"github.com/muktihari/fit/kit/hash/crc16"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/trace"
)

// Sizes in a FIT file, in bytes.
const (
	shortHeader = 12
	longHeader  = 14
	sumSize     = 2
)

// earliestDate is the first FIT time that is a date: those below it count from when
// the device was switched on (from memory, the format's documentation of date_time).
const earliestDate = 0x10000000

// isFIT says whether the file begins as FIT files do.
func isFIT(body []byte) bool {
	return len(body) >= shortHeader && string(body[8:12]) == proto.DataTypeFIT
}

// readFIT reads all activities of the file, one after the other, in the order in
// which they stand: several sessions in one activity, and several files put together
// into one, become one recording. Parts that are no activity are passed over.
//
// The library splits the file into messages and bounds each; what they hold is
// taken from the bytes here. Its full decoder keeps every description of a
// developer's field and looks through all of them for every such field, so that a
// file of a few MB made for it takes minutes and hundreds of MB.
func readFIT(body []byte) (trace.Recording, error) {
	end, err := checkFrames(body)
	if err != nil {
		return trace.Recording{}, err
	}
	f := &fitReader{}
	read, err := decoder.NewRaw().Decode(bytes.NewReader(body[:end]), f.take)
	if fault.KindOf(err) == fault.Invalid {
		return trace.Recording{}, err
	}
	if err != nil {
		return trace.Recording{}, refuse("the file is not put together as a FIT file should be (byte %d)", read)
	}
	if len(f.rec.recording.Samples) == 0 && f.other {
		return trace.Recording{}, refuse("this is a FIT file, but not one of an activity")
	}
	if f.rec.hearts == 0 && f.apart {
		return trace.Recording{}, refuse("the heart rate in this file is kept apart from its records, as by straps that store it under water; that cannot be read")
	}
	return f.rec.done()
}

// checkFrames looks at the headers and checksums of the files that are put
// together in one, and says where the last of them ends.
func checkFrames(body []byte) (end int, err error) {
	for end < len(body) {
		rest := body[end:]
		if end > 0 && len(bytes.Trim(rest, "\x00")) == 0 {
			break // filled up to a whole block
		}
		size, err := checkFrame(rest)
		if err != nil {
			return 0, err
		}
		end += size
	}
	return end, nil
}

// checkFrame is the size of the FIT file at the beginning of the bytes. The checksum
// is that of everything before it. Files with a short header are also found with
// one of the messages alone, as the library writes them.
func checkFrame(b []byte) (int, error) {
	if len(b) < shortHeader {
		return 0, refuse(cutOff)
	}
	header := int(b[0])
	if header != shortHeader && header != longHeader || !isFIT(b) {
		return 0, refuse("after its first part the file holds something that is no FIT file; was it copied whole?")
	}
	data := int64(binary.LittleEndian.Uint32(b[4:8]))
	if data == 0 {
		return 0, refuse("the device did not finish writing this file; it may finish it when the activity is saved there")
	}
	size := int64(header) + data + sumSize
	if size > int64(len(b)) {
		return 0, refuse("the file ends too early: %d of %d bytes are there; was it copied whole?", len(b), size)
	}
	sum := binary.LittleEndian.Uint16(b[size-sumSize:])
	if checksum(b[:size-sumSize]) != sum && checksum(b[header:size-sumSize]) != sum {
		return 0, refuse("the file was damaged on its way: its checksum does not fit; please copy it from the device once more")
	}
	return int(size), nil
}

func checksum(b []byte) uint16 {
	sum := crc16.New()
	_, _ = sum.Write(b) // never fails
	return sum.Sum16()
}

// fitReader takes messages one by one.
type fitReader struct {
	rec     recorder
	layouts [proto.LocalMesgNumMask + 1]layout
	stamp   uint32 // the newest time; 0: none yet
	taken   int    // messages
	skip    bool   // this part is no activity
	other   bool   // some part is none
	apart   bool   // there are messages with nothing but heart rates
}

// errNoLayout is a message that nothing describes.
var errNoLayout = errors.New("a message without a definition")

// take takes a piece of the file.
func (f *fitReader) take(flag decoder.RawFlag, b []byte) error {
	switch flag {
	case decoder.RawFlagFileHeader:
		f.layouts, f.stamp, f.skip = [proto.LocalMesgNumMask + 1]layout{}, 0, false
	case decoder.RawFlagMesgDef:
		f.layouts[b[0]&proto.LocalMesgNumMask] = newLayout(b)
	case decoder.RawFlagMesgData:
		return f.message(b)
	}
	return nil
}

func (f *fitReader) message(b []byte) error {
	l := &f.layouts[proto.LocalMesgNum(b[0])]
	if !l.known {
		return errNoLayout
	}
	if f.taken++; f.taken > mostPieces {
		return refuse(tooMany)
	}
	timed := f.tick(l, b)
	switch l.mesg {
	case mesgnum.FileId:
		if kind, ok := l.number(b, fileType); ok && typedef.File(kind) != typedef.FileActivity {
			f.skip, f.other = true, true
		}
	case mesgnum.Hr:
		f.apart = true
	case mesgnum.Lap:
		if start, ok := l.number(b, lapStart); ok && !f.skip {
			f.rec.lap(milliseconds(start))
		}
	case mesgnum.Record:
		if timed && !f.skip {
			return f.record(l, b)
		}
	}
	return nil
}

// tick follows the time: a message says it whole, or, in its header, the five
// lowest bits of it. It says whether this one does.
func (f *fitReader) tick(l *layout, b []byte) bool {
	if at, ok := l.number(b, stamp); ok {
		f.stamp = at
		return true
	}
	if b[0]&proto.MesgCompressedHeaderMask == 0 || f.stamp == 0 {
		return false
	}
	f.stamp += (uint32(b[0]) - f.stamp) & proto.CompressedTimeMask
	return true
}

func (f *fitReader) record(l *layout, b []byte) error {
	s := trace.Sample{Speed: l.speed(b), Steps: l.steps(b)}
	if bpm, ok := l.number(b, heartRate); ok {
		s.BPM = heart(float64(bpm))
	}
	if len(f.rec.recording.Samples) == 0 {
		f.rec.dated = f.stamp >= earliestDate
	}
	return f.rec.add(milliseconds(f.stamp), s)
}

// milliseconds since 1970 of a FIT time.
func milliseconds(at uint32) int64 {
	return datetime.Epoch().UnixMilli() + int64(at)*1000
}
