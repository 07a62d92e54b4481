// Package ical writes calendars that others subscribe to: iCalendar (RFC 5545) with
// the name and refresh interval of RFC 7986. Escaping and folding are golang-ical's;
// what an event says, its times, and the time zones it needs are set here.
package ical

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"
)

// ContentType is the media type of a calendar (RFC 5545, section 8.1).
const ContentType = "text/calendar; charset=utf-8"

// Feed is a calendar as it is handed out, whole, each time somebody asks for it.
type Feed struct {
	Name    string        // what the calendar is called
	Refresh time.Duration // how long a calendar may wait before it asks again, whole minutes; 0 leaves it to the calendar
	Events  []Event       // in any order; an event that is left out goes from the calendars
}

// Event is one thing in a calendar. It is private: a calendar that is shared with
// others shows them a time and no more.
//
// Its times are in the zone of Start, which bears a name of the IANA database or is
// UTC; a zone that is only known on this machine (Local) is refused.
type Event struct {
	UID         string    // its name for good, unlike any other's in the world; it stays whatever is changed
	Sequence    int       // 0, and one more with every change of its times or its calling off
	Changed     time.Time // when anything in it was last changed
	Start, End  time.Time // to the second; End is later
	AllDay      bool      // only the dates of Start and End count, both included; they may be one
	Summary     string    // the line in the calendar
	Description string    // what opens below it; may have lines and be empty
	Cancelled   bool      // called off, so that it is struck out rather than gone
	Repeat      *Repeat   // nil is once
}

// Encode writes the calendar. The same feed gives the same bytes: nothing in them
// is of the moment at which they are written. An event that no calendar could show
// is an error that says which, by its place from 0, and why.
func (f *Feed) Encode() ([]byte, error) {
	calendar := ics.NewCalendarFor("Halfhour")
	calendar.SetProductId("-//Halfhour//Halfhour//EN")
	calendar.SetName(clean(f.Name))
	if f.Refresh > 0 {
		every := fmt.Sprintf("PT%dM", max(1, int(f.Refresh/time.Minute)))
		calendar.SetRefreshInterval(every)
		calendar.SetXPublishedTTL(every) // the same, for calendars that are older than RFC 7986
	}
	zones, seen := zones{}, map[string]bool{}
	var events []*ics.VEvent
	for i := range f.Events {
		e := &f.Events[i]
		out, err := e.encode(zones)
		if err == nil && seen[e.UID] {
			err = errors.New("the UID is another event's too")
		}
		if err != nil {
			return nil, fmt.Errorf("event %d: %w", i, err)
		}
		seen[e.UID] = true
		events = append(events, out)
	}
	for _, z := range zones.sorted() {
		calendar.AddVTimezone(z.encode())
	}
	for _, e := range events {
		calendar.AddVEvent(e)
	}
	var out bytes.Buffer
	if err := calendar.SerializeTo(&out, ics.WithNewLineWindows); err != nil {
		return nil, fmt.Errorf("write the calendar: %w", err)
	}
	return out.Bytes(), nil
}

// check says what is wrong with the event; nil when nothing is.
func (e *Event) check() error {
	switch {
	case strings.TrimSpace(e.UID) == "" || e.UID != clean(e.UID) || strings.Contains(e.UID, "\n"):
		return fmt.Errorf("the UID %q is none", e.UID)
	case e.Sequence < 0:
		return fmt.Errorf("the sequence %d is less than 0", e.Sequence)
	case e.Changed.IsZero() || e.Start.IsZero():
		return errors.New("a time is missing")
	case !e.AllDay && !e.End.After(e.Start), e.AllDay && date(e.End.In(e.Start.Location())) < date(e.Start):
		return fmt.Errorf("it ends at %v, not after %v", e.End, e.Start)
	case e.Repeat != nil:
		return e.Repeat.check(e.Start)
	}
	return nil
}

// encode is the event as it is written; the zone it needs is noted in zones.
func (e *Event) encode(zones zones) (*ics.VEvent, error) {
	if err := e.check(); err != nil {
		return nil, err
	}
	stamp, err := e.stamp(zones)
	if err != nil {
		return nil, err
	}
	out := ics.NewEvent(e.UID)
	// Without a METHOD, DTSTAMP is when the event was last changed (RFC 5545, 3.8.7.2).
	out.SetDtStampTime(e.Changed)
	out.SetModifiedAt(e.Changed)
	out.SetSequence(e.Sequence)
	start, kind := stamp(e.Start)
	out.SetProperty(ics.ComponentPropertyDtStart, start, kind...)
	end := e.End
	if e.AllDay {
		end = end.AddDate(0, 0, 1) // the end of dates is the first that is free again (3.6.1)
	}
	finish, kind := stamp(end)
	out.SetProperty(ics.ComponentPropertyDtEnd, finish, kind...)
	if e.Repeat != nil {
		out.AddRrule(e.Repeat.rule(e.AllDay, e.Start.Location()))
		for _, without := range e.Repeat.Except {
			at, kind := stamp(without)
			out.AddExdate(at, kind...)
		}
	}
	out.SetSummary(clean(e.Summary))
	if e.Description != "" {
		out.SetDescription(clean(e.Description))
	}
	out.SetStatus(ics.ObjectStatusConfirmed)
	if e.Cancelled {
		out.SetStatus(ics.ObjectStatusCancelled)
	}
	out.SetClass(ics.ClassificationPrivate)
	return out, nil
}

// clean is the text without what a calendar line cannot hold: every end of a line
// is one line feed, other control characters but tabs are dropped, and what is no
// UTF-8 becomes U+FFFD.
func clean(text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(text, "\uFFFD"))
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return -1
		}
		return r
	}, text)
}
