package heart

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// ceilings are the two of a date; one without a source is not known.
type ceilings struct{ easy, hard intensity.Ceiling }

// personOn is what was known of the athlete's heart on a date: of every kind the
// newest measurement up to it (rule 4.5), a maximum seen in a recording being as
// good as one measured in a test. Measurements come the oldest first.
func personOn(a *roster.Athlete, measured []roster.Measurement, date day.Date) intensity.Person {
	p := intensity.Person{Formula: a.Formula}
	if a.BirthYear > 0 {
		p.Age = date.Year() - a.BirthYear
	}
	for i := range measured {
		m := &measured[i]
		if m.On > date {
			break
		}
		switch m.Kind {
		case roster.TalkTested:
			p.TalkTest = m.BPM
		case roster.MaxMeasured, roster.MaxObserved:
			p.MeasuredMax = m.BPM
		case roster.RestMeasured:
			p.Resting = m.BPM
		}
	}
	return p
}

// ceilingsOn are the ceilings that hold on a date (rules 4.1 to 4.5).
func ceilingsOn(a *roster.Athlete, measured []roster.Measurement, date day.Date) ceilings {
	p := personOn(a, measured, date)
	var c ceilings
	c.easy, _ = p.Easy()
	c.hard, _ = p.Hard()
	return c
}

// forTrace lays them out for the reading of a recording.
func (c ceilings) forTrace() trace.Ceilings {
	var t trace.Ceilings
	if c.easy.Source != intensity.NoSource {
		t.Easy, t.EasyLow, t.EasyHigh = c.easy.BPM, c.easy.Low(), c.easy.High()
	}
	if c.hard.Source != intensity.NoSource {
		t.Hard, t.HardLow, t.HardHigh = c.hard.BPM, c.hard.Low(), c.hard.High()
	}
	return t
}

// history is how the easy ceiling came to be what it is: from the day the athlete
// joined, with every measurement, and with each year in which a predicted one sinks
// with the age. The formula is the one chosen now.
func history(a *roster.Athlete, measured []roster.Measurement, today day.Date) intensity.History {
	begin := a.JoinedOn
	if begin == 0 {
		begin = today
	}
	dates := []day.Date{begin}
	for year := begin.Year() + 1; year <= today.Year(); year++ {
		dates = append(dates, day.On(year, 1, 1))
	}
	for i := range measured {
		dates = append(dates, measured[i].On)
	}
	slices.Sort(dates)
	var h intensity.History
	for _, date := range slices.Compact(dates) {
		c, ok := personOn(a, measured, date).Easy()
		if !ok || date > today || len(h) > 0 && h[len(h)-1].Ceiling == c {
			continue
		}
		h = h.With(intensity.Dated{From: date, Ceiling: c})
	}
	return h
}
