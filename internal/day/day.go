// Package day holds civil dates and rolling weeks. It is the one place where an
// instant becomes a day.
package day

import (
	"fmt"
	"time"
)

// Date is a civil date: days since 31 December of the year 0, so that
// 1 January 1 is 1 and the zero value means "no date". Differences of dates are
// whole days whatever the clocks did.
type Date int32

// unixEpoch is 1 January 1970 as a Date.
const unixEpoch = 719163

// Of is the civil date on which the instant falls in the place.
func Of(t time.Time, place *time.Location) Date {
	_, offset := t.In(place).Zone()
	seconds := t.Unix() + int64(offset)
	days := seconds / 86400
	if seconds%86400 < 0 {
		days--
	}
	return Date(days + unixEpoch)
}

// On is the date of a year, month and day of the month; values out of range are
// carried over as time.Date does.
func On(year int, month time.Month, dayOfMonth int) Date {
	return Of(time.Date(year, month, dayOfMonth, 0, 0, 0, 0, time.UTC), time.UTC)
}

// Parse reads a date written as 2006-01-02.
func Parse(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("a date is written like 2026-04-14, not %q", s)
	}
	d := Of(t, time.UTC)
	if d < 1 {
		return 0, fmt.Errorf("the year of %s is too early", s)
	}
	return d, nil
}

// String writes the date as 2006-01-02; no date is the empty string.
func (d Date) String() string {
	if d == 0 {
		return ""
	}
	return d.UTC().Format(time.DateOnly)
}

// UTC is midnight of the date in UTC, for formatting and storage.
func (d Date) UTC() time.Time { return time.Unix((int64(d)-unixEpoch)*86400, 0).UTC() }

// Start is the first instant of the date in the place.
func (d Date) Start(place *time.Location) time.Time { return d.At(0, place) }

// At is the first instant of the date at which clocks of the place show the hour, 0 to
// 23, or a later time: where the hour comes twice it is the first of the two, and where
// clocks are put forward over it the instant at which they are.
func (d Date) At(hour int, place *time.Location) time.Time {
	y, m, n := d.UTC().Date()
	t := time.Date(y, m, n, hour, 0, 0, 0, place)
	wall := d.UTC().Unix() + int64(hour)*3600
	begin, end := t.ZoneBounds()
	switch shown := shownBy(t); {
	case shown > wall: // the hour is left out, and t is after that
		return begin
	case shown < wall:
		return end
	}
	if !begin.IsZero() {
		_, offset := t.Zone()
		_, before := begin.Add(-1).Zone()
		if first := t.Add(time.Duration(offset-before) * time.Second); first.Before(begin) && shownBy(first) == wall {
			return first
		}
	}
	return t
}

// shownBy is what a clock shows at the instant, as seconds.
func shownBy(t time.Time) int64 {
	_, offset := t.Zone()
	return t.Unix() + int64(offset)
}

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.UTC().Weekday() }

// Year is the calendar year.
func (d Date) Year() int { return d.UTC().Year() }

// WeeksBack is the number of the rolling week in which d lies, seen from the day
// asked about: 0 for the seven dates that end on asked, 1 for the seven before
// (rule 1.2). It is negative for later dates.
func WeeksBack(asked, d Date) int {
	n := int(asked - d)
	if n < 0 {
		return (n - 6) / 7
	}
	return n / 7
}

// Span is a run of dates with both ends included; To of zero means it has not
// ended.
type Span struct{ From, To Date }

// Holds says whether the date lies in the span.
func (s Span) Holds(d Date) bool { return d >= s.From && (s.To == 0 || d <= s.To) }
