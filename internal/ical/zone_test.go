package ical_test

import (
	"strconv"
	"testing"
	"time"

	reader "github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"
	"github.com/teambition/rrule-go"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/ical"
)

// places change their clocks in every way there is.
var places = []string{
	"Europe/Lisbon",                  // an hour, between 0 and 1
	"America/New_York",               // an hour, on other days
	"Australia/Lord_Howe",            // half an hour, in the southern summer
	"Asia/Kolkata",                   // never
	"Europe/Dublin",                  // its winter is what is set back
	"Africa/Casablanca",              // for a month that wanders through the year
	"America/St_Johns",               // of half an hour
	"Pacific/Chatham",                // of three quarters
	"Antarctica/Troll",               // by two hours
	"America/Sao_Paulo",              // no more since 2019
	"Pacific/Apia",                   // no more since 2021
	"Etc/UTC",                        // by name
	"America/Argentina/Buenos_Aires", // a long name
}

// stretch is one observance of a written time zone.
type stretch struct {
	onset    time.Time     // in UTC
	from, to time.Duration // east of UTC, before and from then on
}

func offset(t testing.TB, text string) time.Duration {
	t.Helper()
	seconds := 0
	for i, unit := range []int{3600, 60, 1}[:len(text)/2] {
		n, err := strconv.Atoi(text[1+2*i : 3+2*i])
		require.NoError(t, err)
		seconds += n * unit
	}
	d := time.Duration(seconds) * time.Second
	if text[0] == '-' {
		return -d
	}
	return d
}

// stretches are those of the only time zone in the calendar, in order of time.
func stretches(t testing.TB, calendar *reader.Calendar) (all []stretch) {
	t.Helper()
	for _, child := range calendar.Children {
		if child.Name != reader.CompTimezone {
			continue
		}
		require.Nil(t, all, "one zone, once")
		for _, o := range child.Children {
			from, to := offset(t, o.Props.Get(reader.PropTimezoneOffsetFrom).Value), offset(t, o.Props.Get(reader.PropTimezoneOffsetTo).Value)
			clock, err := o.Props.DateTime(reader.PropDateTimeStart, time.UTC)
			require.NoError(t, err)
			all = append(all, stretch{clock.Add(-from), from, to})
		}
	}
	return all
}

// instant is the instant of a time of the clock by a written time zone alone, as the
// standard has it: the first where it comes twice, and by the clock before where it
// was left out (RFC 5545, section 3.3.5).
func instant(t testing.TB, zone []stretch, clock time.Time) time.Time {
	t.Helper()
	for i, s := range zone {
		at := clock.Add(-s.to)
		if at.Before(s.onset) {
			require.Positive(t, i, "%v lies before everything that is written", clock)
			return clock.Add(-s.from)
		}
		if i+1 == len(zone) || at.Before(zone[i+1].onset) {
			return at
		}
	}
	t.Fatal("no zone is written")
	return time.Time{}
}

// whenOf is the instant of a property by another's parser, which goes by the name of
// the zone, and by the zone as it is written.
func whenOf(t testing.TB, calendar *reader.Calendar, p *reader.Prop) (byName, byZone time.Time) {
	t.Helper()
	byName, err := p.DateTime(nil)
	require.NoError(t, err)
	if p.Params.Get(reader.PropTimezoneID) == "" {
		return byName, byName
	}
	clock, err := time.Parse("20060102T150405", p.Value)
	require.NoError(t, err)
	return byName, instant(t, stretches(t, calendar), clock)
}

func same(t testing.TB, calendar *reader.Calendar, name string, want time.Time) {
	t.Helper()
	byName, byZone := whenOf(t, calendar, calendar.Events()[0].Props.Get(name))
	require.True(t, want.Equal(byName), "%s by the name of the zone: %v, not %v", name, byName, want)
	require.True(t, want.Equal(byZone), "%s by the zone as it is written: %v, not %v", name, byZone, want)
}

// Every instant of every place comes back, the hours that are left out or come twice
// among them.
func TestEveryInstantIsReadBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		where := place(t, rapid.SampledFrom(places).Draw(r, "place"))
		at := time.Unix(rapid.Int64Range(1_577_836_800, 2_051_222_400).Draw(r, "2020–2034"), 0)
		if _, change := at.In(where).ZoneBounds(); !change.IsZero() && rapid.Bool().Draw(r, "near a change") {
			at = change.Add(time.Duration(rapid.IntRange(-180, 180).Draw(r, "minutes")) * time.Minute)
		}
		e := session(at.In(where))
		e.End = at.Add(time.Duration(rapid.IntRange(1, 300).Draw(r, "long")) * time.Minute)
		text := encode(t, e)
		wellFormed(t, text)
		calendar := parse(t, text)
		same(t, calendar, reader.PropDateTimeStart, e.Start)
		same(t, calendar, reader.PropDateTimeEnd, e.End)
	})
}

