package entry_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/readiness"
)

// Every row is an entry at a time of day on a date, and the instant and the date
// under which it is kept.
func TestTheDayOfAnEntry(t *testing.T) {
	at := func(h, m int) readiness.Maybe { return readiness.Some(60*h + m) }
	for _, row := range []struct {
		name, zone, now string
		date            day.Date
		clock           readiness.Maybe
		instant         string
		kept            day.Date
	}{
		{"just before midnight", lisbon, "2026-04-14 23:59", day.On(2026, 4, 14), at(23, 58), "2026-04-14T22:58:00Z", day.On(2026, 4, 14)},
		{"just after midnight", lisbon, "2026-04-15 00:10", day.On(2026, 4, 15), at(0, 5), "2026-04-14T23:05:00Z", day.On(2026, 4, 15)},
		{"yesterday evening, told after midnight", lisbon, "2026-04-15 00:10", day.On(2026, 4, 14), at(23, 30), "2026-04-14T22:30:00Z", day.On(2026, 4, 14)},
		{"far east, where it is tomorrow already", "Pacific/Auckland", "2026-04-15 07:00", day.On(2026, 4, 15), at(6, 30), "2026-04-14T18:30:00Z", day.On(2026, 4, 15)},
		{"far west, where it is still yesterday", "Pacific/Honolulu", "2026-04-14 20:00", day.On(2026, 4, 14), at(19, 0), "2026-04-15T05:00:00Z", day.On(2026, 4, 14)},
		{"the clock is put forward over it", "Europe/Berlin", "2026-03-29 09:00", day.On(2026, 3, 29), at(2, 30), "2026-03-29T01:30:00Z", day.On(2026, 3, 29)},
		{"after the clock was put forward", "Europe/Berlin", "2026-03-29 09:00", day.On(2026, 3, 29), at(7, 0), "2026-03-29T05:00:00Z", day.On(2026, 3, 29)},
		{"the hour that comes twice: the first", "Europe/Berlin", "2026-10-25 09:00", day.On(2026, 10, 25), at(2, 30), "2026-10-25T00:30:00Z", day.On(2026, 10, 25)},
		{"after the clock was put back", "Europe/Berlin", "2026-10-25 09:00", day.On(2026, 10, 25), at(7, 0), "2026-10-25T06:00:00Z", day.On(2026, 10, 25)},
		{"midnight that is not there stays on its date", "Africa/Cairo", "2026-04-24 09:00", day.On(2026, 4, 24), at(0, 30), "2026-04-23T22:30:00Z", day.On(2026, 4, 24)},
		{"31 December", lisbon, "2026-12-31 23:59", day.On(2026, 12, 31), at(23, 30), "2026-12-31T23:30:00Z", day.On(2026, 12, 31)},
		{"31 December in week 53, told in the new year", lisbon, "2027-01-01 00:20", day.On(2026, 12, 31), at(23, 30), "2026-12-31T23:30:00Z", day.On(2026, 12, 31)},
		{"no time of day: noon", lisbon, "2026-04-14 18:00", day.On(2026, 4, 13), readiness.Maybe{}, "2026-04-13T11:00:00Z", day.On(2026, 4, 13)},
		{"no time of day before noon: now", lisbon, "2026-04-14 08:00", day.On(2026, 4, 14), readiness.Maybe{}, "2026-04-14T07:00:00Z", day.On(2026, 4, 14)},
		{"a clock five minutes fast: now", lisbon, "2026-04-14 08:00", day.On(2026, 4, 14), at(8, 5), "2026-04-14T07:00:00Z", day.On(2026, 4, 14)},
		{"a clock fast across midnight: now, today", lisbon, "2026-04-14 23:59", day.On(2026, 4, 15), at(0, 2), "2026-04-14T22:59:00Z", day.On(2026, 4, 14)},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newScene(t, row.zone, row.now)
			e := whole(row.date, 0)
			e.Clock = row.clock
			_, err := s.log(e)
			require.NoError(t, err)
			require.Equal(t, row.instant, s.sessions[0].StartedAt.UTC().Format(time.RFC3339))
			require.Equal(t, row.kept, s.sessions[0].Date)
		})
	}
}

func TestSixMinutesAheadIsTheFuture(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	_, err := s.log(whole(tuesday, 8*60+6))
	faultAt(t, err, "date")
}

func TestTheLastDayThatCanBeEntered(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	_, err := s.log(whole(tuesday-184, 420))
	faultAt(t, err, "date")
	_, err = s.log(whole(tuesday-183, 420))
	require.NoError(t, err)
}

func TestAnInstantGivesItsOwnDate(t *testing.T) {
	s := newScene(t, "America/Los_Angeles", "2026-04-14 20:00")
	e := entry.Entry{Started: time.Date(2026, 4, 15, 2, 10, 40, 0, time.UTC), Whole: true}
	_, err := s.log(e)
	require.NoError(t, err)
	require.Equal(t, tuesday, s.sessions[0].Date)
	require.Equal(t, "2026-04-15T02:10:00Z", s.sessions[0].StartedAt.UTC().Format(time.RFC3339), "to the minute")
	e.Started, e.Date = e.Started.Add(-time.Hour), tuesday-3
	_, err = s.log(e)
	faultAt(t, err, "date")
}
