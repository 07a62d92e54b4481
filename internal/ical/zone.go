package ical

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	ics "github.com/arran4/golang-ical"
)

// How times are written (RFC 5545, sections 3.3.4 and 3.3.5).
const (
	dateForm  = "20060102"
	localForm = "20060102T150405"
	utcForm   = "20060102T150405Z"
)

// zone is a time zone and the span over which events need it.
type zone struct {
	name     string
	place    *time.Location
	from, to time.Time
}

// zones are the zones that a calendar needs, by name.
type zones map[string]*zone

func (z zones) sorted() []*zone {
	var all []*zone
	for _, name := range slices.Sorted(maps.Keys(z)) {
		all = append(all, z[name])
	}
	return all
}

// need notes that the zone of a name is needed over the span. Only what the time
// zone database names is taken: another calendar goes by the name as often as by
// what is written.
func (z zones) need(name string, from, to time.Time) (*time.Location, error) {
	known := z[name]
	if known == nil {
		loaded, err := time.LoadLocation(name)
		if err != nil || name == "" || name == time.Local.String() {
			return nil, fmt.Errorf("the time zone %q has no name that others know", name)
		}
		known = &zone{name: name, place: loaded, from: from, to: to}
		z[name] = known
	}
	if from.Before(known.from) {
		known.from = from
	}
	if to.After(known.to) {
		known.to = to
	}
	return known.place, nil
}

// encode is the zone as it is written: what is in force when the first event begins,
// then each change of the clocks until the last is over. It holds no rule for later
// changes, which nobody knows, and stays short: a long list is more than some
// calendars can read.
func (z *zone) encode() *ics.VTimezone {
	out := ics.NewTimezone(z.name)
	for at := z.from; ; {
		since, until := at.In(z.place).ZoneBounds()
		out.Components = append(out.Components, observance(at.In(z.place), since))
		if until.IsZero() || until.After(z.to) {
			return out
		}
		at = until
	}
}

// observance is one stretch of a zone, in force at an instant and since another;
// since is zero where it always was.
func observance(at, since time.Time) ics.Component {
	name, offset := at.Zone()
	before := offset
	if since.IsZero() {
		since = time.Unix(0, 0).UTC()
	} else {
		_, before = since.Add(-time.Second).In(at.Location()).Zone()
	}
	// The first instant, as the clock said before it was changed (RFC 5545, 3.6.5).
	first := since.UTC().Add(time.Duration(before) * time.Second).Format(localForm)
	set := func(base *ics.ComponentBase) {
		base.SetProperty(ics.ComponentPropertyDtStart, first)
		base.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetfrom), offsetOf(before))
		base.SetProperty(ics.ComponentProperty(ics.PropertyTzoffsetto), offsetOf(offset))
		base.SetProperty(ics.ComponentProperty(ics.PropertyTzname), name)
	}
	if at.IsDST() {
		summer := &ics.Daylight{}
		set(&summer.ComponentBase)
		return summer
	}
	standard := ics.NewStandard()
	set(&standard.ComponentBase)
	return standard
}

// offsetOf writes seconds east of UTC (RFC 5545, section 3.3.14).
func offsetOf(seconds int) string {
	sign := "+"
	if seconds < 0 {
		sign, seconds = "-", -seconds
	}
	text := fmt.Sprintf("%s%02d%02d", sign, seconds/3600, seconds/60%60)
	if rest := seconds % 60; rest != 0 {
		text += fmt.Sprintf("%02d", rest)
	}
	return text
}

// stamper writes an instant and says of which kind it is.
type stamper func(time.Time) (string, []ics.PropertyParameter)

// stamp says how the times of the event are written: as dates, in UTC, or by the
// clock of its zone, which is noted in zones. A time of the clock that comes twice
// means the first (RFC 5545, section 3.3.5), but not every calendar reads it so; an
// event with one is written in UTC, and what repeats cannot have one.
func (e *Event) stamp(zones zones) (stamper, error) {
	place := e.Start.Location()
	if e.AllDay {
		kind := []ics.PropertyParameter{ics.WithValue(string(ics.ValueDataTypeDate))}
		return func(t time.Time) (string, []ics.PropertyParameter) { return date(t.In(place)), kind }, nil
	}
	inUTC := func(t time.Time) (string, []ics.PropertyParameter) { return t.UTC().Format(utcForm), nil }
	if place == time.UTC {
		return inUTC, nil
	}
	if twice(e.Start) || twice(e.End.In(place)) {
		if e.Repeat != nil {
			return nil, errors.New("what repeats cannot begin or end in an hour that comes twice")
		}
		return inUTC, nil
	}
	place, err := zones.need(place.String(), e.Start, e.last())
	if err != nil {
		return nil, err
	}
	kind := []ics.PropertyParameter{ics.WithTZID(place.String())}
	return func(t time.Time) (string, []ics.PropertyParameter) { return t.In(place).Format(localForm), kind }, nil
}

// last is the end of the event, or of its last repetition.
func (e *Event) last() time.Time {
	if e.Repeat == nil {
		return e.End
	}
	return e.Repeat.Until.Add(e.End.Sub(e.Start))
}

// twice says whether the clock shows the same once before or once after: it was put
// back less than that ago, or will be.
func twice(t time.Time) bool {
	since, until := t.ZoneBounds()
	shift := func(change time.Time) time.Duration { // by which it is put back
		_, before := change.Add(-time.Second).In(t.Location()).Zone()
		_, after := change.In(t.Location()).Zone()
		return time.Duration(before-after) * time.Second
	}
	return !since.IsZero() && t.Sub(since) < shift(since) || !until.IsZero() && until.Sub(t) <= shift(until)
}

// date is the date that the clock of the time's own zone shows.
func date(t time.Time) string { return t.Format(dateForm) }