func TestTheHourThatComesTwiceIsToldApart(t *testing.T) {
	lisbon := place(t, "Europe/Lisbon")
	first := time.Date(2026, time.October, 25, 0, 30, 0, 0, time.UTC).In(lisbon)
	second := first.Add(time.Hour)
	require.Equal(t, "01:30", first.Format("15:04"))
	require.Equal(t, "01:30", second.Format("15:04"))
	for _, at := range []time.Time{first, second} {
		calendar := read(t, session(at))
		require.Equal(t, at.UTC().Format("20060102T150405Z"), calendar.Events()[0].Props.Get(reader.PropDateTimeStart).Value)
		require.Len(t, calendar.Children, 1, "no zone is needed")
	}
	ends := session(first.Add(-time.Hour))
	require.Equal(t, "20261024T233000Z", read(t, ends).Events()[0].Props.Get(reader.PropDateTimeStart).Value, "one that ends at 1:00 is written alike at both ends")
	before := session(first.Add(-61 * time.Minute))
	require.Equal(t, "20261025T002900", read(t, before).Events()[0].Props.Get(reader.PropDateTimeStart).Value, "00:59 comes once")
	after := session(second.Add(30 * time.Minute))
	require.Equal(t, "20261025T020000", read(t, after).Events()[0].Props.Get(reader.PropDateTimeStart).Value, "and so does 2:00")
}

func TestDatesHaveNoZone(t *testing.T) {
	e := session(time.Date(2026, time.March, 28, 23, 30, 0, 0, place(t, "Australia/Lord_Howe")))
	e.AllDay, e.End = true, e.Start.Add(time.Hour)
	calendar := read(t, e)
	require.Len(t, calendar.Children, 1)
	props := calendar.Events()[0].Props
	require.Equal(t, "20260328", props.Get(reader.PropDateTimeStart).Value)
	require.Equal(t, "20260330", props.Get(reader.PropDateTimeEnd).Value, "the 29th is the last, the 30th is free")
	require.Equal(t, reader.ValueDate, props.Get(reader.PropDateTimeStart).ValueType())
}

func TestSeveralZonesEachOnce(t *testing.T) {
	var events []ical.Event
	for i, name := range []string{"Europe/Lisbon", "America/New_York", "Europe/Lisbon"} {
		e := session(time.Date(2026, time.Month(1+5*i), 5, 7, 0, 0, 0, place(t, name)))
		e.UID = strconv.Itoa(i)
		events = append(events, e)
	}
	var names []string
	for _, child := range read(t, events...).Children {
		if child.Name == reader.CompTimezone {
			names = append(names, child.Props.Get(reader.PropTimezoneID).Value)
			if len(names) == 2 {
				require.Len(t, child.Children, 3, "Lisbon from January to November: winter, summer, winter")
			}
		}
	}
	require.Equal(t, []string{"America/New_York", "Europe/Lisbon"}, names)
}

// recurrence is when the event comes, by another's reading of its rule.
func recurrence(t testing.TB, calendar *reader.Calendar, where *time.Location) []time.Time {
	t.Helper()
	props := calendar.Events()[0].Props
	option, err := props.RecurrenceRule()
	require.NoError(t, err)
	rule, err := rrule.NewRRule(*option)
	require.NoError(t, err)
	start, err := props.DateTime(reader.PropDateTimeStart, where)
	require.NoError(t, err)
	set := rrule.Set{}
	set.RRule(rule)
	set.DTStart(start)
	for _, p := range props.Values(reader.PropExceptionDates) {
		without, err := p.DateTime(where)
		require.NoError(t, err)
		set.ExDate(without)
	}
	return set.All()
}

// wanted is when an event is to come, day by day, by Go's own calendar.
func wanted(start time.Time, r *ical.Repeat) (all []time.Time) {
	monday := int(start.Weekday()+6) % 7
	for n := 0; ; n++ {
		at := time.Date(start.Year(), start.Month(), start.Day()+n, start.Hour(), start.Minute(), start.Second(), 0, start.Location())
		if at.After(r.Until) {
			return all
		}
		on := at.Weekday() == start.Weekday()
		for _, d := range r.Days {
			on = on || at.Weekday() == d
		}
		for _, without := range r.Except {
			on = on && !at.Equal(without)
		}
		if on && (monday+n)/7%max(1, r.Weeks) == 0 {
			all = append(all, at)
		}
	}
}

func instants(times []time.Time) (all []string) {
	for _, at := range times {
		all = append(all, at.UTC().Format(time.RFC3339))
	}
	return all
}

