package postgres

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// atOnce does the same thing so many times at once and counts what became of it by
// the kind of error; without one it is Unknown.
func atOnce(t *testing.T, times int, act func() error) map[fault.Kind]int {
	t.Helper()
	results := make([]error, times)
	var begin, done sync.WaitGroup
	begin.Add(1)
	for i := range times {
		done.Go(func() {
			begin.Wait()
			results[i] = act()
		})
	}
	begin.Done()
	done.Wait()
	n := map[fault.Kind]int{}
	for _, err := range results {
		if err != nil {
			require.NotEqual(t, fault.Unknown, fault.KindOf(err), "%v", err)
		}
		n[fault.KindOf(err)]++
	}
	return n
}

func (b *bench) code(t *testing.T, c access.Code) access.Hash {
	t.Helper()
	c.Hash, c.Expires = b.hash(), noon.Add(time.Hour)
	require.NoError(t, b.PutCode(t.Context(), roster.Actor{Club: c.Club}, c))
	return c.Hash
}

func TestAClubIsFoundedOnceWhoeverHurries(t *testing.T) {
	t.Parallel()
	b := open(t)
	code := b.code(t, access.Code{Purpose: access.SetUp})
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 1, fault.Gone: 15}, atOnce(t, 16, func() error {
		_, _, err := b.Found(t.Context(), code, noon, roster.Club{Name: "Harbour", Zone: "UTC"}, roster.Coach{Name: "Kim", Email: string(b.key()) + "@example.org"}, "phc")
		return err
	}))
	for _, table := range []string{"club", "coach", "pathway", "audit where change = 'club.found'"} {
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from "+table), table)
	}
}

// A club that cannot be founded leaves nothing, and its code holds.
func TestAClubIsFoundedWhollyOrNotAtAll(t *testing.T) {
	t.Parallel()
	b := open(t)
	first := b.code(t, access.Code{Purpose: access.SetUp})
	_, _, err := b.Found(t.Context(), first, noon, roster.Club{Name: "Harbour", Zone: "UTC"}, roster.Coach{Name: "Kim", Email: "kim@example.org"}, "phc")
	require.NoError(t, err)
	second := b.code(t, access.Code{Purpose: access.SetUp})
	_, _, err = b.Found(t.Context(), second, noon, roster.Club{Name: "Hill", Zone: "UTC"}, roster.Coach{Name: "Kim", Email: "kim@example.org"}, "phc")
	kind(t, fault.Conflict, err)
	require.Equal(t, "email", fault.FieldsOf(err)[0].Place)
	_, _, err = b.Found(t.Context(), second, noon, roster.Club{Name: "", Zone: "UTC"}, roster.Coach{Name: "Lee", Email: "lee@example.org"}, "phc")
	kind(t, fault.Invalid, err)
	require.Equal(t, "name", fault.FieldsOf(err)[0].Place)
	_, _, err = b.Found(t.Context(), second, noon, roster.Club{Name: "Hill", Zone: "UTC"}, roster.Coach{Name: "Lee", Email: "lee@example.org"}, "phc")
	require.NoError(t, err, "what failed did not use the code up")
}

func TestAnInvitationMakesOneCoachWhoeverHurries(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	code := b.code(t, access.Code{Purpose: access.CoachInvite, Club: c.ID})
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 1, fault.Gone: 15}, atOnce(t, 16, func() error {
		_, err := b.Join(t.Context(), code, noon, roster.Coach{Name: "Ida", Email: string(b.key()) + "@example.org"}, "phc")
		return err
	}))
	require.Equal(t, 2, value[int](t, b, "select count(*)::int from coach"))
}

// A code does what it was made for and nothing else.
func TestACodeForSomethingElse(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	codes := map[access.Purpose]access.Hash{
		access.SetUp:       b.code(t, access.Code{Purpose: access.SetUp}),
		access.AthleteLink: b.code(t, access.Code{Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID}),
		access.CoachLink:   b.code(t, access.Code{Purpose: access.CoachLink, Club: c.ID, Coach: c.Coach}),
		access.CoachInvite: b.code(t, access.Code{Purpose: access.CoachInvite, Club: c.ID}),
	}
	before := value[string](t, b, "select json_agg(c order by hash)::text from code c")
	for purpose, code := range codes {
		if purpose != access.SetUp {
			_, _, err := b.Found(t.Context(), code, noon, roster.Club{Name: "Hill", Zone: "UTC"}, roster.Coach{Name: "Lee", Email: "lee@example.org"}, "phc")
			require.Error(t, err, purpose)
		}
		if purpose != access.CoachInvite {
			_, err := b.Join(t.Context(), code, noon, roster.Coach{Name: "Lee", Email: "lee@example.org"}, "phc")
			require.Error(t, err, purpose)
		}
		if purpose == access.SetUp || purpose == access.CoachInvite {
			_, err := b.Use(t.Context(), code, noon, b.hash(), access.Login{Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
			require.NotEqual(t, fault.Unknown, fault.KindOf(err), "%s: %v", purpose, err)
		}
	}
	require.Equal(t, before, value[string](t, b, "select json_agg(c order by hash)::text from code c"), "none was used up")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from club"))
	require.Zero(t, value[int](t, b, "select count(*)::int from login"))
}

// Athletes told twice, by two coaches or one who presses twice, are there once.
func TestWhatIsAddedTwiceIsThereOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	key := b.key()
	for what, act := range map[string]func() error{
		"athlete where name = 'Bo'": func() error {
			bo := a
			bo.Name = "Bo"
			_, err := b.Add(t.Context(), c.Actor, bo, roster.HealthCheck{}, key)
			return err
		},
		"leave": func() error {
			l := roster.Leave{Athlete: a.ID}
			l.From = today
			_, err := b.AddLeave(t.Context(), c.Actor, l, key)
			return err
		},
		"note": func() error {
			_, err := b.AddNote(t.Context(), c.Actor, roster.Note{Athlete: a.ID, Coach: c.Coach, At: noon, Text: "x"}, key)
			return err
		},
		"decision": func() error {
			d := b.decision(c, a, roster.Hold, a.Phase)
			d.Key = key
			_, err := b.Keep(t.Context(), c.Actor, d, a.Version)
			return err
		},
	} {
		require.Equal(t, map[fault.Kind]int{fault.Unknown: 16}, atOnce(t, 16, act), what)
		require.Equal(t, 1, value[int](t, b, "select count(*)::int from "+what))
	}
}
