package activityfile

import (
	"encoding/binary"

	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"halfhour.app/halfhour/internal/trace"
)

// field is one of those that are read.
type field int

const (
	stamp field = iota
	heartRate
	cadence
	cadenceFraction
	plainSpeed
	enhancedSpeed
	packedSpeed
	lapStart
	fileType
	fields // how many there are
	noField
)

// layout says where in a message the fields stand.
type layout struct {
	known bool
	mesg  uint16
	order binary.ByteOrder
	at    [fields]span
}

// span is where a field stands, in bytes from the beginning of the message; size 0:
// it does not.
type span struct {
	from, size int
	zeroIsNone bool
}

// newLayout reads a definition. The library has made sure that the bytes are all
// there.
func newLayout(b []byte) layout {
	l := layout{known: true, order: binary.LittleEndian}
	if b[2] != proto.LittleEndian {
		l.order = binary.BigEndian
	}
	l.mesg = l.order.Uint16(b[3:5])
	from := 1 // after the header
	for i := range int(b[5]) {
		d := b[6+3*i:]
		if f := fieldOf(l.mesg, d[0]); f != noField {
			l.at[f] = spanOf(f, from, int(d[1]), basetype.BaseType(d[2]))
		}
		from += int(d[1])
	}
	return l
}

func fieldOf(mesg uint16, num byte) field {
	switch {
	case num == proto.FieldNumTimestamp:
		return stamp
	case mesg == mesgnum.FileId && num == fieldnum.FileIdType:
		return fileType
	case mesg == mesgnum.Lap && num == fieldnum.LapStartTime:
		return lapStart
	case mesg != mesgnum.Record:
		return noField
	}
	switch num {
	case fieldnum.RecordHeartRate:
		return heartRate
	case fieldnum.RecordCadence:
		return cadence
	case fieldnum.RecordFractionalCadence:
		return cadenceFraction
	case fieldnum.RecordSpeed:
		return plainSpeed
	case fieldnum.RecordEnhancedSpeed:
		return enhancedSpeed
	case fieldnum.RecordCompressedSpeedDistance:
		return packedSpeed
	}
	return noField
}

// spanOf is where a field stands: of several values the first. All that are read are
// whole numbers without a sign; one of another type is as good as none.
func spanOf(f field, from, size int, base basetype.BaseType) span {
	s := span{from: from, size: size}
	switch base {
	case basetype.Uint8z, basetype.Uint16z, basetype.Uint32z:
		s.zeroIsNone = true
	case basetype.Enum, basetype.Byte, basetype.Uint8, basetype.Uint16, basetype.Uint32:
	default:
		return span{}
	}
	if f == packedSpeed {
		if size < 3 {
			return span{}
		}
		return s
	}
	s.size = min(size, int(base.Size()))
	if s.size == 3 {
		return span{}
	}
	return s
}

// number is the value of a field; false where there is none.
func (l *layout) number(b []byte, f field) (uint32, bool) {
	s := l.at[f]
	var n, none uint32
	switch s.size {
	case 1:
		n, none = uint32(b[s.from]), 0xFF
	case 2:
		n, none = uint32(l.order.Uint16(b[s.from:])), 0xFFFF
	case 4:
		n, none = l.order.Uint32(b[s.from:]), 0xFFFFFFFF
	default:
		return 0, false
	}
	return n, n != none && (n != 0 || !s.zeroIsNone)
}

// speed of a record. The fields hold millimetres a second, the packed one
// centimetres in its first 12 bits.
func (l *layout) speed(b []byte) int16 {
	for _, f := range []field{enhancedSpeed, plainSpeed} {
		if mm, ok := l.number(b, f); ok {
			return speed(float64(mm) / 10)
		}
	}
	if s := l.at[packedSpeed]; s.size != 0 {
		if cm := uint32(b[s.from]) | uint32(b[s.from+1]&0x0F)<<8; cm != 0xFFF {
			return speed(float64(cm))
		}
	}
	return trace.Unknown
}

// steps of a record. The cadence counts the turns of one foot, and a fraction of
// 1/128 may stand beside it.
func (l *layout) steps(b []byte) int16 {
	turns, ok := l.number(b, cadence)
	if !ok {
		return trace.Unknown
	}
	both := float64(2 * turns)
	if part, ok := l.number(b, cadenceFraction); ok {
		both += 2 * float64(part) / 128
	}
	return steps(both)
}
