package ical_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	reader "github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/ical"
)

func place(t testing.TB, name string) *time.Location {
	t.Helper()
	p, err := time.LoadLocation(name)
	require.NoError(t, err)
	return p
}

var changed = time.Date(2026, time.March, 20, 8, 0, 0, 0, time.UTC)

// session is half an hour from the instant on.
func session(start time.Time) ical.Event {
	return ical.Event{UID: "s1@example.org", Changed: changed, Start: start, End: start.Add(30 * time.Minute), Summary: "Run and walk"}
}

// read encodes the events and reads them back with another's parser.
func read(t testing.TB, events ...ical.Event) *reader.Calendar {
	t.Helper()
	return parse(t, encode(t, events...))
}

func encode(t testing.TB, events ...ical.Event) []byte {
	t.Helper()
	out, err := (&ical.Feed{Name: "Ines", Events: events}).Encode()
	require.NoError(t, err)
	return out
}

func parse(t testing.TB, text []byte) *reader.Calendar {
	t.Helper()
	calendar, err := reader.NewDecoder(bytes.NewReader(text)).Decode()
	require.NoError(t, err, string(text))
	return calendar
}

// The whole of a small calendar, to be read by people.
func TestACalendarIsWrittenLikeThis(t *testing.T) {
	lisbon := place(t, "Europe/Lisbon")
	run := session(time.Date(2026, time.March, 27, 7, 30, 0, 0, lisbon))
	run.Description = "5 min warm-up; 1 min run, 2 min walk, eight times.\nWalk whenever talking gets hard, and stop where anything hurts."
	off := session(time.Date(2026, time.March, 30, 7, 30, 0, 0, lisbon))
	off.UID, off.Sequence, off.Cancelled = "s2@example.org", 2, true
	rest := ical.Event{UID: "d1@example.org", Changed: changed, Start: run.Start, End: run.Start, AllDay: true, Summary: "Strength"}
	feed := ical.Feed{Name: "Ines", Refresh: time.Hour, Events: []ical.Event{run, off, rest}}
	out, err := feed.Encode()
	require.NoError(t, err)
	require.Equal(t, `BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//Halfhour//Halfhour//EN
NAME:Ines
X-WR-CALNAME:Ines
REFRESH-INTERVAL;VALUE=DURATION:PT60M
X-PUBLISHED-TTL:PT60M
BEGIN:VTIMEZONE
TZID:Europe/Lisbon
BEGIN:STANDARD
DTSTART:20251026T020000
TZOFFSETFROM:+0100
TZOFFSETTO:+0000
TZNAME:WET
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:20260329T010000
TZOFFSETFROM:+0000
TZOFFSETTO:+0100
TZNAME:WEST
END:DAYLIGHT
END:VTIMEZONE
BEGIN:VEVENT
UID:s1@example.org
DTSTAMP:20260320T080000Z
LAST-MODIFIED:20260320T080000Z
SEQUENCE:0
DTSTART;TZID=Europe/Lisbon:20260327T073000
DTEND;TZID=Europe/Lisbon:20260327T080000
SUMMARY:Run and walk
DESCRIPTION:5 min warm-up\; 1 min run\, 2 min walk\, eight times.\nWalk
  whenever talking gets hard\, and stop where anything hurts.
STATUS:CONFIRMED
CLASS:PRIVATE
END:VEVENT
BEGIN:VEVENT
UID:s2@example.org
DTSTAMP:20260320T080000Z
LAST-MODIFIED:20260320T080000Z
SEQUENCE:2
DTSTART;TZID=Europe/Lisbon:20260330T073000
DTEND;TZID=Europe/Lisbon:20260330T080000
SUMMARY:Run and walk
STATUS:CANCELLED
CLASS:PRIVATE
END:VEVENT
BEGIN:VEVENT
UID:d1@example.org
DTSTAMP:20260320T080000Z
LAST-MODIFIED:20260320T080000Z
SEQUENCE:0
DTSTART;VALUE=DATE:20260327
DTEND;VALUE=DATE:20260328
SUMMARY:Strength
STATUS:CONFIRMED
CLASS:PRIVATE
END:VEVENT
END:VCALENDAR
`, strings.ReplaceAll(string(out), "\r\n", "\n"))
	again, err := feed.Encode()
	require.NoError(t, err)
	require.Equal(t, out, again, "the same feed is the same bytes")
	plain, err := (&ical.Feed{Name: "Empty"}).Encode()
	require.NoError(t, err)
	require.NotContains(t, string(plain), "REFRESH")
	require.Contains(t, string(plain), "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
}

func TestAllOfAnEventIsReadBack(t *testing.T) {
	e := session(time.Date(2026, time.June, 1, 18, 0, 0, 0, place(t, "Europe/Lisbon")))
	e.Sequence, e.Description, e.Cancelled = 3, "a, b; c\\n\nd", true
	events := read(t, e).Events()
	require.Len(t, events, 1)
	got := events[0]
	for name, want := range map[string]string{
		reader.PropUID: e.UID, reader.PropSummary: e.Summary, reader.PropDescription: e.Description,
		reader.PropStatus: "CANCELLED", reader.PropClass: "PRIVATE",
	} {
		text, err := got.Props.Text(name)
		require.NoError(t, err)
		require.Equal(t, want, text, name)
	}
	sequence, err := got.Props.Get(reader.PropSequence).Int()
	require.NoError(t, err)
	require.Equal(t, 3, sequence)
	for _, name := range []string{reader.PropDateTimeStamp, reader.PropLastModified} {
		at, err := got.Props.DateTime(name, nil)
		require.NoError(t, err)
		require.True(t, at.Equal(changed), name)
	}
}

// wellFormed holds a calendar against the grammar of lines: CRLF ends each, none is
// longer than 75 octets, and none holds half a character (RFC 5545, section 3.1).
func wellFormed(t testing.TB, text []byte) {
	t.Helper()
	body, ended := strings.CutSuffix(string(text), "\r\n")
	require.True(t, ended)
	for line := range strings.SplitSeq(body, "\r\n") {
		require.LessOrEqual(t, len(line), 75, "%q", line)
		require.NotEmpty(t, line)
		require.NotContains(t, line, "\r")
		require.NotContains(t, line, "\n")
		require.True(t, utf8.ValidString(line), "%q", line)
	}
}

// expected is what a reader gets of a text: see clean.
func expected(text string) string {
	text = strings.ToValidUTF8(text, "\uFFFD")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	var out strings.Builder
	for _, r := range text {
		if r == '\n' || r == '\t' || r >= 0x20 && r != 0x7f && (r < 0x80 || r > 0x9f) {
			out.WriteRune(r)
		}
	}
	return out.String()
}

func roundTrip(t testing.TB, summary, description string) {
	t.Helper()
	e := session(changed)
	e.Summary, e.Description = summary, description
	text := encode(t, e)
	wellFormed(t, text)
	calendar := parse(t, text)
	require.Len(t, calendar.Children, 1, "nothing was smuggled in")
	props := calendar.Events()[0].Props
	require.Len(t, props, len(parse(t, encode(t, session(changed))).Events()[0].Props)+min(1, len(description)))
	got, err := props.Text(reader.PropSummary)
	require.NoError(t, err)
	require.Equal(t, expected(summary), got)
	got, err = props.Text(reader.PropDescription)
	require.NoError(t, err)
	require.Equal(t, expected(description), got)
}

func FuzzText(f *testing.F) {
	for _, seed := range [][2]string{
		{"", ""},
		{"a,b;c:d\\e\"f'g", "line\nline\r\nline\rline\n"},
		{"\nBEGIN:VEVENT\nUID:x\nEND:VEVENT", "\r\nEND:VCALENDAR\r\n"},
		{strings.Repeat("ä", 100), strings.Repeat("👟", 60)},
		{strings.Repeat(" ", 200), strings.Repeat("a b", 90)},
		{strings.Repeat("x", 67) + "é", strings.Repeat("y", 63) + "é"},
		{strings.Repeat("<p>", 60), "\t\ttabs\x00and\x07bells\x7f\u0085\u2028"},
		{"\xff\xfe" + strings.Repeat("\xc3", 90), strings.Repeat("\\", 150)},
		{strings.Repeat("\n", 80), "\\n\\N\\,"},
	} {
		f.Add(seed[0], seed[1])
	}
	f.Fuzz(func(t *testing.T, summary, description string) { roundTrip(t, summary, description) })
}

func TestAnyTextIsReadBack(t *testing.T) {
	letters := rapid.SliceOf(rapid.SampledFrom([]rune(" \n\r\t,;:\\\"nN<>aé€👟\u0000\u007f\u0085\u200b")))
	rapid.Check(t, func(r *rapid.T) {
		roundTrip(t, rapid.String().Draw(r, "summary"), string(letters.Draw(r, "description")))
	})
}

func TestAnEventThatNoCalendarCanShowIsRefused(t *testing.T) {
	lisbon, new := place(t, "Europe/Lisbon"), func() ical.Event { return session(time.Date(2026, time.May, 4, 7, 0, 0, 0, place(t, "Europe/Lisbon"))) }
	weekly := func(change func(*ical.Repeat)) func(*ical.Event) {
		return func(e *ical.Event) {
			e.Repeat = &ical.Repeat{Until: e.Start.AddDate(0, 1, 0)}
			change(e.Repeat)
		}
	}
	for why, c := range map[string]struct {
		change func(*ical.Event)
		says   string
	}{
		"no name":              {func(e *ical.Event) { e.UID = " " }, "UID"},
		"a name with lines":    {func(e *ical.Event) { e.UID = "a\nb" }, "UID"},
		"a name with bells":    {func(e *ical.Event) { e.UID = "a\x07b" }, "UID"},
		"fewer than no change": {func(e *ical.Event) { e.Sequence = -1 }, "sequence"},
		"never changed":        {func(e *ical.Event) { e.Changed = time.Time{} }, "a time is missing"},
		"no beginning":         {func(e *ical.Event) { e.Start = time.Time{} }, "a time is missing"},
		"no length":            {func(e *ical.Event) { e.End = e.Start }, "not after"},
		"an end before":        {func(e *ical.Event) { e.AllDay, e.End = true, e.Start.AddDate(0, 0, -1) }, "not after"},
		"this machine's zone":  {func(e *ical.Event) { e.Start = e.Start.In(time.Local) }, "time zone"},
		"a zone of our own":    {func(e *ical.Event) { e.Start = e.Start.In(time.FixedZone("Ours", 3600)) }, "time zone"},
		"a zone without name":  {func(e *ical.Event) { e.Start = e.Start.In(time.FixedZone("", 3600)) }, "time zone"},
		"no end of it":         {weekly(func(r *ical.Repeat) { r.Until = time.Time{} }), "cannot repeat"},
		"too far ahead":        {weekly(func(r *ical.Repeat) { r.Until = r.Until.AddDate(3, 0, 0) }), "cannot repeat"},
		"backwards":            {weekly(func(r *ical.Repeat) { r.Weeks = -1 }), "cannot repeat"},
		"not on its own day":   {weekly(func(r *ical.Repeat) { r.Days = []time.Weekday{time.Friday} }), "on which it does not repeat"},
		"an eighth day":        {weekly(func(r *ical.Repeat) { r.Days = []time.Weekday{time.Monday, 7} }), "no day of the week"},
		"the second 1:30": {func(e *ical.Event) {
			e.Start = time.Date(2026, time.October, 25, 1, 30, 0, 0, time.UTC).In(lisbon)
			e.End, e.Repeat = e.Start.Add(time.Hour), &ical.Repeat{Until: e.Start.AddDate(0, 1, 0)}
		}, "comes twice"},
	} {
		fine, e := new(), new()
		fine.UID = "fine@example.org"
		c.change(&e)
		_, err := (&ical.Feed{Name: "Ines", Events: []ical.Event{fine, e}}).Encode()
		require.ErrorContains(t, err, "event 1: ", why)
		require.ErrorContains(t, err, c.says, why)
	}
	_, err := (&ical.Feed{Events: []ical.Event{new(), new()}}).Encode()
	require.ErrorContains(t, err, "another event's", "two of one name")
}
