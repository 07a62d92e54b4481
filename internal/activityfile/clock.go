package activityfile

import (
	"bytes"
	"math"
)

// clock reads the times of a column.
type clock struct {
	read  func(text []byte) (milliseconds int64, ok bool)
	dated bool // they are dates
}

// Numbers from which on a time counts from 1970 (ours: 1973, in seconds and in
// milliseconds; nobody records for three years), and above which it is none.
const (
	unixSeconds = 1e8
	unixMillis  = 1e11
	latest      = 1e15 // milliseconds
)

// clockOf is the clock that reads the first time of a column, and then all of them.
// Elapsed is what one counts in milliseconds where the name of the column says so.
// None: read is nil.
func clockOf(first []byte, elapsed float64) clock {
	if _, ok := parseStamp(first); ok {
		return clock{parseStamp, true}
	}
	if bytes.IndexByte(first, ':') >= 0 {
		if _, ok := parseSpan(first); ok {
			return clock{parseSpan, false}
		}
		return clock{}
	}
	n, ok := number(first)
	switch {
	case !ok:
		return clock{}
	case elapsed != 0:
		return clock{counting(elapsed), false}
	case n >= unixMillis:
		return clock{counting(1), true}
	case n >= unixSeconds:
		return clock{counting(1000), true}
	}
	return clock{counting(1000), false}
}

// counting reads numbers of so many milliseconds each.
func counting(unit float64) func([]byte) (int64, bool) {
	return func(text []byte) (int64, bool) {
		n, ok := number(text)
		if n *= unit; !ok || n > latest || n < -latest {
			return 0, false
		}
		return int64(math.Round(n)), true
	}
}
