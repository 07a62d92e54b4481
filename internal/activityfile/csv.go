package activityfile

import (
	"bytes"
	"strings"

	"halfhour.app/halfhour/internal/trace"
)

// Limits of a CSV file.
const (
	longestLine  = 1 << 16 // bytes
	preamble     = 20      // lines in which the header must have come
	mostCells    = 200     // columns that are looked at
	namesInWords = 8       // columns that are named in a message
)

// separators that are tried, in this order.
const separators = ",;\t|"

// readCSV reads rows of time and heart rate. Columns are known by their names, which
// may follow a few lines of other things; two columns without names are told apart
// by what they hold. The text is UTF-8.
func readCSV(text []byte) (trace.Recording, error) {
	t := newTable(text)
	c, err := t.header()
	if err != nil {
		return trace.Recording{}, err
	}
	r := &csvReader{table: t, columns: c}
	for {
		row, err := t.next(c.separator)
		if err != nil {
			return trace.Recording{}, err
		}
		if row == nil {
			break
		}
		if err := r.row(row); err != nil {
			return trace.Recording{}, err
		}
	}
	return r.done()
}

// table gives the lines of the text, cut into cells. A line is a row: what is quoted
// does not go on to the next.
type table struct {
	rest  []byte
	line  int
	end   byte
	cells [][]byte
}

func newTable(text []byte) *table {
	t := &table{rest: text, end: '\n'}
	if bytes.IndexByte(text, '\n') < 0 {
		t.end = '\r' // the line ends of old machines
	}
	return t
}

// raw is the next line that holds something, nil at the end.
func (t *table) raw() ([]byte, error) {
	for len(t.rest) > 0 {
		line := t.rest
		if i := bytes.IndexByte(t.rest, t.end); i >= 0 {
			line, t.rest = t.rest[:i], t.rest[i+1:]
		} else {
			t.rest = nil
		}
		t.line++
		if len(line) > longestLine {
			return nil, refuseAt(t.line, "this line is longer than 64 kB")
		}
		if line = bytes.TrimRight(line, "\r\n"); len(bytes.TrimSpace(line)) > 0 {
			return line, nil
		}
	}
	return nil, nil
}

// next is the next row, nil at the end. It is good until the one after it.
func (t *table) next(separator byte) ([][]byte, error) {
	line, err := t.raw()
	if line == nil || err != nil {
		return nil, err
	}
	if t.cells = split(t.cells[:0], line, separator); t.cells == nil {
		return nil, refuseAt(t.line, "a quotation mark has no second one")
	}
	return t.cells, nil
}

// split cuts a line into cells, quotes and spaces around them taken off; nil where a
// quote does not end.
func split(cells [][]byte, line []byte, separator byte) [][]byte {
	for len(cells) < mostCells {
		line = bytes.TrimLeft(line, " ")
		var cell []byte
		if len(line) > 0 && line[0] == '"' {
			end := closing(line)
			if end < 0 {
				return nil
			}
			cell, line = line[1:end], line[end+1:]
		}
		end := bytes.IndexByte(line, separator)
		if end < 0 {
			end = len(line)
		}
		if cell == nil {
			cell = line[:end]
		}
		cells = append(cells, bytes.TrimSpace(cell))
		if end == len(line) {
			break
		}
		line = line[end+1:]
	}
	return cells
}

// closing is where the quote ends that the line begins with, -1 where it does not. Two
// marks in a row are one that belongs to the text.
func closing(line []byte) int {
	for i := 1; i < len(line); i++ {
		if line[i] != '"' {
			continue
		}
		if i+1 == len(line) || line[i+1] != '"' {
			return i
		}
		i++
	}
	return -1
}

// header finds the columns and leaves the table before the first row of them.
func (t *table) header() (columns, error) {
	start := *t
	var near error
	for range preamble {
		line, err := t.raw()
		if err != nil {
			return columns{}, err
		}
		if line == nil {
			break
		}
		for i := range len(separators) {
			c, err := columnsOf(split(nil, line, separators[i]), separators[i])
			switch {
			case err == nil && c.fits():
				return c, nil
			case err != nil && near == nil:
				near = err
			}
		}
	}
	if near != nil {
		return columns{}, near
	}
	*t = start
	return t.guess()
}

