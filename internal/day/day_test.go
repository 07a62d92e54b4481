package day_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/day"
)

func TestDateIsTheCivilDateOfThePlace(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	auckland, err := time.LoadLocation("Pacific/Auckland")
	require.NoError(t, err)
	for _, c := range []struct {
		instant string
		place   *time.Location
		want    string
		why     string
	}{
		{"2026-04-13T23:30:00Z", lisbon, "2026-04-14", "summer time puts half past midnight on the next day"},
		{"2026-01-13T23:30:00Z", lisbon, "2026-01-13", "winter time does not"},
		{"2026-03-29T00:59:59Z", lisbon, "2026-03-29", "the second before the clocks go forward"},
		{"2026-10-25T01:30:00Z", lisbon, "2026-10-25", "the hour that happens twice"},
		{"2026-12-31T11:00:00Z", auckland, "2027-01-01", "a new year reached early"},
		{"1969-12-31T23:59:59Z", time.UTC, "1969-12-31", "before the epoch"},
	} {
		at, err := time.Parse(time.RFC3339, c.instant)
		require.NoError(t, err)
		require.Equal(t, c.want, day.Of(at, c.place).String(), c.why)
	}
}

func TestWeeksAreSevenDatesEndingOnTheDayAskedAbout(t *testing.T) {
	asked := day.On(2026, time.April, 14)
	require.Equal(t, 0, day.WeeksBack(asked, asked))
	require.Equal(t, 0, day.WeeksBack(asked, asked-6))
	require.Equal(t, 1, day.WeeksBack(asked, asked-7))
	require.Equal(t, 1, day.WeeksBack(asked, asked-13))
	require.Equal(t, -1, day.WeeksBack(asked, asked+1))
	require.Equal(t, -1, day.WeeksBack(asked, asked+7))
	require.Equal(t, -2, day.WeeksBack(asked, asked+8))
}

func TestParseAndStringAgreeWithTheStandardLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seconds := rapid.Int64Range(-60_000_000_000, 60_000_000_000).Draw(t, "seconds")
		at := time.Unix(seconds, 0).UTC()
		d := day.Of(at, time.UTC)
		require.Equal(t, at.Format(time.DateOnly), d.String())
		back, err := day.Parse(d.String())
		require.NoError(t, err)
		require.Equal(t, d, back)
		require.Equal(t, at.Weekday(), d.Weekday())
	})
}

func TestParseRefusesWhatIsNoDate(t *testing.T) {
	for _, s := range []string{"", "2026-02-30", "14.04.2026", "2026-4-1", "0000-12-31", "2026-04-14T00:00:00Z"} {
		_, err := day.Parse(s)
		require.Error(t, err, s)
	}
}

func TestSpanHoldsBothEndsAndMayBeOpen(t *testing.T) {
	s := day.Span{From: 10, To: 12}
	require.True(t, s.Holds(10) && s.Holds(12))
	require.False(t, s.Holds(9) || s.Holds(13))
	require.True(t, day.Span{From: 10}.Holds(9999))
}

func TestAnHourOfADateIsTheFirstInstantThatShowsIt(t *testing.T) {
	for _, k := range []struct {
		zone string
		date day.Date
		hour int
		want string
		why  string
	}{
		{"Europe/Lisbon", day.On(2026, 3, 29), 1, "2026-03-29T01:00:00Z", "clocks go from 1 to 2: at once"},
		{"Europe/Lisbon", day.On(2026, 3, 29), 2, "2026-03-29T01:00:00Z", "which is the same instant"},
		{"Europe/Lisbon", day.On(2026, 10, 25), 1, "2026-10-25T00:00:00Z", "1 comes twice: the first"},
		{"Europe/Lisbon", day.On(2026, 10, 25), 18, "2026-10-25T18:00:00Z", "winter again"},
		{"America/New_York", day.On(2026, 3, 8), 2, "2026-03-08T07:00:00Z", "left out, west of UTC"},
		{"America/New_York", day.On(2026, 11, 1), 1, "2026-11-01T05:00:00Z", "twice, west of UTC"},
		{"Australia/Lord_Howe", day.On(2026, 10, 4), 2, "2026-10-03T15:30:00Z", "half an hour is left out"},
		{"Australia/Lord_Howe", day.On(2026, 4, 5), 1, "2026-04-04T14:00:00Z", "1 is there once, 1:30 twice"},
		{"Africa/Cairo", day.On(2026, 4, 24), 0, "2026-04-23T22:00:00Z", "midnight is left out"},
		{"America/Havana", day.On(2026, 11, 1), 0, "2026-11-01T04:00:00Z", "midnight comes twice"},
		{"Pacific/Apia", day.On(2011, 12, 30), 18, "2011-12-30T10:00:00Z", "a day that was left out"},
		{"Asia/Kolkata", day.On(2026, 1, 1), 23, "2026-01-01T17:30:00Z", "no changes"},
	} {
		place, err := time.LoadLocation(k.zone)
		require.NoError(t, err)
		require.Equal(t, k.want, k.date.At(k.hour, place).UTC().Format(time.RFC3339), "%s %s %d: %s", k.zone, k.date, k.hour, k.why)
	}
}

// Beside a search minute by minute, on days round every change of the clocks.
func TestAnHourAgreesWithASearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom([]string{"Europe/Lisbon", "America/New_York", "Australia/Lord_Howe", "Africa/Cairo", "America/Santiago", "Asia/Tehran", "UTC"}).Draw(t, "zone")
		place, err := time.LoadLocation(zone)
		require.NoError(t, err)
		date := day.On(2020, 1, 1) + day.Date(rapid.IntRange(0, 3000).Draw(t, "date"))
		_, change := date.UTC().In(place).ZoneBounds()
		if rapid.Bool().Draw(t, "near a change") && !change.IsZero() {
			date = day.Of(change, place) + day.Date(rapid.IntRange(-1, 1).Draw(t, "off"))
		}
		hour := rapid.IntRange(0, 23).Draw(t, "hour")
		want := date.UTC().Add(-15 * time.Hour)
		for {
			in := want.In(place)
			if on := day.Of(want, place); on > date || on == date && in.Hour() >= hour {
				break
			}
			want = want.Add(time.Minute)
		}
		require.True(t, want.Equal(date.At(hour, place)), "%s %s at %d: %s, not %s", zone, date, hour, want.UTC(), date.At(hour, place).UTC())
	})
}
