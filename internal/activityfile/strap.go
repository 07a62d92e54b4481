package activityfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"time"

	"halfhour.app/halfhour/internal/trace"
)

// Limits of a strap document.
const (
	mostStrap = 48 * trace.MostSamples // bytes: three times what a sample takes
	mostMarks = 1000                   // more than a session has blocks
)

// strapVersion is the only version of the document so far.
const strapVersion = 1

// strapName is the name of its version, which the document begins with.
const strapName = `"halfhour_strap"`

// damagedStrap is said of a strap document that cannot be read.
const damagedStrap = "the recording of the strap is damaged; was it sent whole?"

// isStrap says whether the text begins like our own recording of a strap.
func isStrap(text []byte) bool {
	rest, object := bytes.CutPrefix(bytes.TrimSpace(text), []byte("{"))
	return object && bytes.HasPrefix(bytes.TrimSpace(rest), []byte(strapName))
}

// readStrap reads what the phone writes down of a strap during a guided session:
//
//	{"halfhour_strap": 1, "started_at": "2026-04-14T06:10:00.25Z",
//	 "samples": [[0, 92], [1004, 0]], "marks": [0, 120.5]}
//
// A sample is the milliseconds since started_at and the beats a minute, 0 or null
// where the strap felt none; a mark is the seconds since started_at at which a
// block began, or the last one ended. Nothing else may stand in it.
func readStrap(text []byte) (trace.Recording, error) {
	if len(text) > mostStrap {
		return trace.Recording{}, refuse(tooMany)
	}
	r := strapReader{
		in: json.NewDecoder(bytes.NewReader(text)), ends: bytes.HasSuffix(bytes.TrimSpace(text), []byte("}")), seen: map[string]bool{},
	}
	if err := r.document(); err != nil {
		return trace.Recording{}, err
	}
	return r.done()
}

// strapReader takes the document in piece by piece, so that nothing is held that is
// not wanted.
type strapReader struct {
	in      *json.Decoder
	ends    bool // the text ends as a document does
	rec     recorder
	seen    map[string]bool
	started time.Time
	marks   []float64 // seconds since started
}

func (r *strapReader) document() error {
	if err := r.delim('{'); err != nil {
		return err
	}
	for r.in.More() {
		name, err := r.token()
		if err != nil {
			return err
		}
		field, _ := name.(string)
		if r.seen[field] {
			return refuse(damagedStrap)
		}
		r.seen[field] = true
		if err := r.field(field); err != nil {
			return err
		}
	}
	if err := r.delim('}'); err != nil {
		return err
	}
	if _, err := r.in.Token(); !errors.Is(err, io.EOF) {
		return refuse(damagedStrap)
	}
	return nil
}

func (r *strapReader) field(name string) error {
	switch name {
	case "halfhour_strap":
		version, err := r.number()
		if err == nil && version != strapVersion {
			err = refuse("this recording of a strap is of a kind that is not known here yet; load the page again")
		}
		return err
	case "started_at":
		return r.start()
	case "samples":
		return r.each(r.sample)
	case "marks":
		return r.each(r.mark)
	}
	return refuse(damagedStrap)
}

func (r *strapReader) start() error {
	value, err := r.token()
	if err != nil {
		return err
	}
	written, _ := value.(string)
	if r.started, err = time.Parse(time.RFC3339, written); err != nil || r.started.Year() < 1970 {
		return refuse("the recording of the strap does not say when it began")
	}
	return nil
}

// each reads a list.
func (r *strapReader) each(one func() error) error {
	if err := r.delim('['); err != nil {
		return err
	}
	for r.in.More() {
		if err := one(); err != nil {
			return err
		}
	}
	return r.delim(']')
}

func (r *strapReader) sample() error {
	if err := r.delim('['); err != nil {
		return err
	}
	at, err := r.number()
	if err != nil {
		return err
	}
	if math.Abs(at) > trace.LongestTime*1000 {
		return refuse("the recording is longer than twelve hours")
	}
	value, err := r.token()
	if err != nil {
		return err
	}
	bpm, isNumber := value.(float64)
	if value != nil && !isNumber {
		return refuse(damagedStrap)
	}
	if err := r.delim(']'); err != nil {
		return err
	}
	return r.rec.add(int64(math.Round(at)), trace.Sample{BPM: heart(bpm), Speed: trace.Unknown, Steps: trace.Unknown})
}

func (r *strapReader) mark() error {
	at, err := r.number()
	if err != nil {
		return err
	}
	if len(r.marks) == mostMarks {
		return refuse(tooMany)
	}
	r.marks = append(r.marks, at)
	return nil
}

// number is a number that may be a time.
func (r *strapReader) number() (float64, error) {
	value, err := r.token()
	if err != nil {
		return 0, err
	}
	n, ok := value.(float64)
	if !ok || math.Abs(n) > latest {
		return 0, refuse(damagedStrap)
	}
	return n, nil
}

func (r *strapReader) delim(want json.Delim) error {
	switch value, err := r.token(); {
	case err != nil:
		return err
	case value != want:
		return refuse(damagedStrap)
	}
	return nil
}

// token is the next piece of the document.
func (r *strapReader) token() (json.Token, error) {
	value, err := r.in.Token()
	switch {
	case err == nil:
		return value, nil
	case !r.ends:
		return nil, refuse(cutOff)
	}
	return nil, refuse(damagedStrap)
}

// done lays the marks on the clock of the recording, which begins with the first
// sample.
func (r *strapReader) done() (trace.Recording, error) {
	if r.started.IsZero() {
		return trace.Recording{}, refuse("the recording of the strap does not say when it began")
	}
	recording, err := r.rec.done()
	if err != nil {
		return trace.Recording{}, err
	}
	recording.Start = r.started.Add(time.Duration(r.rec.first) * time.Millisecond).UTC()
	for _, at := range r.marks {
		recording.Marks = append(recording.Marks, wholeSeconds(int64(math.Round(1000*max(-farthest, min(at, farthest))))-r.rec.first))
	}
	return recording, nil
}
