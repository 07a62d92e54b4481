package part

import (
	"slices"
	"strconv"
)

// Trace is a recording of the heart drawn over its session. Seconds are of the
// recording's own clock.
type Trace struct {
	Label           string  // in words, for whoever cannot see it; never empty
	Rates           []int16 // usable beats a minute, a second each; 0: none
	Easy, Low, High int     // the easy ceiling and one standard deviation to either side; 0: not known
	Blocks          []Beaten
	Lost            []Lost
}

// Beaten is one block as it was found in the recording. It may lie outside of it.
type Beaten struct {
	Kind      BlockKind
	From, To  int
	Number    string // of a walk after a run, as the table counts it; else empty
	Sign      Mark   // of such a walk: met settled, unmet not settled, unknown cannot tell, mixed where heart and breath disagree
	Unsettled int    // seconds until the heart rate was under the ceiling; 0 also where it cannot be told
	Tap       int    // seconds until "my breath is back" was tapped; 0: no tap
}

// signs are the signs of the walks, each once, for the key.
func (t Trace) signs() (signs []Flagged) {
	for _, f := range []Flagged{{"met", "settled"}, {"unmet", "not settled"}, {"unknown", "cannot tell"}, {"mixed", "heart and breath disagree"}} {
		if slices.ContainsFunc(t.Blocks, func(b Beaten) bool { return b.Sign == f.Mark }) {
			signs = append(signs, f)
		}
	}
	return signs
}

// taps says whether something was tapped.
func (t Trace) taps() bool {
	return slices.ContainsFunc(t.Blocks, func(b Beaten) bool { return b.Tap > 0 })
}

// Lost is a stretch without a usable heart rate.
type Lost struct {
	From, To int
	Sign     string // a letter that the words beside the picture explain
}

// Sizes of the picture, in pixels from the top: its width is that of the page, so
// that nothing that is written in it shrinks on a phone.
const (
	traceTop    = 20  // above the curve: letters of what was lost
	traceHeight = 168 // of the curve
	traceStrip  = traceTop + traceHeight + 10
	traceRun    = 26 // height of a run; a walk is half as high
	traceMarks  = traceStrip + traceRun + 6
	traceNumber = traceMarks + 30
	traceClock  = traceNumber + 17
	traceWhole  = traceClock + 6

	traceWide = 1000 // width of the curve in its own units
	traceMost = 400  // points of the curve, at most
	traceEdge = 300  // seconds shown before and after the session
	narrowest = 4    // per cent of the width that a letter needs
)

// traced is a trace while it is drawn: from which second and heart rate to which.
type traced struct {
	Trace
	from, to  int
	low, high int // beats a minute at the lower and the upper edge
}

// draw finds out what has to be shown: the session with what lies around it, and
// heart rates rounded to tens.
func (t Trace) draw() traced {
	d := traced{Trace: t, from: 0, to: max(len(t.Rates), 1)}
	if n := len(t.Blocks); n > 0 {
		first, last := t.Blocks[0].From, t.Blocks[n-1].To
		d.from, d.to = max(min(0, first), first-traceEdge), min(max(d.to, last), last+traceEdge)
	}
	d.to = max(d.to, d.from+60)
	d.low, d.high = 250, 0
	for i := max(d.from, 0); i < min(d.to, len(t.Rates)); i++ {
		if bpm := int(t.Rates[i]); bpm > 0 {
			d.low, d.high = min(d.low, bpm), max(d.high, bpm)
		}
	}
	if t.Easy > 0 {
		d.low, d.high = min(d.low, t.Low), max(d.high, t.High)
	}
	if d.low > d.high { // nothing to draw
		d.low, d.high = 80, 160
	}
	d.low, d.high = d.low/10*10-10, (d.high+9)/10*10+10
	return d
}

// at is where a second lies, in per cent of the width.
func (d traced) at(second int) string { return percent(d.share(second)) }

// share is where a second lies, in hundredths of a per cent, inside the picture.
func (d traced) share(second int) int {
	second = min(max(second, d.from), d.to)
	return ((second-d.from)*10_000 + (d.to-d.from)/2) / (d.to - d.from)
}

// wide is how wide a stretch is, less a hair where another follows it.
func (d traced) wide(from, to, hair int) string {
	return percent(max(d.share(to)-d.share(from)-hair, 10))
}

