package postgres

import (
	"encoding/binary"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

func TestWherePostgreSQLBeginsToCount(t *testing.T) {
	require.Equal(t, day.On(2000, time.January, 1), day.Date(epochDay))
	require.Equal(t, time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC).Unix(), int64(epochSecond))
	require.Equal(t, time.Date(1999, time.December, 31, 23, 59, 59, 999999000, time.UTC), instantOf(-1))
}

// cell is a smallint[] of one dimension as PostgreSQL sends it.
func cell(numbers ...readiness.Maybe) []byte {
	b := binary.BigEndian.AppendUint32(nil, 1)
	b = binary.BigEndian.AppendUint32(b, 1)
	b = binary.BigEndian.AppendUint32(b, 21)
	b = binary.BigEndian.AppendUint32(b, uint32(len(numbers)))
	b = binary.BigEndian.AppendUint32(b, 1)
	for _, n := range numbers {
		if v, known := n.Get(); known {
			b = binary.BigEndian.AppendUint32(b, 2)
			b = binary.BigEndian.AppendUint16(b, uint16(v))
		} else {
			b = binary.BigEndian.AppendUint32(b, 0xffffffff)
		}
	}
	return b
}

// Whatever stands in a column, reading it ends with a value or an error.
func TestNoColumnBreaksTheReader(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := cell(readiness.Some(7), readiness.Maybe{}, readiness.Some(-3))
		at := rapid.IntRange(0, len(whole)-1).Draw(t, "at")
		whole[at] ^= byte(rapid.IntRange(0, 255).Draw(t, "flipped"))
		row := [][]byte{whole[:rapid.IntRange(0, len(whole)).Draw(t, "length")], rapid.SliceOf(rapid.Byte()).Draw(t, "junk")}
		c := cells{raw: row}
		c.numbers(nil)
		c.numbers(nil)
		c.numbers(nil)
		require.ErrorIs(t, c.err, errCell, "there was no third column")

		c = cells{raw: [][]byte{row[1], row[1], row[1], row[1], row[1], row[1]}}
		_, _, _, _, _, _ = c.integer(), c.maybe(), c.truth(), c.date(), c.instant(), c.text()
		if len(row[1]) > 8 {
			require.ErrorIs(t, c.err, errCell)
		}
	})
}

func TestNumbersThatMayBeMissing(t *testing.T) {
	want := []readiness.Maybe{readiness.Some(7), {}, readiness.Some(-3)}
	c := cells{raw: [][]byte{cell(want...), nil, {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 21}}}
	require.Equal(t, want, c.numbers(nil))
	require.Empty(t, c.numbers(nil), "null")
	require.Empty(t, c.numbers(nil), "an array without elements")
	require.NoError(t, c.err)
}
