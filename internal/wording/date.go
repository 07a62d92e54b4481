package wording

import (
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/day"
)

// Dates writes dates in the reader's form: the day of the month first, unless
// MonthFirst.
type Dates struct{ MonthFirst bool }

// Day is "14 April", with the year where it is not that of the day asked about.
func (f Dates) Day(d, asked day.Date) string {
	if d == 0 {
		return ""
	}
	t := d.UTC()
	s := strconv.Itoa(t.Day()) + " " + t.Month().String()
	if f.MonthFirst {
		s = t.Month().String() + " " + strconv.Itoa(t.Day())
	}
	if d.Year() == asked.Year() {
		return s
	}
	if f.MonthFirst {
		return s + ", " + strconv.Itoa(d.Year())
	}
	return s + " " + strconv.Itoa(d.Year())
}

// Short is "14 Apr".
func (f Dates) Short(d day.Date) string {
	t := d.UTC()
	if f.MonthFirst {
		return t.Format("Jan 2")
	}
	return t.Format("2 Jan")
}

// Full is "Tuesday 14 April".
func (f Dates) Full(d, asked day.Date) string {
	if f.MonthFirst {
		return d.Weekday().String() + ", " + f.Day(d, asked)
	}
	return d.Weekday().String() + " " + f.Day(d, asked)
}

// Near is "today", "yesterday", "tomorrow", a weekday within six days, else the
// date.
func (f Dates) Near(d, asked day.Date) string {
	switch n := d - asked; {
	case n == 0:
		return "today"
	case n == -1:
		return "yesterday"
	case n == 1:
		return "tomorrow"
	case n > -7 && n < 7:
		return d.Weekday().String()
	}
	return f.Day(d, asked)
}

// When is near inside a sentence: "today", "on Tuesday", "on 14 April".
func (f Dates) When(d, asked day.Date) string {
	if n := d - asked; n >= -1 && n <= 1 {
		return f.Near(d, asked)
	}
	return "on " + f.Near(d, asked)
}

// Since is "since yesterday", "since Tuesday", "since 14 April".
func (f Dates) Since(d, asked day.Date) string { return "since " + f.Near(d, asked) }

// Span is "1 to 7 April".
func (f Dates) Span(from, to, asked day.Date) string {
	if f.MonthFirst || from.UTC().Month() != to.UTC().Month() || from.Year() != to.Year() {
		return f.Day(from, asked) + " to " + f.Day(to, asked)
	}
	return strconv.Itoa(from.UTC().Day()) + " to " + f.Day(to, asked)
}

// Clock is the time of day in the place: "07:10", or "7:10 am".
func (f Dates) Clock(t time.Time, place *time.Location) string {
	if f.MonthFirst {
		return t.In(place).Format("3:04 pm")
	}
	return t.In(place).Format("15:04")
}
