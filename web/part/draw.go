package part

import (
	"strconv"
	"strings"
)

// halfHour is the width of a strip in seconds.
const halfHour = 1800

// drawing is a strip as paths in whole units, one path for everything drawn
// alike: a roster of a hundred people must stay light.
type drawing struct {
	Box                          string // viewBox
	Runs, Walks, Somes           string
	Unsettled, Rest, Line, Limit string
}

// pen writes a path.
type pen struct{ strings.Builder }

func (p *pen) to(command byte, numbers ...int) {
	p.WriteByte(command)
	for i, n := range numbers {
		if i > 0 && n >= 0 {
			p.WriteByte(' ')
		}
		p.WriteString(strconv.Itoa(n))
	}
}

// box draws a rectangle.
func (p *pen) box(x, y, width, height int) {
	p.to('M', x, y)
	p.to('h', width)
	p.to('v', height)
	p.to('h', -width)
	p.WriteByte('z')
}

// line draws a level line.
func (p *pen) line(x, y, width int) {
	p.to('M', x, y)
	p.to('h', width)
}

// extent is the width and height of a strip in its own units.
func (s Strip) extent() (width, height int) {
	switch s.Size {
	case Medium:
		return 360, 30
	case Large:
		return 540, 33
	}
	return 360, 20
}

// draw turns the strip into paths.
func (s Strip) draw() drawing {
	width, height := s.extent()
	d := drawing{Box: "0 0 " + strconv.Itoa(width) + " " + strconv.Itoa(height)}
	if s.State == Missed || s.State == CalledOff {
		var line pen
		line.line(0, height*3/4, width)
		d.Line = line.String()
		return d
	}
	c := canvas{width: width, height: height, span: max(halfHour, s.seconds()), planned: s.State == Planned}
	for _, b := range s.Blocks {
		c.block(b)
	}
	d.Runs, d.Walks, d.Somes = c.runs.String(), c.walks.String(), c.somes.String()
	d.Unsettled, d.Rest = c.unsettled.String(), c.rest.String()
	if c.span > halfHour {
		var limit pen
		limit.to('M', c.at(halfHour), 0)
		limit.to('v', height)
		d.Limit = limit.String()
	}
	return d
}

// seconds is how long the strip is.
func (s Strip) seconds() int {
	total := 0
	for _, b := range s.Blocks {
		total += b.slot(s.State == Planned)
	}
	return total
}

// slot is the time a block takes up: what was planned of it or, if more, done.
func (b Block) slot(planned bool) int {
	if planned {
		return b.Planned
	}
	return max(b.Planned, b.Done)
}

// canvas is a strip while it is drawn.
type canvas struct {
	width, height                       int
	span                                int // seconds from edge to edge
	planned                             bool
	passed                              int // seconds drawn so far
	runs, walks, somes, unsettled, rest pen
}

// at is where a second lies.
func (c *canvas) at(second int) int { return (second*c.width + c.span/2) / c.span }

// block draws one block, with a gap of a unit to the next.
func (c *canvas) block(b Block) {
	begin, done := c.passed, b.Done
	c.passed += b.slot(c.planned)
	if c.planned {
		done = b.Planned
	}
	x, seam := c.at(begin), c.at(begin+done)
	if width := seam - x - 1; done > 0 {
		c.fill(b.Kind, x, max(width, 1))
	}
	if until := c.at(begin + min(b.Unsettled, done)); b.Kind == Walk && !c.planned && until > x {
		c.unsettled.box(x, c.height/2, max(min(until, seam-1)-x, 1), c.height/2)
	}
	if left := c.at(c.passed) - seam; left > 0 {
		c.rest.line(seam, c.height*3/4, left)
	}
}

func (c *canvas) fill(kind BlockKind, x, width int) {
	switch kind {
	case Run:
		c.runs.box(x, 0, width, c.height)
	case Walk:
		c.walks.box(x, c.height/2, width, c.height/2)
	default:
		c.somes.box(x, c.height/4, width, c.height*3/4)
	}
}
