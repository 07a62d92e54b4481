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
