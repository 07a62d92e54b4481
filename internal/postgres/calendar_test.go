package postgres

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// inCalendar is a session of this week in a calendar.
func inCalendar(number int) calendar.Kept {
	monday := weekplan.Monday(today)
	return calendar.Kept{
		Slot: fmt.Sprintf("%s-run-%d", monday, number), Week: monday, Kind: "run", On: monday + 1, Start: noon, Minutes: 40,
		Words: strings.Repeat("a", 64), State: calendar.On, Changed: noon,
	}
}

// subscribe makes a calendar of the athlete and one of the coach, with a session in
// each.
func (b *bench) subscribe(t *testing.T, c club, a roster.Athlete) (own, coachs calendar.Subscription) {
	t.Helper()
	for _, who := range []roster.Actor{{Club: c.ID, Athlete: a.ID}, c.Actor} {
		hash := calendar.Hash(b.hash())
		require.NoError(t, b.MakeCalendar(t.Context(), who, hash, noon))
		sub, err := b.Calendar(t.Context(), hash)
		require.NoError(t, err)
		require.NoError(t, b.RenewCalendar(t.Context(), &sub, today-30, today, func([]calendar.Kept) []calendar.Kept { return []calendar.Kept{inCalendar(1)} }))
		own, coachs = coachs, sub
	}
	return own, coachs
}

func TestACalendarIsFoundByItsSecretAlone(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	own, coachs := b.subscribe(t, c, a)
	require.Equal(t, a.ID, own.Athlete.ID)
	require.Nil(t, own.Coach)
	require.Equal(t, c.Coach, coachs.Coach.ID)
	require.Nil(t, coachs.Athlete)
	require.Equal(t, roster.Initials, coachs.Detail, "names only where the coach asked for them by mail")
	require.Equal(t, c.ID, own.Club.ID)
	require.NotEqual(t, own.Name, coachs.Name)
	require.Len(t, own.Name, 32)
	_, err := b.Calendar(t.Context(), calendar.Hash(b.hash()))
	kind(t, fault.NotFound, err, "a secret that nobody has")
}

func TestAnAddressIsMadeAnewAndTakenAway(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	who := roster.Actor{Club: c.ID, Athlete: a.ID}
	old, anew := calendar.Hash(b.hash()), calendar.Hash(b.hash())
	lines := func() int { return value[int](t, b, "select count(*)::int from audit where change like 'calendar.%'") }
	kind(t, fault.NotFound, b.EndCalendar(t.Context(), who), "there is none")
	for range 2 {
		require.NoError(t, b.MakeCalendar(t.Context(), who, old, noon))
	}
	require.Equal(t, 1, lines(), "sent twice is done once")
	at, err := b.CalendarOf(t.Context(), who)
	require.NoError(t, err)
	require.True(t, at.MadeAt.Equal(noon))
	before, err := b.Calendar(t.Context(), old)
	require.NoError(t, err)

	require.Zero(t, at.FetchedOn)
	require.NoError(t, b.RenewCalendar(t.Context(), &before, today-30, today, func(kept []calendar.Kept) []calendar.Kept { return kept }))
	at, err = b.CalendarOf(t.Context(), who)
	require.NoError(t, err)
	require.Equal(t, today, at.FetchedOn)

	require.NoError(t, b.MakeCalendar(t.Context(), who, anew, noon.Add(time.Hour)))
	_, err = b.Calendar(t.Context(), old)
	kind(t, fault.NotFound, err, "the one before opens nothing at once")
	after, err := b.Calendar(t.Context(), anew)
	require.NoError(t, err)
	require.Equal(t, before.Name, after.Name, "so that events keep their names")
	require.Equal(t, before.ID, after.ID)

	require.NoError(t, b.EndCalendar(t.Context(), who))
	require.Equal(t, 3, lines())
	_, err = b.Calendar(t.Context(), anew)
	kind(t, fault.NotFound, err, "taken away")
	at, err = b.CalendarOf(t.Context(), who)
	require.NoError(t, err)
	require.Zero(t, at)
}

func TestACalendarEndsWithWhoseItIs(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	hash, coachs := calendar.Hash(b.hash()), calendar.Hash(b.hash())
	who := roster.Actor{Club: c.ID, Athlete: a.ID}
	require.NoError(t, b.MakeCalendar(t.Context(), who, hash, noon))
	require.NoError(t, b.Leave(t.Context(), c.Actor, a.ID, noon))
	_, err := b.Calendar(t.Context(), hash)
	kind(t, fault.NotFound, err, "an athlete who left")
	require.NoError(t, b.Leave(t.Context(), c.Actor, a.ID, time.Time{}))
	_, err = b.Calendar(t.Context(), hash)
	kind(t, fault.NotFound, err, "also after coming back: it is made anew, like sign-in links")
	require.NoError(t, b.MakeCalendar(t.Context(), c.Actor, coachs, noon))
	_, err = b.admin.Exec(t.Context(), "update coach set left_at = now(), email = null, owner = false, password = '' where coach_id = $1", c.Coach)
	require.NoError(t, err)
	_, err = b.Calendar(t.Context(), coachs)
	kind(t, fault.NotFound, err, "a coach who left")
}