// percent writes hundredths of a per cent.
func percent(hundredths int) string {
	return strconv.FormatFloat(float64(hundredths)/100, 'f', -1, 64) + "%"
}

// y is how far from the upper edge of the curve a heart rate lies, in pixels.
func (d traced) y(bpm int) int {
	bpm = min(max(bpm, d.low), d.high)
	return (d.high - bpm) * traceHeight / (d.high - d.low)
}

// down is the same in the picture.
func (d traced) down(bpm int) string { return strconv.Itoa(traceTop + d.y(bpm)) }

// tall is the height between two heart rates, the higher one first.
func (d traced) tall(high, low int) string { return strconv.Itoa(d.y(low) - d.y(high)) }

// line is the curve, the mean of a few seconds a point: where nothing usable was
// recorded there is none.
func (d traced) line() string {
	var p pen
	step := max((d.to-d.from+traceMost-1)/traceMost, 1)
	drawn := 0
	for at := d.from; at < d.to; at += step {
		sum, n := 0, 0
		for i := max(at, 0); i < min(at+step, len(d.Rates)); i++ {
			if d.Rates[i] > 0 {
				sum, n = sum+int(d.Rates[i]), n+1
			}
		}
		if n == 0 {
			p.alone(drawn)
			drawn = 0
			continue
		}
		command := byte('L')
		if drawn == 0 {
			command = 'M'
		}
		x := (2*(at-d.from) + step) * traceWide / (2 * (d.to - d.from))
		p.to(command, min(x, traceWide), d.y((sum+n/2)/n))
		drawn++
	}
	p.alone(drawn)
	return p.String()
}

// alone makes a single point seen.
func (p *pen) alone(drawn int) {
	if drawn == 1 {
		p.to('h', 1)
	}
}

// rate is one line across the picture with its number.
type rate struct {
	Y     string // of the line
	Words string
	Text  string // height of the words
}

// rates are heart rates to read the picture by.
func (d traced) rates() (lines []rate) {
	step := 20
	if d.high-d.low > 120 {
		step = 40
	}
	for bpm := (d.low + step) / step * step; bpm < d.high; bpm += step {
		y := traceTop + d.y(bpm)
		lines = append(lines, rate{strconv.Itoa(y), strconv.Itoa(bpm), strconv.Itoa(y + 4)})
	}
	return lines
}

// tick is one time below the picture, and which end of its words stands there.
type tick struct{ X, Words, Anchor string }

// ticks are the minutes since the session began.
func (d traced) ticks() (list []tick) {
	begin := 0
	if len(d.Blocks) > 0 {
		begin = d.Blocks[0].From
	}
	step := 600
	for (d.to-begin)/step > 8 {
		step *= 2
	}
	for at := begin; at <= d.to; at += step {
		k := tick{d.at(at), strconv.Itoa((at - begin) / 60), "middle"}
		switch share := d.share(at); {
		case share < 100:
			k.Anchor = "start"
		case share > 9_600:
			k.Anchor = "end"
		}
		list = append(list, k)
	}
	if n := len(list); n > 0 {
		list[n-1].Words += " min"
	}
	return list
}

// lettered says whether a stretch is wide enough for its letter.
func (d traced) lettered(l Lost) bool {
	return d.share(l.To)-d.share(l.From) >= 100*narrowest
}

// shown says whether a stretch lies in the picture.
func (d traced) shown(from, to int) bool { return to > d.from && from < d.to && to > from }

// middle is between two seconds.
func middle(from, to int) int { return from + (to-from)/2 }

// class is how a block is drawn: of what was not recorded only the outline.
func (d traced) class(b Beaten) string {
	class := map[BlockKind]string{Run: "r", Walk: "w", Some: "k"}[b.Kind]
	if b.To <= 0 || b.From >= len(d.Rates) {
		return class + " unrec"
	}
	return class
}

// top and height are those of a block.
func (b Beaten) top() string {
	if b.Kind == Run {
		return strconv.Itoa(traceStrip)
	}
	return strconv.Itoa(traceStrip + traceRun/2)
}

func (b Beaten) height() string {
	if b.Kind == Run {
		return strconv.Itoa(traceRun)
	}
	return strconv.Itoa(traceRun / 2)
}