// csvReader makes records of rows.
type csvReader struct {
	table   *table
	columns columns
	rec     recorder
	clock   clock // found in the first row that has a time
	joined  []byte
	lap     string
}

func (r *csvReader) row(row [][]byte) error {
	c := &r.columns
	if len(row) < c.needed() {
		if len(r.table.rest) == 0 {
			return refuse(cutOff)
		}
		return refuseAt(r.table.line, "a value is missing: there are %d, and the names on top ask for %d", len(row), c.needed())
	}
	if len(row) > c.names && !allBlank(row[c.names:]) {
		return refuseAt(r.table.line, "there are %d values under %d names; numbers with decimal commas need semicolons between them", len(row), c.names)
	}
	at, timed, err := r.time(row)
	if err != nil || !timed {
		return err
	}
	s := trace.Sample{Speed: trace.Unknown, Steps: trace.Unknown}
	bpm, ok, err := r.number(row, c.heart)
	if err != nil {
		return err
	}
	if ok {
		s.BPM = heart(bpm)
	}
	if v, ok, _ := r.number(row, c.speed); ok {
		s.Speed = speed(v * c.centimetres)
	}
	if v, ok, _ := r.number(row, c.steps); ok {
		s.Steps = steps(v * c.feet)
	}
	r.follow(row, at)
	return r.rec.add(at, s)
}

func allBlank(cells [][]byte) bool {
	for _, cell := range cells {
		if !isBlank(cell) {
			return false
		}
	}
	return true
}

// number is a number of the row; false where the column or the value is not there.
func (r *csvReader) number(row [][]byte, column int) (float64, bool, error) {
	if column == noColumn || column >= len(row) || isBlank(row[column]) {
		return 0, false, nil
	}
	n, ok := number(row[column])
	if !ok {
		return 0, false, refuseAt(r.table.line, "%s is no number", quote(row[column]))
	}
	return n, true, nil
}

// time is when the row was written down; false where it does not say.
func (r *csvReader) time(row [][]byte) (int64, bool, error) {
	text := row[r.columns.time]
	if isBlank(text) {
		return 0, false, nil
	}
	if r.clock.read == nil && r.columns.date != noColumn {
		if _, ofDay := parseSpan(text); !ofDay {
			r.columns.date = noColumn // the time says it all
		}
	}
	if r.columns.date != noColumn {
		r.joined = append(append(append(r.joined[:0], row[r.columns.date]...), ' '), text...)
		text = r.joined
	}
	if r.clock.read == nil {
		if r.clock = clockOf(text, r.columns.elapsed); r.clock.read == nil {
			return 0, false, r.noTime(text)
		}
		r.rec.dated = r.clock.dated
	}
	at, ok := r.clock.read(text)
	if !ok {
		return 0, false, r.noTime(text)
	}
	return at, true, nil
}

func (r *csvReader) noTime(text []byte) error {
	if i := bytes.IndexByte(text, '/'); 0 < i && i < 3 {
		return refuseAt(r.table.line, "%s can be read in two ways; please write dates as 2021-04-03", quote(text))
	}
	return refuseAt(r.table.line, "%s is no time", quote(text))
}

// follow sees a new lap in a column that counts them.
func (r *csvReader) follow(row [][]byte, at int64) {
	if c := r.columns.lap; c != noColumn && c < len(row) && !isBlank(row[c]) && string(row[c]) != r.lap {
		r.lap = strings.Clone(string(row[c]))
		r.rec.lap(at)
	}
}

func (r *csvReader) done() (trace.Recording, error) {
	if r.columns.feet == 1 && !r.columns.bothFeet {
		r.rec.feet()
	}
	if !r.columns.unit {
		r.rec.speedsOnFoot()
	}
	return r.rec.done()
}