func TestWhatACalendarWasToldIsKept(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	own, _ := b.subscribe(t, c, a)
	renew := func(change func([]calendar.Kept) []calendar.Kept) {
		t.Helper()
		require.NoError(t, b.RenewCalendar(t.Context(), &own, today-30, today, change))
	}
	renew(func(kept []calendar.Kept) []calendar.Kept {
		require.Len(t, kept, 1)
		kept[0].Start, kept[0].Changed = kept[0].Start.UTC(), kept[0].Changed.UTC()
		want := inCalendar(1)
		want.Start, want.Changed = want.Start.UTC(), want.Changed.UTC()
		require.Equal(t, want, kept[0])
		kept[0].Start, kept[0].Sequence, kept[0].State = time.Time{}, 4, calendar.Off
		return append(kept, inCalendar(2))
	})
	renew(func(kept []calendar.Kept) []calendar.Kept {
		require.Len(t, kept, 2)
		require.True(t, kept[0].Start.IsZero())
		require.Equal(t, 4, kept[0].Sequence)
		require.Equal(t, calendar.Off, kept[0].State)
		return kept
	})
	require.NoError(t, b.RenewCalendar(t.Context(), &own, weekplan.Monday(today)+7, today, func(kept []calendar.Kept) []calendar.Kept {
		require.Empty(t, kept, "weeks before the first are not shown")
		next := inCalendar(1)
		next.Week, next.On, next.Slot = next.Week+7, next.On+7, "next"
		return []calendar.Kept{next}
	}))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from calendar_event where athlete_id = "+fmt.Sprint(a.ID)), "and forgotten")
}

// Of two programs that look at once each builds on what the other was told.
func TestTwoLookAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	own, _ := b.subscribe(t, c, b.athlete(t, c, "Ana"))
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			err := b.RenewCalendar(t.Context(), &own, today-30, today, func(kept []calendar.Kept) []calendar.Kept {
				kept[0].Sequence++
				return kept
			})
			require.NoError(t, err)
		})
	}
	all.Wait()
	require.Equal(t, 8, value[int](t, b, "select max(sequence)::int from calendar_event"))
}

func TestWhoHasNoPhone(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	in, out := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	gone := b.athlete(t, c, "Cleo")
	require.NoError(t, b.Leave(t.Context(), c.Actor, gone.ID, noon))
	_, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Athlete: in.ID, Device: "Firefox", Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	ids, err := b.Phoneless(t.Context(), c.ID, noon)
	require.NoError(t, err)
	require.Equal(t, []roster.AthleteID{out.ID}, ids)
	ids, err = b.Phoneless(t.Context(), c.ID, noon.Add(time.Hour))
	require.NoError(t, err)
	require.Equal(t, []roster.AthleteID{in.ID, out.ID}, ids, "the login is over")
}

// calendarThatCannotBe are rows that the database refuses, each with the constraint.
func calendarThatCannotBe() [][2]string {
	other := func(table, columns, column, value string) string {
		values := strings.Replace(columns+",", " "+column+",", " "+value+",", 1)
		return "insert into " + table + " (" + columns + ") select " + strings.TrimSuffix(values, ",") + " from " + table
	}
	event := func(column, value string) [2]string {
		return [2]string{"calendar_event_" + column, other("calendar_event",
			"club_id, calendar_id, slot, athlete_id, week, kind, on_date, starts_at, minutes, words, state, sequence, changed_at", column, value)}
	}
	inWeek := event("on_date", "on_date + 7")
	inWeek[0] = "calendar_event_in_week"
	return [][2]string{
		{"calendar_of", "insert into calendar (club_id) select club_id from calendar"},
		{"calendar_athlete_once", "insert into calendar (club_id, athlete_id) select club_id, athlete_id from calendar where athlete_id is not null"},
		{"calendar_coach_once", "insert into calendar (club_id, coach_id) select club_id, coach_id from calendar where coach_id is not null"},
		{"calendar_address_hash", other("calendar_address", "club_id, calendar_id, hash, made_at", "hash", `'\x00'`)},
		{"calendar_address_once", other("calendar_address", "club_id, calendar_id, hash, made_at", "calendar_id", "987654321")},
		event("slot", "''"), event("week", "week + 1"), event("kind", "''"), event("minutes", "0"), event("words", "'short'"),
		event("state", "'late'"), event("sequence", "-1"), inWeek,
	}
}
