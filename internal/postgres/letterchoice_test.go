package postgres

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

func TestWhatACoachWants(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	first := roster.Wishes{On: true, Day: 7, Hour: 18, Detail: roster.Initials, AtOnce: true}
	got, err := b.Chosen(t.Context(), c.Actor)
	require.NoError(t, err)
	require.Equal(t, post.Chosen{Wishes: first}, got, "until somebody chooses")

	later := noon.Add(time.Hour)
	_, err = b.admin.Exec(t.Context(), "update coach set letter_next = $1", later)
	require.NoError(t, err)
	step := first
	for _, k := range []struct {
		change  func(*roster.Wishes)
		planned bool
		why     string
	}{
		{func(c *roster.Wishes) { c.NewsOnly, c.All, c.Detail, c.AtOnce = true, true, roster.Reasons, false }, true, "what stands in it moves nothing"},
		{func(c *roster.Wishes) { c.Day = 1 }, false, "another day"},
		{func(c *roster.Wishes) { c.Hour = 0 }, false, "another hour"},
		{func(c *roster.Wishes) { c.On = false }, true, "off: nothing is planned, and nothing has to be"},
		{func(c *roster.Wishes) { c.On = true }, false, "on again: as it is due from now"},
	} {
		_, err = b.admin.Exec(t.Context(), "update coach set letter_next = $1 where coach_id = $2", later, c.Coach)
		require.NoError(t, err)
		k.change(&step)
		require.NoError(t, b.Choose(t.Context(), c.Actor, step), k.why)
		got, err = b.Chosen(t.Context(), c.Actor)
		require.NoError(t, err)
		require.Equal(t, step, got.Wishes, k.why)
		require.Equal(t, k.planned, got.Next.Equal(later), k.why)
	}
	require.Equal(t, 5, value[int](t, b, "select count(*)::int from audit where change = 'coach.letters' and coach_id = $1 and row_id = $1", c.Coach))
	theirs, err := b.Chosen(t.Context(), other.Actor)
	require.NoError(t, err)
	require.Equal(t, post.Chosen{Wishes: first, Next: later}, theirs, "the other club's coach wants what was wanted before")

	b.weekly(t, c)
	got, err = b.Chosen(t.Context(), c.Actor)
	require.NoError(t, err)
	require.Equal(t, today-1, got.Last, "the week of the newest letter")
	foreign := roster.Actor{Club: other.ID, Coach: c.Coach}
	_, err = b.Chosen(t.Context(), foreign)
	kind(t, fault.NotFound, err, "from another club")
	kind(t, fault.NotFound, b.Choose(t.Context(), foreign, step), "from another club")
}

