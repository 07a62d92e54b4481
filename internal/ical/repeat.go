package ical

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Repeat says on which days of the week an event comes again, always at the same
// time of the clock, whatever the clocks do in between.
type Repeat struct {
	Days   []time.Weekday // that of Start among them; empty is that of Start alone
	Weeks  int            // from one week with it to the next, counted from Monday: 1–52, 0 is 1
	Until  time.Time      // the last instant at which it may begin, at most three years after Start
	Except []time.Time    // beginnings that fall out
}

// mostYears is how far ahead something repeats at most: until then the clocks of
// most places are known.
const mostYears = 3

// check says what is wrong with the repetition of what begins at start.
func (r *Repeat) check(start time.Time) error {
	switch {
	case r.Weeks < 0 || r.Weeks > 52:
		return fmt.Errorf("it cannot repeat every %d weeks", r.Weeks)
	case r.Until.Before(start) || r.Until.After(start.AddDate(mostYears, 0, 0)):
		return fmt.Errorf("it cannot repeat from %v until %v", start, r.Until)
	case len(r.Days) > 0 && !slices.Contains(r.Days, start.Weekday()):
		return fmt.Errorf("it begins on a %v, on which it does not repeat", start.Weekday())
	}
	for _, d := range r.Days {
		if d < time.Sunday || d > time.Saturday {
			return fmt.Errorf("%d is no day of the week", d)
		}
	}
	return nil
}

// rule is the repetition as it is written (RFC 5545, section 3.3.10): its end is a
// date where the event has dates, and in UTC otherwise.
func (r *Repeat) rule(allDay bool, place *time.Location) string {
	until := r.Until.UTC().Format(utcForm)
	if allDay {
		until = date(r.Until.In(place))
	}
	parts := []string{"FREQ=WEEKLY", fmt.Sprintf("INTERVAL=%d", max(1, r.Weeks)), "UNTIL=" + until, "WKST=MO"}
	var days []string
	for i, short := range [...]string{"MO", "TU", "WE", "TH", "FR", "SA", "SU"} {
		if slices.Contains(r.Days, time.Weekday((i+1)%7)) {
			days = append(days, short)
		}
	}
	if len(days) > 0 {
		parts = append(parts, "BYDAY="+strings.Join(days, ","))
	}
	return strings.Join(parts, ";")
}
