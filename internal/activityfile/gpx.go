package activityfile

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/trace"
)

// Limits of a GPX file.
const (
	deepest      = 32      // elements inside each other
	longestToken = 1 << 16 // bytes of one tag, text or comment
	longestValue = 64      // bytes of a number or time
)

// readGPX reads the points of all tracks, in the order in which they stand, heart
// rate and steps by local name in whatever namespace and depth. Points without a
// time are left out. Where no speed is given it comes from the way between two
// points of a segment; between segments nothing was recorded. The text is UTF-8.
func readGPX(text []byte) (trace.Recording, error) {
	m := &meter{text: text}
	d := xml.NewDecoder(m)
	d.CharsetReader = func(_ string, input io.Reader) (io.Reader, error) { return input, nil } // it is UTF-8 already
	g := &gpxReader{rec: recorder{dated: true}}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		line, _ := d.InputPos()
		if err == nil {
			err = g.take(token, line)
		}
		if err != nil {
			return trace.Recording{}, g.plain(err, line)
		}
		m.rest()
	}
	switch {
	case !g.root:
		return trace.Recording{}, refuse(cutOff)
	case g.untimed > 0 && len(g.rec.recording.Samples) == 0:
		return trace.Recording{}, refuse("the points of this track have no times: it is a way to go, not a recording")
	}
	g.rec.feet()
	return g.rec.done()
}

// meter hands the text to the XML reader and stops it inside a token without end.
type meter struct {
	text     []byte
	at, from int
}

var errLongToken = errors.New("a tag or text without end")

// ReadByte is the next byte.
func (m *meter) ReadByte() (byte, error) {
	if m.at == len(m.text) {
		return 0, io.EOF
	}
	if m.at-m.from > longestToken {
		return 0, errLongToken
	}
	m.at++
	return m.text[m.at-1], nil
}

// Read is never used by the XML reader, which takes single bytes.
func (m *meter) Read(p []byte) (int, error) {
	n := copy(p, m.text[m.at:])
	m.at += n
	if n == 0 && len(p) > 0 {
		return 0, io.EOF
	}
	return n, nil
}

// rest says that a token ended here.
func (m *meter) rest() { m.from = m.at }

// gpxReader takes tokens one by one.
type gpxReader struct {
	rec      recorder
	root     bool
	elements int
	depth    int
	within   int // the depth of the point that is being read; 0: none
	point    point
	value    value // the element whose text is being read
	text     []byte
	before   place // of the point before, in the same segment
	untimed  int   // points without a time
}

// point is what was read of one so far.
type point struct {
	at    int64
	timed bool
	place place
	trace.Sample
}

// value is an element of a point that is read.
type value int

const (
	noValue value = iota
	timeValue
	heartValue
	stepsValue
	speedValue
)

func (g *gpxReader) take(token xml.Token, line int) error {
	switch t := token.(type) {
	case xml.StartElement:
		return g.start(t)
	case xml.CharData:
		if text := bytes.TrimSpace(t); g.value != noValue && len(g.text)+len(text) <= longestValue {
			g.text = append(g.text, text...)
		}
	case xml.EndElement:
		return g.end(line)
	case xml.Directive:
		if strings.HasPrefix(strings.ToLower(string(t[:min(len(t), 16)])), "doctype html") {
			return errWebPage
		}
		return refuseAt(line, "the file defines XML of its own (%s), which recordings have no need of", quote([]byte(t)))
	}
	return nil
}

func (g *gpxReader) start(t xml.StartElement) error {
	if g.depth++; g.depth > deepest {
		return errTooDeep
	}
	if g.elements++; g.elements > mostPieces {
		return refuse(tooMany)
	}
	name := t.Name.Local
	switch {
	case g.depth == 1:
		g.root = true
		return asGPX(name)
	case g.within > 0:
		g.value, g.text = g.valueOf(name), g.text[:0]
	case name == "trkpt":
		g.within = g.depth
		g.point = point{place: placeOf(t.Attr), Sample: trace.Sample{Speed: trace.Unknown, Steps: trace.Unknown}}
	case name == "trkseg":
		g.before = place{}
	}
	return nil
}

// asGPX refuses other kinds of XML.
func asGPX(root string) error {
	switch strings.ToLower(root) {
	case "gpx":
		return nil
	case "html":
		return errWebPage
	}
	return refuse("this is an XML file, but not GPX: it begins with %s", quote(root))
}

// valueOf says what an element inside a point holds.
func (g *gpxReader) valueOf(name string) value {
	switch strings.ToLower(name) {
	case "time":
		if g.depth == g.within+1 {
			return timeValue
		}
	case "hr", "heartrate":
		return heartValue
	case "cad", "cadence":
		return stepsValue
	case "speed":
		return speedValue
	}
	return noValue
}

func (g *gpxReader) end(line int) error {
	defer func() { g.depth--; g.value = noValue }()
	if g.value != noValue {
		return g.read(g.text, line)
	}
	if g.within != 0 && g.depth == g.within {
		g.within = 0
		return g.keep()
	}
	return nil
}

// read takes the text of an element.
func (g *gpxReader) read(text []byte, line int) error {
	if isBlank(text) {
		return nil
	}
	p := &g.point
	if g.value == timeValue {
		if p.at, p.timed = parseStamp(text); !p.timed {
			return refuseAt(line, "%s is no time", quote(text))
		}
		return nil
	}
	n, ok := number(text)
	if !ok {
		return refuseAt(line, "%s is no number", quote(text))
	}
	switch g.value {
	case heartValue:
		p.BPM = heart(n)
	case stepsValue:
		p.Steps = steps(n)
	case speedValue:
		p.Speed = speed(100 * n)
	}
	return nil
}

// keep takes down the point and drops its position.
func (g *gpxReader) keep() error {
	p := &g.point
	if !p.timed {
		g.untimed++
		return nil
	}
	p.place.at = p.at
	if p.Speed == trace.Unknown {
		p.Speed = p.place.speedFrom(g.before)
	}
	g.before = p.place
	return g.rec.add(p.at, p.Sample)
}

var (
	errTooDeep = errors.New("elements too deep inside each other")
	errWebPage = errors.New("a web page")
)

// plain says an error of the XML in words.
func (g *gpxReader) plain(err error, line int) error {
	var syntax *xml.SyntaxError
	switch {
	case fault.KindOf(err) == fault.Invalid:
		return err
	case errors.Is(err, errTooDeep):
		return refuseAt(line, "elements stand inside each other more than %d deep; recordings have no need of that", deepest)
	case errors.Is(err, errLongToken):
		return refuseAt(line, "something begins that has no end for 64 kB; was the file copied whole?")
	case errors.Is(err, errWebPage):
		return refuse("this is a web page, not a recording; where a download asks for a login, the page of the login comes in place of the file")
	case errors.As(err, &syntax) && syntax.Msg == "unexpected EOF":
		return refuse(cutOff)
	case !g.root:
		return refuse("this looks like XML, but cannot be read as it (line %d)", line)
	}
	return refuseAt(line, "the XML is broken here; was the file copied whole?")
}
