package postgres

import (
	"encoding/binary"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgtype"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// cells reads the columns of one row from left to right, in PostgreSQL's binary
// form, without reflection: a roster is thousands of rows. A column that does not
// fit sets err, and what follows reads as nothing.
type cells struct {
	raw   [][]byte
	at    int
	err   error
	known bool // the form of the columns was looked at
}

// Where PostgreSQL begins to count.
const (
	epochDay    = 730120    // 1 January 2000 as a day.Date
	epochSecond = 946684800 // its midnight in UTC, in seconds since 1970
)

var errCell = errors.New("a column of the database does not hold what was expected")

// begin turns to the present row. With the first it makes sure that the columns
// come in binary form; a plain text is the same in both.
func (c *cells) begin(rows pgx.Rows) {
	c.raw, c.at = rows.RawValues(), 0
	if c.known {
		return
	}
	c.known = true
	for _, f := range rows.FieldDescriptions() {
		if f.Format != pgx.BinaryFormatCode && f.DataTypeOID != pgtype.TextOID {
			c.err = fmt.Errorf("%w: %s comes as text", errCell, f.Name)
		}
	}
}

// next is the next column; nil where it is null.
func (c *cells) next() []byte {
	if c.at >= len(c.raw) {
		c.fail()
		return nil
	}
	cell := c.raw[c.at]
	c.at++
	return cell
}

func (c *cells) fail() {
	if c.err == nil {
		c.err = fmt.Errorf("%w: column %d", errCell, c.at)
	}
}

// integer is a smallint, integer or bigint; null is 0.
func (c *cells) integer() int64 {
	switch cell := c.next(); len(cell) {
	case 8:
		return int64(binary.BigEndian.Uint64(cell))
	case 4:
		return int64(int32(binary.BigEndian.Uint32(cell)))
	case 2:
		return int64(int16(binary.BigEndian.Uint16(cell)))
	default:
		if cell != nil {
			c.fail()
		}
		return 0
	}
}

// maybe is a smallint that may not have been given.
func (c *cells) maybe() readiness.Maybe {
	switch cell := c.next(); {
	case cell == nil:
		return readiness.Maybe{}
	case len(cell) == 2:
		return readiness.Some(int(int16(binary.BigEndian.Uint16(cell))))
	default:
		c.fail()
		return readiness.Maybe{}
	}
}

// text is a text; null is empty.
func (c *cells) text() string { return string(c.next()) }

// truth is a boolean; null is false.
func (c *cells) truth() bool {
	cell := c.next()
	if len(cell) > 1 {
		c.fail()
	}
	return len(cell) == 1 && cell[0] != 0
}

// date is a date; null is no date.
func (c *cells) date() day.Date {
	switch cell := c.next(); {
	case cell == nil:
		return 0
	case len(cell) == 4:
		return day.Date(int32(binary.BigEndian.Uint32(cell))) + epochDay
	default:
		c.fail()
		return 0
	}
}

// instant is a timestamptz, in UTC; null is the zero time.
func (c *cells) instant() time.Time {
	switch cell := c.next(); {
	case cell == nil:
		return time.Time{}
	case len(cell) == 8:
		return instantOf(int64(binary.BigEndian.Uint64(cell)))
	default:
		c.fail()
		return time.Time{}
	}
}

// instantOf is the instant so many microseconds after the beginning of 2000.
func instantOf(micros int64) time.Time {
	seconds, rest := micros/1e6, micros%1e6
	return time.Unix(epochSecond+seconds, rest*1000).UTC()
}

// numbers is a smallint[] of one dimension, written over room; null elements are
// not known. Null is nothing.
func (c *cells) numbers(room []readiness.Maybe) []readiness.Maybe {
	room = room[:0]
	a := c.array()
	for range a.n {
		switch cell := a.next(); {
		case cell == nil:
			room = append(room, readiness.Maybe{})
		case len(cell) == 2:
			room = append(room, readiness.Some(int(int16(binary.BigEndian.Uint16(cell)))))
		default:
			a.bad = true
		}
	}
	if a.bad {
		c.fail()
	}
	return room
}

// array is an array of one dimension, read element by element.
type array struct {
	rest []byte
	n    int
	bad  bool
}

// array begins to read an array: dimensions, whether there are nulls, the type of
// the elements, then for each dimension how many and where they begin.
func (c *cells) array() array {
	cell := c.next()
	if cell == nil {
		return array{}
	}
	if len(cell) < 12 {
		c.fail()
		return array{}
	}
	switch dimensions := binary.BigEndian.Uint32(cell); {
	case dimensions == 0:
		return array{}
	case dimensions != 1 || len(cell) < 20:
		c.fail()
		return array{}
	}
	n := int(int32(binary.BigEndian.Uint32(cell[12:])))
	if n < 0 || n > len(cell)/4 { // each element has four bytes for its length
		c.fail()
		return array{}
	}
	return array{rest: cell[20:], n: n}
}

// next is the next element; nil where it is null.
func (a *array) next() []byte {
	if len(a.rest) < 4 {
		a.bad = true
		return nil
	}
	n := int(int32(binary.BigEndian.Uint32(a.rest)))
	a.rest = a.rest[4:]
	if n < 0 {
		return nil
	}
	if n > len(a.rest) {
		a.bad = true
		return nil
	}
	cell := a.rest[:n:n]
	a.rest = a.rest[n:]
	return cell
}

// small is the next element of a smallint[] without nulls.
func (a *array) small() int32 {
	cell := a.next()
	if len(cell) != 2 {
		a.bad = true
		return 0
	}
	return int32(int16(binary.BigEndian.Uint16(cell)))
}
