package readiness

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/load"
)

// week sums what was done in seven dates.
type week struct {
	twiceLoad int64 // half AU
	minutes   int64
	ran       int64 // seconds
	sessions  int   // with load
}

// loads is what rule 8 reads.
type loads struct {
	weeks     [5]week  // W0 to W4
	since     day.Date // where the history begins; 0: nowhere yet
	reference week     // the sum over the weeks used
	used      int      // how many weeks the reference has
	planned   int64    // seconds planned for W0, planned_minutes of strength too
	runs      int64    // seconds of running planned for W0
	longest   int32    // seconds of the longest unbroken run planned for W0
	filled    int
}

// learning says that there is no reference yet (rule 8.2).
func (l *loads) learning() bool { return l.used < 2 }

func (c *chart) weigh() loads {
	l := loads{since: c.historyStart()}
	for i := range c.sessions {
		d := &c.sessions[i]
		w := day.WeeksBack(c.AsOf, d.Date)
		if w >= len(l.weeks) {
			continue
		}
		l.weeks[w].add(d)
		if w == 0 {
			l.plan(d)
		}
	}
	for w := 1; w < len(l.weeks); w++ {
		if c.usable(w, l.since, l.weeks[w].sessions > 0) {
			l.used++
			l.reference.twiceLoad += l.weeks[w].twiceLoad
			l.reference.minutes += l.weeks[w].minutes
			l.reference.ran += l.weeks[w].ran
		}
	}
	return l
}

func (w *week) add(d *digest) {
	w.twiceLoad += d.twiceLoad()
	w.minutes += int64(d.minutes)
	w.ran += int64(d.ran)
	if d.hasLoad() {
		w.sessions++
	}
}

// plan adds a session of W0 to what was planned for it (rule 8.3).
func (l *loads) plan(d *digest) {
	if d.filled && d.minutes > 0 {
		l.filled++
	}
	switch d.Kind {
	case Planned:
		l.planned += int64(d.planned)
		l.runs += int64(d.runPlanned)
		l.longest = max(l.longest, d.longPlanned)
	case Strength:
		l.planned += 60 * int64(d.PlannedMinutes.Or(0))
	}
}

// historyStart is where the history of loads begins: where it is said to, else
// at the first session with load; anew after a gap of 28 days (rule 8.2).
func (c *chart) historyStart() day.Date {
	start, last := c.HistorySince, day.Date(0)
	for i := range c.sessions {
		d := &c.sessions[i]
		if !d.hasLoad() {
			continue
		}
		if start == 0 || last != 0 && d.Date-last >= 28 {
			start = max(start, d.Date)
		}
		last = max(last, d.Date)
	}
	return start
}

// usable says whether week w back counts for the reference (rule 8.2).
func (c *chart) usable(w int, since day.Date, trained bool) bool {
	last := c.AsOf - day.Date(7*w)
	first := last - 6
	if since == 0 || since > first || c.leaveDays(first, last) == 7 {
		return false
	}
	return trained || !c.inGap(first, last)
}

// inGap says whether the dates lie inside a gap of 14 days or more from one
// session with load to the next.
func (c *chart) inGap(first, last day.Date) bool {
	var before, after day.Date
	for i := range c.sessions {
		d := &c.sessions[i]
		if !d.hasLoad() {
			continue
		}
		if d.Date < first {
			before = max(before, d.Date)
		} else if d.Date > last && (after == 0 || d.Date < after) {
			after = d.Date
		}
	}
	return before != 0 && after != 0 && after-before >= 14
}

// report gives the numbers of rule 8 with their cautions (rule 8.5): the ratios
// only from four weeks of history on.
func (c *chart) report(l *loads, why Cause) LoadReport {
	r := LoadReport{
		Learning: l.learning(), Filled: l.filled, Why: why,
		Week: float64(l.weeks[0].twiceLoad) / 2, RunMinutes: float64(l.weeks[0].ran) / 60,
	}
	if !r.Learning {
		r.Reference = float64(l.reference.twiceLoad) / 2 / float64(l.used)
		r.RunReference = float64(l.reference.ran) / 60 / float64(l.used)
	}
	if l.since == 0 || c.AsOf-l.since < 28 {
		return r
	}
	r.HasRatios = true
	var weekly [5]float64
	for w := range weekly {
		weekly[w] = float64(l.weeks[w].twiceLoad) / 2
	}
	daily := c.daily(l.since)
	last := [7]float64(daily[len(daily)-7:])
	r.Ratio, r.RatioKnown = load.Ratio(weekly)
	r.RatioWeighted, r.WeightedKnown = load.Weighted(daily)
	r.Monotony, r.MonotonyKnown = load.Monotony(last)
	r.Strain, _ = load.Strain(last)
	return r
}

// daily are the loads (AU) of each date since the history began.
func (c *chart) daily(since day.Date) []float64 {
	loads := make([]float64, int(c.AsOf-since)+1)
	for i := range c.sessions {
		d := &c.sessions[i]
		if d.Date >= since {
			loads[d.Date-since] += float64(d.twiceLoad()) / 2
		}
	}
	return loads
}

// backToBack says whether there was running on two consecutive dates, the later
// in W0 (rule 8.6).
func (c *chart) backToBack() bool {
	var dates []day.Date
	for i := range c.sessions {
		if d := &c.sessions[i]; d.ran > 0 && c.AsOf-d.Date <= 7 {
			dates = append(dates, d.Date)
		}
	}
	return slices.ContainsFunc(dates, func(d day.Date) bool { return c.AsOf-d < 7 && slices.Contains(dates, d-1) })
}
