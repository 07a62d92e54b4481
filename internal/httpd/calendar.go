package httpd

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/ical"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/web/part"
)

// Addresses of calendars elsewhere.
const (
	calendarAt     = "/calendar"
	ownCalendarAt  = part.MeAt + calendarAt
	clubCalendarAt = part.ClubAt + calendarAt
)

// elsewhere is the week outside of the app: in calendar programs, and on paper.
func elsewhere() []route {
	return []route{
		{get, calendarAt + "/{code}.ics", anybody, (*server).feed},
		{get, ownCalendarAt, athlete, (*server).calendarPage},
		{post, ownCalendarAt, athlete, (*server).makeCalendar},
		{post, ownCalendarAt + "/end", athlete, (*server).endCalendar},
		{get, clubCalendarAt, coach, (*server).calendarPage},
		{post, clubCalendarAt, coach, (*server).makeCalendar},
		{post, clubCalendarAt + "/end", coach, (*server).endCalendar},
		{get, part.WeeksAt + "/print", coach, (*server).printWeeks},
		{get, "/athletes/{athlete}/week/print", coach, (*server).printWeek},
		{get, "/athletes/{athlete}/week/enter", coach, (*server).enterWeekPage},
		{post, "/athletes/{athlete}/week/enter", coach, (*server).enterWeek},
	}
}

// renewEvery is how often calendar programs are asked to look; ours.
const renewEvery = time.Hour

// feed hands the calendar out to whoever has its secret, to be kept by that program
// alone and asked for again each time, so that an address that is taken away opens
// nothing at once.
func (s *server) feed(w http.ResponseWriter, r *http.Request) error {
	sub, err := s.Calendar.Open(r.Context(), calendar.Secret(codeIn(r)))
	switch fault.KindOf(err) {
	case fault.NotFound, fault.Gone:
		if calendar.Secret(codeIn(r)).Sound() {
			return fault.New(fault.Gone, "This address of a calendar opens nothing any more. Whoever it was made for can make a new one.")
		}
	}
	if err != nil {
		return err
	}
	text, err := s.encodeFeed(r, &sub)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(text)
	tag := `W/"` + hex.EncodeToString(sum[:12]) + `"`
	w.Header().Set("Cache-Control", "private, no-cache")
	w.Header().Set("ETag", tag)
	if hasTag(r.Header.Get("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	w.Header().Set("Content-Type", ical.ContentType)
	w.Header().Set("Content-Length", strconv.Itoa(len(text)))
	_, err = w.Write(text)
	return err
}

// hasTag says whether the tag is among those that somebody has already; weakness does
// not count (RFC 9110, section 13.1.2).
func hasTag(header, tag string) bool {
	for one := range strings.SplitSeq(header, ",") {
		one = strings.TrimSpace(one)
		if one == "*" || strings.TrimPrefix(one, "W/") == strings.TrimPrefix(tag, "W/") {
			return true
		}
	}
	return false
}

// encodeFeed writes what stands in the calendar now.
func (s *server) encodeFeed(r *http.Request, sub *calendar.Subscription) ([]byte, error) {
	place := sub.Club.Place()
	if sub.Athlete != nil {
		place = sub.Athlete.Place()
	}
	first := weekplan.Monday(day.Of(s.Now(), place)) - 7*calendar.Back
	wanted, err := s.wanted(r, sub, first)
	if err != nil {
		return nil, err
	}
	events, err := s.Calendar.Renew(r.Context(), sub, first, wanted)
	if err != nil {
		return nil, err
	}
	feed := ical.Feed{Name: "Halfhour: " + sub.Club.Name, Refresh: renewEvery}
	for i := range events {
		feed.Events = append(feed.Events, eventOf(&events[i], place))
	}
	return feed.Encode()
}

func (s *server) wanted(r *http.Request, sub *calendar.Subscription, first day.Date) ([]calendar.Entry, error) {
	const weeks = calendar.Back + 1 + calendar.Ahead
	who := sub.Actor()
	before, after, err := s.Routine.Lengths(r.Context(), who.Club)
	if err != nil {
		return nil, err
	}
	lay := laying{club: sub.Club.Place(), around: (before + after + 59) / 60, origin: s.origin(r), first: first}
	if sub.Athlete != nil {
		course, err := s.Days.Course(r.Context(), who, sub.Athlete.ID, first, weeks)
		return lay.own(course), err
	}
	courses, err := s.Days.Courses(r.Context(), who, first, weeks)
	lay.names = sub.Detail == roster.Names || sub.Detail == roster.Reasons
	return lay.coachs(courses), err
}

// eventOf is an event as it is written, in the zone of the calendar. What is not
// wanted any more has no words but those of its kind.
func eventOf(e *calendar.Event, place *time.Location) ical.Event {
	out := ical.Event{
		UID: e.UID + "@halfhour", Sequence: e.Sequence, Changed: e.Changed, Summary: e.Summary, Description: e.Description, Cancelled: e.Off,
	}
	if out.Summary == "" {
		out.Summary = map[string]string{ownRun: "Run and walk", ownStrength: "Strength"}[e.Kind]
	}
	if e.Start.IsZero() {
		y, m, d := e.On.UTC().Date()
		out.AllDay, out.Start = true, time.Date(y, m, d, 0, 0, 0, 0, place)
		out.End = out.Start
		return out
	}
	out.Start = e.Start.In(place)
	out.End = out.Start.Add(time.Duration(e.Minutes) * time.Minute)
	return out
}
