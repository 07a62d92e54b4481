package post_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// listener is an athlete of the zone who wants everything that comes by the clock.
func (h *house) listener(zone string) roster.Athlete {
	a := h.store.Runner(h.club.ID, "Ana in "+zone)
	a.Email, a.Zone = "ana@example.org", zone
	h.store.Athletes[a.ID] = a
	h.store.Mailed[a.ID] = post.Mails{Monday: true, Gentle: true}
	return a
}

// notes are the letters of the kind to the athlete since the last look.
func (h *house) notes(k post.Kind, a roster.AthleteID) int {
	n := 0
	for _, l := range h.store.Letters {
		if l.Kind == k && l.Athlete == a {
			n++
		}
	}
	return n
}

// Through a year, over both changes of the clocks, each Monday brings one note, written
// in the hour that begins at seven where the athlete is.
func TestAYearOfMondays(t *testing.T) {
	h := newHouse()
	zones := []string{"Europe/Lisbon", "America/New_York", "Pacific/Auckland", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Kiritimati"}
	people := make([]roster.Athlete, len(zones))
	for i, zone := range zones {
		people[i] = h.listener(zone)
	}
	for h.now = at("2026-01-04T00:00:00Z"); h.now.Before(at("2027-01-03T00:00:00Z")); h.now = h.now.Add(time.Hour) {
		before := len(h.store.Letters)
		_, err := h.post.WriteNotes(context.Background())
		require.NoError(t, err)
		for _, l := range h.store.Letters[before:] {
			a := h.store.Athletes[l.Athlete]
			there := h.now.In(a.Place())
			require.Equal(t, []any{time.Monday, 7}, []any{there.Weekday(), there.Hour()}, "%s: %s", a.Zone, there)
			require.Equal(t, day.Of(h.now, a.Place()), l.Week)
		}
	}
	for _, a := range people {
		require.Equal(t, 52, h.notes(post.Monday, a.ID), a.Zone)
	}
}

func TestAMissedHourIsCaughtUpTheSameDayAndNoLater(t *testing.T) {
	for _, k := range []struct {
		now  string
		want int
		why  string
	}{
		{"2026-04-13T05:59:00Z", 0, "a minute to seven in Lisbon"},
		{"2026-04-13T06:00:00Z", 1, "seven"},
		{"2026-04-13T22:59:00Z", 1, "the program was away all day"},
		{"2026-04-13T23:00:00Z", 0, "it is Tuesday there"},
		{"2026-10-26T06:59:00Z", 0, "after the clocks went back"},
		{"2026-10-26T07:00:00Z", 1, "seven, an hour later"},
	} {
		h := newHouse()
		a := h.listener("Europe/Lisbon")
		h.now = at(k.now)
		for range 2 {
			_, err := h.post.WriteNotes(context.Background())
			require.NoError(t, err)
		}
		require.Equal(t, k.want, h.notes(post.Monday, a.ID), k.why)
	}
}

func TestAGentleWordOnTheFirstDayOfASilence(t *testing.T) {
	silence := post.Silence{Since: day.On(2026, 4, 7), First: true}
	for _, k := range []struct {
		set  func(h *house, a *roster.Athlete)
		want int
		why  string
	}{
		{func(*house, *roster.Athlete) {}, 1, "the usual"},
		{func(h *house, _ *roster.Athlete) { h.now = at("2026-04-14T08:59:00Z") }, 0, "not ten yet in Lisbon"},
		{func(h *house, _ *roster.Athlete) { h.now = at("2026-04-14T22:00:00Z") }, 1, "late in the evening, and still the day"},
		{func(h *house, _ *roster.Athlete) { h.store.Gentle[h.club.ID] = post.GentleWord{} }, 0, "the club does not wish it"},
		{func(h *house, a *roster.Athlete) { h.store.Mailed[a.ID] = post.Mails{Monday: true} }, 0, "nor does the athlete"},
		{func(_ *house, a *roster.Athlete) { a.Email = "" }, 0, "no address"},
		{func(h *house, a *roster.Athlete) { a.MailRefused = h.now }, 0, "a refused one"},
		{func(h *house, _ *roster.Athlete) {
			h.post.Silence = func(context.Context, roster.ClubID, roster.AthleteID) (post.Silence, error) {
				return post.Silence{Since: silence.Since}, nil
			}
		}, 0, "not the first day of it"},
		{func(h *house, a *roster.Athlete) {
			h.store.Decided = append(h.store.Decided, roster.Decision{ID: 1, Athlete: a.ID, At: h.now.Add(-7 * 24 * time.Hour)})
		}, 0, "a coach decided a week ago"},
		{func(h *house, a *roster.Athlete) {
			h.store.Decided = append(h.store.Decided, roster.Decision{ID: 1, Athlete: a.ID, At: h.now.Add(-7*24*time.Hour - time.Second)})
		}, 1, "longer ago"},
	} {
		h := newHouse()
		h.now = at("2026-04-14T09:00:00Z")
		h.store.Gentle[h.club.ID] = post.GentleWord{On: true}
		h.post.Silence = func(context.Context, roster.ClubID, roster.AthleteID) (post.Silence, error) { return silence, nil }
		a := h.listener("Europe/Lisbon")
		k.set(h, &a)
		h.store.Athletes[a.ID] = a
		for range 3 {
			_, err := h.post.WriteNotes(context.Background())
			require.NoError(t, err, k.why)
		}
		require.Equal(t, k.want, h.notes(post.Gentle, a.ID), k.why)
	}
}

func TestOneClubsTroubleKeepsNoNoteFromOthers(t *testing.T) {
	h := newHouse()
	h.now = at("2026-04-13T06:00:00Z")
	first := h.listener("Europe/Lisbon")
	stuck := h.club.ID
	h.club, _ = h.store.Begin("Hill", "hill@example.org", "hash")
	second := h.listener("Europe/Lisbon")
	h.store.Unplanned = map[roster.ClubID]error{stuck: errors.New("a disk is full")}
	n, err := h.post.WriteNotes(context.Background())
	require.ErrorContains(t, err, "a disk is full")
	require.Equal(t, 1, n)
	require.Equal(t, 1, h.notes(post.Monday, second.ID))
	h.store.Unplanned = nil
	h.now = h.now.Add(time.Hour)
	_, err = h.post.WriteNotes(context.Background())
	require.NoError(t, err)
	require.Equal(t, 1, h.notes(post.Monday, first.ID), "the next hour it is caught up")
	require.Equal(t, 1, h.notes(post.Monday, second.ID))
}
