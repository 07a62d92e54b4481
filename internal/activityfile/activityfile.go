// Package activityfile reads recordings of heart rate as devices and people hand
// them out: FIT activity files, GPX 1.1, CSV and what our own pages write down of a
// strap, each also packed with gzip. What
// a file is, is found from its content, never from its name. Positions are used for
// nothing but speed, and are dropped at the point where they stand.
//
// A file comes from anybody: its size, its records, what it unpacks to, how deep it
// is nested and how long it lasts are bounded, the first four before or while it is
// read, so that no file takes much memory or time. What cannot be read is refused
// in words an athlete understands, with the line where there is one.
package activityfile

import (
	"bytes"
	"fmt"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/trace"
)

// MostBytes is how large a file may be, packed and unpacked: a recording of twelve
// hours, second by second, takes about 9 MB in the wordiest of the formats.
const MostBytes = 12 << 20

// mostPieces is how many elements of XML or messages of FIT a file may hold: twenty
// for each record, where about ten are usual.
const mostPieces = 20 * trace.MostSamples

// The formats, as they are kept.
const (
	FIT   = "fit"
	GPX   = "gpx"
	CSV   = "csv"
	Strap = "strap" // our own, of a guided session
)

// File is a file that was read.
type File struct {
	Format    string // FIT, GPX, CSV or Strap
	Recording trace.Recording
}

// Read reads the file. Samples stand in the file's order, nothing sorted and nothing
// taken out, but records without a time. A heart rate that is none (0, a sign for
// no value, above 250) is 0; times without an offset from UTC are taken as they
// stand. A clock that jumps is left to trace, which sees all of the recording: a
// time more than 63 years off is moved to there.
//
// Every error is fault.Invalid with one field at file.
func Read(body []byte) (File, error) {
	body, err := unpack(body)
	if err != nil {
		return File{}, err
	}
	format, reader := FIT, readFIT
	if !isFIT(body) {
		if err := refuseOthers(body); err != nil {
			return File{}, err
		}
		body = asText(body)
		format, reader = textFormat(body)
	}
	recording, err := reader(body)
	if err != nil {
		return File{}, err
	}
	return File{format, recording}, nil
}

// textFormat is what the text is, and what reads it.
func textFormat(text []byte) (string, func([]byte) (trace.Recording, error)) {
	switch {
	case bytes.HasPrefix(bytes.TrimSpace(text), []byte("<")):
		return GPX, readGPX
	case isStrap(text):
		return Strap, readStrap
	}
	return CSV, readCSV
}

// refuse says why a file cannot be taken.
func refuse(format string, args ...any) error {
	return fault.At(fault.Field{Place: "file", Message: fmt.Sprintf(format, args...)})
}

// refuseAt says why a file cannot be taken, and on which line.
func refuseAt(line int, format string, args ...any) error {
	return refuse("line %d: %s", line, fmt.Sprintf(format, args...))
}

// tooMany is said of a file that holds too much beside its records.
const tooMany = "the file holds far more than a recording of twelve hours needs"

// cutOff is said of a file whose end is missing.
const cutOff = "the file ends in the middle of a record; was it copied whole?"