func TestWhatAnAthleteAndAClubWant(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	ana := roster.Actor{Club: c.ID, Athlete: a.ID}
	w, err := b.Mails(t.Context(), ana)
	require.NoError(t, err)
	require.Equal(t, post.Mails{Decisions: true, Gentle: true}, w, "until she wishes something else")
	wish := post.Mails{Monday: true}
	require.NoError(t, b.SetMails(t.Context(), ana, wish))
	w, err = b.Mails(t.Context(), ana)
	require.NoError(t, err)
	require.Equal(t, wish, w)
	w, err = b.Mails(t.Context(), roster.Actor{Club: c.ID, Athlete: ben.ID})
	require.NoError(t, err)
	require.Equal(t, post.Mails{Decisions: true, Gentle: true}, w, "Ben's stay")
	kind(t, fault.NotFound, b.SetMails(t.Context(), roster.Actor{Club: other.ID, Athlete: a.ID}, wish), "from another club")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'athlete.letters' and athlete_id = $1 and row_id = $1", a.ID))
	again, err := b.Athlete(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	require.Equal(t, a.Version, again.Version, "no coach's open form is out of date by it")

	g, err := b.GentleWord(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, post.GentleWord{}, g)
	require.NoError(t, b.SetGentleWord(t.Context(), c.Actor, post.GentleWord{On: true, Words: "Come by?"}))
	g, err = b.GentleWord(t.Context(), c.ID)
	require.NoError(t, err)
	require.Equal(t, post.GentleWord{On: true, Words: "Come by?"}, g)
	g, err = b.GentleWord(t.Context(), other.ID)
	require.NoError(t, err)
	require.Equal(t, post.GentleWord{}, g, "the other club's stays")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'club.gentle' and coach_id = $1", c.Coach))
}

func TestStoppingByASecret(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	coach := value[string](t, b, "select mail_stop from coach where coach_id = $1", c.Coach)
	athlete := value[string](t, b, "select mail_stop from athlete where athlete_id = $1", a.ID)
	_, err := b.admin.Exec(t.Context(), "update club set gentle_on = true")
	require.NoError(t, err)
	for _, k := range []struct {
		secret string
		kind   post.Kind
		column string
	}{
		{coach, post.Weekly, "coach letter_on"}, {coach, post.AtOnce, "coach at_once_on"},
		{athlete, post.Decided, "athlete mail_decisions"}, {athlete, post.Gentle, "athlete mail_gentle"}, {athlete, post.Monday, "athlete mail_monday"},
	} {
		var table, column string
		_, err := fmt.Sscan(k.column, &table, &column)
		require.NoError(t, err)
		now := func() bool {
			return value[bool](t, b, "select "+column+" from "+table+" where mail_stop = $1", k.secret)
		}
		at, err := b.Stoppable(t.Context(), k.secret, k.kind)
		require.NoError(t, err, k.column)
		require.Equal(t, now(), at.On, k.column)
		require.Equal(t, c.Club, at.Club, k.column)
		for _, on := range []bool{true, false, true} {
			before := b.dumpBut(t, column, "letter_next")
			require.NoError(t, b.Stop(t.Context(), &at, on), k.column)
			require.Equal(t, on, now(), k.column)
			require.Equal(t, before, b.dumpBut(t, column, "letter_next"), "%s: nothing else changes", k.column)
			id := b.letterOf(t, at)
			l, err := b.Letter(t.Context(), c.ID, id)
			require.NoError(t, err)
			require.Equal(t, !on, l.Unwanted, "%s: a letter that waits is not sent", k.column)
		}
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = $1", table+".stop_letters"), k.column)
		require.Equal(t, 2, value[int](t, b, "select count(*)::int from audit where change = $1", table+".resume_letters"), k.column)
		_, err = b.admin.Exec(t.Context(), "delete from audit")
		require.NoError(t, err)
	}
	for _, k := range []struct {
		secret string
		kind   post.Kind
		why    string
	}{
		{coach, post.Monday, "coaches get none"}, {athlete, post.Weekly, "athletes get none"},
		{"00000000000000000000000000000000", post.Weekly, "nobody's"}, {"", post.Weekly, "none"},
	} {
		_, err := b.Stoppable(t.Context(), k.secret, k.kind)
		kind(t, fault.NotFound, err, k.why)
	}
	require.NoError(t, b.Leave(t.Context(), c.Actor, a.ID, noon))
	_, err = b.Stoppable(t.Context(), athlete, post.Decided)
	kind(t, fault.NotFound, err, "whoever left gets no letters, and nothing is told of them")
}

// dumpBut is what is kept of people, without the columns.
func (b *bench) dumpBut(t *testing.T, columns ...string) []string {
	t.Helper()
	return valuesOf[string](t, b.admin, "select (to_jsonb(c) - $1::text[])::text from coach c union all select (to_jsonb(a) - $1::text[])::text from athlete a order by 1", columns)
}

// letterOf is a letter of the kind that waits, as another use case writes them.
func (b *bench) letterOf(t *testing.T, at post.Stoppable) roster.LetterID {
	t.Helper()
	return value[roster.LetterID](t, b, `insert into letter (club_id, key, kind, coach_id, athlete_id, by_coach, week, made_at)
	select $1, $2, $3, nullif($4::bigint, 0), case when $3 = 'at_once' then (select min(athlete_id) from athlete where club_id = $1) else nullif($5::bigint, 0) end,
	  case when $3 = 'decision' then (select min(coach_id) from coach where club_id = $1) end,
	  case when $3 = 'weekly' then '2026-04-06'::date - 7 * (select count(*)::int from letter) end, $6 returning letter_id`,
		at.Person.Club, string(b.key()), string(at.Kind), at.Coach, at.Athlete, noon)
}

func TestLettersAreAskedForOnceAndNotTooOften(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	since := noon.Add(-time.Hour)
	var crowd sync.WaitGroup
	var mu sync.Mutex
	wrote := 0
	for range 12 {
		key := b.key()
		crowd.Go(func() {
			for range 2 {
				ok, err := b.WriteNow(t.Context(), c.Actor, key, since, 6)
				mu.Lock()
				if err == nil && ok {
					wrote++
				}
				mu.Unlock()
			}
		})
	}
	crowd.Wait()
	require.Equal(t, 12, wrote, "six, each asked for twice, whoever comes first")
	require.Equal(t, 6, value[int](t, b, "select count(*)::int from letter where kind = 'weekly_now'"))
	require.Len(t, b.work.letters, 6, "and handed on")
	ok, err := b.WriteNow(t.Context(), other.Actor, b.key(), since, 6)
	require.NoError(t, err)
	require.True(t, ok, "another coach has six too")
	ok, err = b.WriteNow(t.Context(), c.Actor, b.key(), noon, 6)
	require.NoError(t, err)
	require.True(t, ok, "later on")
	l, err := b.Letter(t.Context(), c.ID, b.work.letters[0])
	require.NoError(t, err)
	require.Equal(t, post.WeeklyNow, l.Kind)
	require.Equal(t, c.Coach, l.Coach)
}

func TestLettersToACoachSoFar(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	weekly := b.weekly(t, c)
	_, err := b.WriteNow(t.Context(), c.Actor, b.key(), noon, 6)
	require.NoError(t, err)
	now := b.work.letters[len(b.work.letters)-1]
	require.NoError(t, b.Write(t.Context(), c.Actor, post.CoachInvitation, 0, "ivo@example.org", b.key()))
	require.NoError(t, b.Compose(t.Context(), c.ID, weekly, told(a), noon))
	require.NoError(t, b.Sent(t.Context(), c.ID, weekly))
	require.NoError(t, b.Drop(t.Context(), c.ID, now, post.Refused))
	past, err := b.PastLetters(t.Context(), c.Actor, 10)
	require.NoError(t, err)
	require.Equal(t, []post.Past{
		{ID: now, Kind: post.WeeklyNow, MadeAt: noon, Dropped: post.Refused},
		{ID: weekly, Kind: post.Weekly, Week: today - 1, MadeAt: noon, SentAt: noon, Subject: "The week", Parts: 3},
	}, past)
	past, err = b.PastLetters(t.Context(), c.Actor, 1)
	require.NoError(t, err)
	require.Len(t, past, 1)
	for _, who := range []roster.Actor{other.Actor, {Club: c.ID, Coach: c.Coach + 1000}, {Club: other.ID, Coach: c.Coach}} {
		_, err := b.PastLetter(t.Context(), who, weekly)
		kind(t, fault.NotFound, err, "somebody else's")
	}
	one, err := b.PastLetter(t.Context(), c.Actor, weekly)
	require.NoError(t, err)
	require.Equal(t, weekly, one.ID)
	_, err = b.PastLetter(t.Context(), c.Actor, b.work.letters[2])
	kind(t, fault.NotFound, err, "an invitation is no letter about a week")
}
