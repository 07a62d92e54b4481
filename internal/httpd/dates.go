package httpd

import (
	"net/http"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
)

// dates writes dates in the reader's form: the day of the month first, unless the
// browser asks for American English before any other.
type dates struct{ monthFirst bool }

func datesFor(r *http.Request) dates {
	first, _, _ := strings.Cut(r.Header.Get("Accept-Language"), ",")
	first, _, _ = strings.Cut(first, ";")
	return dates{monthFirst: strings.EqualFold(strings.TrimSpace(first), "en-US")}
}

// day is "14 April", with the year where it is not that of the day asked about.
func (f dates) day(d, asked day.Date) string {
	if d == 0 {
		return ""
	}
	t := d.UTC()
	s := strconv.Itoa(t.Day()) + " " + t.Month().String()
	if f.monthFirst {
		s = t.Month().String() + " " + strconv.Itoa(t.Day())
	}
	if d.Year() == asked.Year() {
		return s
	}
	if f.monthFirst {
		return s + ", " + strconv.Itoa(d.Year())
	}
	return s + " " + strconv.Itoa(d.Year())
}

// short is "14 Apr".
func (f dates) short(d day.Date) string {
	t := d.UTC()
	if f.monthFirst {
		return t.Format("Jan 2")
	}
	return t.Format("2 Jan")
}

// full is "Tuesday 14 April".
func (f dates) full(d, asked day.Date) string {
	if f.monthFirst {
		return d.Weekday().String() + ", " + f.day(d, asked)
	}
	return d.Weekday().String() + " " + f.day(d, asked)
}

// near is "today", "yesterday", "tomorrow", a weekday within six days, else the
// date.
func (f dates) near(d, asked day.Date) string {
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
	return f.day(d, asked)
}

// when is near inside a sentence: "today", "on Tuesday", "on 14 April".
func (f dates) when(d, asked day.Date) string {
	if n := d - asked; n >= -1 && n <= 1 {
		return f.near(d, asked)
	}
	return "on " + f.near(d, asked)
}

// since is "since yesterday", "since Tuesday", "since 14 April".
func (f dates) since(d, asked day.Date) string { return "since " + f.near(d, asked) }

// span is "1 to 7 April".
func (f dates) span(from, to, asked day.Date) string {
	if f.monthFirst || from.UTC().Month() != to.UTC().Month() || from.Year() != to.Year() {
		return f.day(from, asked) + " to " + f.day(to, asked)
	}
	return strconv.Itoa(from.UTC().Day()) + " to " + f.day(to, asked)
}

// clockTime is the time of day in the place: "07:10", or "7:10 am".
func (f dates) clockTime(t time.Time, place *time.Location) string {
	if f.monthFirst {
		return t.In(place).Format("3:04 pm")
	}
	return t.In(place).Format("15:04")
}

// ordinal is "first" to "twelfth", then "13th".
func ordinal(n int) string {
	words := [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if n > 0 && n < len(words) {
		return words[n]
	}
	ending := "th"
	if n%100 < 11 || n%100 > 13 {
		ending = [...]string{"th", "st", "nd", "rd", "th", "th", "th", "th", "th", "th"}[n%10]
	}
	return strconv.Itoa(n) + ending
}
