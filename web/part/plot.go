package part

import "strconv"

// Sizes of the small pictures, in units.
const (
	trendWidth, trendHeight = 120, 32
	barWidth, barGap        = 12, 3
	barsHeight              = 36
	stepWidth               = 20  // of a week or a session in the large charts
	chartHeight             = 100 // of the large charts
)

// line is the course of the settle times, from edge to edge.
func (t Trend) line() (course, end, half string) {
	top := t.Half * 5 / 4
	for _, s := range t.Seconds {
		top = max(top, s)
	}
	if top == 0 || len(t.Seconds) == 0 {
		return "", "", ""
	}
	y := func(s int) int { return trendHeight - 4 - s*(trendHeight-8)/top }
	var p, e, h pen
	step := (trendWidth - 8) / max(len(t.Seconds)-1, 1)
	x := trendWidth - 4 - step*(len(t.Seconds)-1)
	for i, s := range t.Seconds {
		command := byte('L')
		if i == 0 {
			command = 'M'
		}
		p.to(command, x+i*step, y(s))
	}
	e.to('M', trendWidth-4, y(t.Seconds[len(t.Seconds)-1]))
	e.to('h', 0)
	if t.Half > 0 {
		h.line(0, y(t.Half), trendWidth)
	}
	return p.String(), e.String(), h.String()
}

// box is the viewBox of the bars.
func (l Load) box() string {
	return "0 0 " + strconv.Itoa(max(len(l.Weeks), 1)*(barWidth+barGap)) + " " + strconv.Itoa(barsHeight)
}

// bars are the weeks before, and the present one.
func (l Load) bars() (before, now string) {
	top := 1
	for _, w := range l.Weeks {
		top = max(top, w)
	}
	var b, n pen
	for i, w := range l.Weeks {
		height := (w*barsHeight + top - 1) / top
		p := &b
		if i == len(l.Weeks)-1 {
			p = &n
		}
		p.box(i*(barWidth+barGap), barsHeight-max(height, 1), barWidth, max(height, 1))
	}
	return b.String(), n.String()
}

// chart is a large chart in its own units, stretched to the page.
type chart struct {
	Box                      string
	Now, Before, Plan, Marks string
	Top                      int // what the upper edge stands for
}

// boxOf is the viewBox of a chart of n steps; a short one leaves room, so that its
// bars do not become walls.
func boxOf(n int) string {
	return "0 0 " + strconv.Itoa(max(n, 6)*stepWidth) + " " + strconv.Itoa(chartHeight)
}

// loads draws the load of the weeks.
func (w Weeks) loads() chart {
	c := chart{Box: boxOf(len(w.Weeks)), Top: 1}
	for _, k := range w.Weeks {
		c.Top = max(c.Top, k.Load)
	}
	var before, now pen
	for i, k := range w.Weeks {
		height := max(k.Load*chartHeight/c.Top, 1)
		p := &before
		if i == len(w.Weeks)-1 {
			p = &now
		}
		p.box(i*stepWidth+3, chartHeight-height, stepWidth-6, height)
	}
	c.Before, c.Now = before.String(), now.String()
	return c
}

// runs draws the running of the weeks: what was planned outlined, what was done
// filled within.
func (w Weeks) runs() chart {
	c := chart{Box: boxOf(len(w.Weeks)), Top: 1}
	for _, k := range w.Weeks {
		c.Top = max(c.Top, k.RunSeconds, k.RunPlanned)
	}
	var plan, done pen
	for i, k := range w.Weeks {
		if height := k.RunPlanned * (chartHeight - 1) / c.Top; height > 0 {
			plan.box(i*stepWidth+2, chartHeight-height, stepWidth-4, height)
		}
		if height := k.RunSeconds * (chartHeight - 1) / c.Top; height > 0 {
			done.box(i*stepWidth+6, chartHeight-height, stepWidth-12, height)
		}
	}
	c.Plan, c.Now = plan.String(), done.String()
	return c
}

// draw draws the settle times as a line, half of each walk as steps.
func (s Settles) draw() chart {
	c := chart{Box: boxOf(len(s.Points)), Top: 1}
	for _, p := range s.Points {
		c.Top = max(c.Top, p.Median, p.Half)
	}
	c.Top = c.Top * 11 / 10
	y := func(seconds int) int { return chartHeight - seconds*chartHeight/c.Top }
	var line, half, dots pen
	for i, p := range s.Points {
		x := i*stepWidth + stepWidth/2
		command := byte('L')
		if i == 0 {
			command = 'M'
		}
		line.to(command, x, y(p.Median))
		dots.to('M', x, y(p.Median))
		dots.to('h', 0)
		if p.Half > 0 {
			half.line(i*stepWidth, y(p.Half), stepWidth)
		}
	}
	c.Now, c.Plan, c.Marks = line.String(), half.String(), dots.String()
	return c
}

// Sizes of the picture of pain, in units.
const (
	painUnit  = 5   // height of one point of pain
	painLeft  = 12  // where the first day stands
	painRight = 308 // where the last day stands
	painWidth = 320
)

// at is where a day lies.
func (s Site) at(day int) int { return painLeft + day*(painRight-painLeft)/max(s.Days, 28) }

// level is how high a score lies.
func level(score int) int { return (10-score)*painUnit + 4 }

// marks are the scores during sessions, as dots, and those of the mornings after,
// as dashes, with a stem from one to the other.
func (s Site) marks() (during, mornings, stems string) {
	var d, m, stem pen
	for _, a := range s.Aches {
		x, y := s.at(a.Day), level(a.During)
		d.to('M', x, y)
		d.to('h', 0)
		if a.Morning >= 0 {
			below := level(a.Morning)
			m.line(x+4, below, 8)
			stem.to('M', x, y)
			stem.to('L', x+4, below)
		}
	}
	return d.String(), m.String(), stem.String()
}

// painLines are the levels from which running holds (3) and pauses (6), and none.
func (s Site) painLines() string {
	var p pen
	for _, score := range []int{0, 3, 6} {
		p.line(painLeft, level(score), painWidth-painLeft)
	}
	return p.String()
}

// minutes writes seconds as minutes, rounded up, for the edge of a chart.
func minutes(seconds int) string { return strconv.Itoa((seconds+59)/60) + " min" }
