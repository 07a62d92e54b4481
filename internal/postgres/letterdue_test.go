package postgres

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// weekly writes the weekly letter to the club's owner that is due by now.
func (b *bench) weekly(t *testing.T, c club) roster.LetterID {
	t.Helper()
	due := post.Due{Club: c.ID, Coach: c.Coach, Zone: c.Zone, Day: 7, Hour: 18}
	due.Next = value[time.Time](t, b, "update coach set letter_next = coalesce(letter_next, $2) where coach_id = $1 returning letter_next", c.Coach, noon.Add(-time.Hour))
	n := len(b.work.letters)
	wrote, err := b.Plan(t.Context(), c.ID, []post.Plan{{Due: due, Week: today - 1 - 7*day.Date(n), To: noon.Add(time.Hour), Else: noon.Add(2 * time.Hour)}})
	require.NoError(t, err)
	require.Equal(t, 1, wrote)
	return b.work.letters[n]
}

// told is a letter of three parts, the second about the athlete.
func told(a roster.Athlete) post.Content {
	return post.Content{Subject: "The week", Parts: []post.Part{
		{Plain: "One person.\n", HTML: "<table>"}, {Athlete: a.ID, Plain: a.Name + " is ready.\n", HTML: "<tr><td>" + a.Name}, {Plain: "The end.\n", HTML: "</table>"},
	}}
}

func TestWhatStandsInALetterIsKeptOnceAndAsItWas(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	id := b.weekly(t, c)
	none, err := b.Content(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Empty(t, none)
	require.NoError(t, b.Compose(t.Context(), c.ID, id, told(a), noon))
	second := told(a)
	second.Parts = second.Parts[:2]
	require.NoError(t, b.Compose(t.Context(), c.ID, id, second, noon.Add(time.Hour)))
	kept, err := b.Content(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, told(a), kept)
	l, err := b.Letter(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, noon, l.ComposedAt)
	require.Equal(t, today-1, l.Week)
	require.Equal(t, c.Coach, l.Coach)
	require.Len(t, l.Stop, 32)
	theirs, err := b.Content(t.Context(), other.ID, id)
	require.NoError(t, err)
	require.Empty(t, theirs, "another club's")

	there := func() int {
		all, err := b.LettersThere(t.Context(), c.ID, []roster.LetterID{id})
		require.NoError(t, err)
		return len(all)
	}
	require.Equal(t, 1, there())
	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026))
	kept, err = b.Content(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.Equal(t, "One person.\nThe end.\n", kept.Plain(), "what was said of somebody goes with whom it was said of")
	require.Zero(t, there(), "and the file with it, which cannot be taken apart")
}