// Over a year, and so over both changes of the clocks, what repeats comes when Go's
// time package says, by the name of the zone and by the zone as it is written.
func TestWhatRepeatsComesAtTheSameTimeOfTheClock(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		where := place(t, rapid.SampledFrom(places).Draw(r, "place"))
		// 4 to 23 o'clock: no place changes its clocks then.
		start := time.Date(2026, time.January, 1+rapid.IntRange(0, 700).Draw(r, "day"), rapid.IntRange(4, 22).Draw(r, "hour"), rapid.SampledFrom([]int{0, 15, 30}).Draw(r, "minute"), 0, 0, where)
		e := session(start)
		e.Repeat = &ical.Repeat{
			Weeks: rapid.IntRange(0, 3).Draw(r, "weeks"),
			Until: start.AddDate(0, 0, rapid.IntRange(0, 370).Draw(r, "days")).Add(time.Duration(rapid.IntRange(0, 5).Draw(r, "later")) * time.Hour),
		}
		if more := rapid.SliceOfDistinct(rapid.IntRange(0, 6), rapid.ID).Draw(r, "more"); len(more) > 0 {
			e.Repeat.Days = []time.Weekday{start.Weekday()}
			for _, d := range more {
				e.Repeat.Days = append(e.Repeat.Days, time.Weekday(d))
			}
		}
		if all := wanted(start, e.Repeat); rapid.Bool().Draw(r, "without one") {
			e.Repeat.Except = []time.Time{rapid.SampledFrom(all).Draw(r, "without")}
		}
		text := encode(t, e)
		wellFormed(t, text)
		calendar := parse(t, text)
		got, want := recurrence(t, calendar, where), wanted(start, e.Repeat)
		require.Equal(t, instants(want), instants(got), string(text))
		if zone := stretches(t, calendar); zone != nil {
			for _, at := range want {
				clock := time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), 0, 0, time.UTC)
				require.True(t, at.Equal(instant(t, zone, clock)), "%v\n%s", at, text)
			}
		}
	})
}

func TestAWeekOverBothChangesOfTheClocks(t *testing.T) {
	for _, c := range []struct {
		place  string
		spring time.Time // a date before the clocks go forward
		want   [2]string
		autumn time.Time
		then   [2]string
		zone   int
	}{
		{"Europe/Lisbon", time.Date(2026, 3, 25, 0, 0, 0, 0, time.UTC), [2]string{"2026-03-25T07:30:00Z", "2026-04-01T06:30:00Z"},
			time.Date(2026, 10, 21, 0, 0, 0, 0, time.UTC), [2]string{"2026-10-21T06:30:00Z", "2026-10-28T07:30:00Z"}, 2},
		{"America/New_York", time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC), [2]string{"2026-03-04T12:30:00Z", "2026-03-11T11:30:00Z"},
			time.Date(2026, 10, 28, 0, 0, 0, 0, time.UTC), [2]string{"2026-10-28T11:30:00Z", "2026-11-04T12:30:00Z"}, 2},
		{"Australia/Lord_Howe", time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), [2]string{"2026-09-29T21:00:00Z", "2026-10-06T20:30:00Z"},
			time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), [2]string{"2026-03-31T20:30:00Z", "2026-04-07T21:00:00Z"}, 2},
		{"Asia/Kolkata", time.Date(2026, 3, 25, 0, 0, 0, 0, time.UTC), [2]string{"2026-03-25T02:00:00Z", "2026-04-01T02:00:00Z"},
			time.Date(2026, 10, 21, 0, 0, 0, 0, time.UTC), [2]string{"2026-10-21T02:00:00Z", "2026-10-28T02:00:00Z"}, 1},
	} {
		where := place(t, c.place)
		for date, want := range map[time.Time][2]string{c.spring: c.want, c.autumn: c.then} {
			start := time.Date(date.Year(), date.Month(), date.Day(), 7, 30, 0, 0, where)
			e := session(start)
			e.Repeat = &ical.Repeat{Until: start.AddDate(0, 0, 7)}
			calendar := read(t, e)
			require.Equal(t, want[:], instants(recurrence(t, calendar, where)), c.place)
			require.Len(t, stretches(t, calendar), c.zone, c.place)
		}
	}
}

func TestDatesRepeatAsDates(t *testing.T) {
	start := time.Date(2026, time.March, 23, 0, 0, 0, 0, place(t, "Europe/Lisbon"))
	e := session(start)
	e.AllDay = true
	e.Repeat = &ical.Repeat{Days: []time.Weekday{time.Thursday, time.Monday}, Until: start.AddDate(0, 0, 7), Except: []time.Time{start.AddDate(0, 0, 3)}}
	calendar := read(t, e)
	require.Equal(t, "FREQ=WEEKLY;INTERVAL=1;UNTIL=20260330;WKST=MO;BYDAY=MO,TH", calendar.Events()[0].Props.Get(reader.PropRecurrenceRule).Value)
	require.Equal(t, []string{"2026-03-23T00:00:00Z", "2026-03-30T00:00:00Z"}, instants(recurrence(t, calendar, time.UTC)))
}