func TestWeeklyLettersAreKeptLonger(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.weekly(t, c)
	require.NoError(t, b.Write(t.Context(), c.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
	for _, k := range []struct {
		before, weekly time.Time
		want           int
		why            string
	}{
		{noon, noon, 0, "made at noon, not before"},
		{noon.Add(time.Second), noon, 1, "the other one is old enough"},
		{noon.Add(time.Second), noon.Add(time.Second), 1, "and now the weekly one"},
	} {
		n, err := b.ForgetLetters(t.Context(), c.ID, k.before, k.weekly)
		require.NoError(t, err)
		require.Equal(t, k.want, n, k.why)
	}
}

func TestWhoIsDue(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	set := func(sql string) {
		_, err := b.admin.Exec(t.Context(), "update coach set "+sql+" where coach_id = $1", c.Coach)
		require.NoError(t, err)
	}
	due := func() []post.Due {
		all, err := b.Due(t.Context(), noon, post.Due{}, 10)
		require.NoError(t, err)
		return all
	}
	ours := post.Due{Club: c.ID, Coach: c.Coach, Zone: "Europe/Lisbon", Day: 7, Hour: 18}
	theirs := post.Due{Club: other.ID, Coach: other.Coach, Zone: "Europe/Lisbon", Day: 7, Hour: 18}
	require.Equal(t, []post.Due{ours, theirs}, due(), "not worked out yet")
	for _, k := range []struct {
		sql  string
		want bool
		why  string
	}{
		{"letter_next = '2026-04-14T12:00:01Z'", false, "in a second"},
		{"letter_next = '2026-04-14T12:00:00Z'", true, "now"},
		{"letter_on = false", false, "wants none"},
		{"letter_on = true, mail_refused_at = now()", false, "the address is refused"},
		{"mail_refused_at = null, letter_day = 1, letter_hour = 6", true, "on Mondays"},
		{"email = null, left_at = now(), owner = false, password = ''", false, "has left"},
	} {
		set(k.sql)
		require.Equal(t, k.want, len(due()) == 2, k.why)
	}
	all, err := b.Due(t.Context(), noon, post.Due{Club: c.ID, Coach: c.Coach}, 10)
	require.NoError(t, err)
	require.Equal(t, []post.Due{theirs}, all, "those after one")
}

func TestALetterIsPlannedOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	at := func() time.Time {
		return value[time.Time](t, b, "select letter_next from coach where coach_id = $1", c.Coach).UTC()
	}
	first, second, third := noon.AddDate(0, 0, 5), noon.AddDate(0, 0, 12), noon.AddDate(0, 0, 19)
	plan := func(from time.Time, week day.Date, to, other time.Time) int {
		due := post.Due{Club: c.ID, Coach: c.Coach, Zone: "Europe/Lisbon", Day: 7, Hour: 12, Next: from}
		n, err := b.Plan(t.Context(), c.ID, []post.Plan{{Due: due, Week: week, To: to, Else: other}})
		require.NoError(t, err)
		return n
	}
	require.Zero(t, plan(time.Time{}, 0, first, second), "worked out, not written")
	require.Equal(t, first, at())
	require.Zero(t, plan(noon, today-1, second, third), "another program has moved it on")
	require.Equal(t, first, at())
	require.Equal(t, 1, plan(first, today-1, second, third))
	require.Zero(t, plan(first, today-1, second, third), "the second of two")
	require.Len(t, b.work.letters, 1)
	_, err := b.admin.Exec(t.Context(), "update coach set letter_next = null")
	require.NoError(t, err)
	require.Zero(t, plan(time.Time{}, 0, first, second))
	require.Equal(t, second, at(), "the letter of the week of the first is there: the one after")
	_, err = b.admin.Exec(t.Context(), "update coach set letter_next = $1", first)
	require.NoError(t, err)
	require.Zero(t, plan(first, today-1, second, third), "there is one letter a week, whatever the clock says")
	require.Len(t, b.work.letters, 1)

	b.work.fails = fmt.Errorf("no hands")
	_, err = b.Plan(t.Context(), c.ID, []post.Plan{{Due: post.Due{Club: c.ID, Coach: c.Coach, Zone: "Europe/Lisbon", Day: 7, Hour: 12, Next: second}, Week: today + 6, To: third, Else: third}})
	require.Error(t, err)
	require.Equal(t, second, at(), "all or nothing")
}

func TestInAnotherZoneLettersArePlannedAnew(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.weekly(t, c)
	planned := func() bool {
		return value[bool](t, b, "select letter_next is not null from coach where coach_id = $1", c.Coach)
	}
	c.Name = "Harbour again"
	require.NoError(t, b.ChangeClub(t.Context(), c.Actor, c.Club))
	require.True(t, planned())
	c.Zone = "America/New_York"
	require.NoError(t, b.ChangeClub(t.Context(), c.Actor, c.Club))
	require.False(t, planned())
}

// Between its hour and the next look at what is due a letter waits, whatever is chosen.
func TestALetterThatIsDueIsNotLost(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	for _, k := range []struct {
		next time.Time
		want bool
		why  string
	}{
		{noon.Add(-time.Minute), true, "due a minute ago"}, {noon, true, "due now"}, {noon.Add(time.Minute), false, "in a minute: planned anew"},
	} {
		for name, change := range map[string]func() error{
			"day": func() error {
				return b.Choose(t.Context(), c.Actor, roster.Wishes{On: true, Day: 1 + (k.next.Minute()+1)%7, Hour: 6, Detail: roster.Initials})
			},
			"zone": func() error {
				c.Zone = map[string]string{"Europe/Lisbon": "America/New_York", "America/New_York": "Europe/Lisbon"}[c.Zone]
				return b.ChangeClub(t.Context(), c.Actor, c.Club)
			},
		} {
			_, err := b.admin.Exec(t.Context(), "update coach set letter_next = $1, letter_day = 7, letter_hour = 18", k.next)
			require.NoError(t, err)
			require.NoError(t, change())
			require.Equal(t, k.want, value[bool](t, b, "select letter_next is not null from coach where coach_id = $1", c.Coach), "%s: %s", name, k.why)
		}
	}
}

func TestACoachsRefusedAddressIsNoted(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	refused := func() time.Time {
		all, err := b.Coaches(t.Context(), c.ID)
		require.NoError(t, err)
		return all[0].MailRefused
	}
	id := b.weekly(t, c)
	l, err := b.Letter(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.NoError(t, b.Refuse(t.Context(), c.ID, id, l.Address))
	require.Equal(t, noon, refused())
	l, err = b.Letter(t.Context(), c.ID, id)
	require.NoError(t, err)
	require.True(t, l.Refused)
	require.NoError(t, b.Sent(t.Context(), c.ID, b.weekly(t, c)))
	require.Zero(t, refused(), "it takes letters again")
}
