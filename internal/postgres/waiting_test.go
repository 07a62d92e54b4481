package postgres

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
)

// Who is coming in and never trained waits, since whatever was heard last; erasing asks
// once more whether that is so.
func TestWhoIsWaiting(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a := b.athlete(t, c, "Ana")
	b.athlete(t, other, "Una")
	waiting := func() []privacy.Waiter {
		all, err := b.Waiting(t.Context(), c.ID)
		require.NoError(t, err)
		return all
	}
	set := func(sql string) {
		_, err := b.admin.Exec(t.Context(), sql)
		require.NoError(t, err)
	}
	require.Empty(t, waiting(), "here")
	set("update athlete set arrival = 'invited', arrival_since = '2026-03-01'")
	require.Equal(t, []any{a.ID, time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)}, []any{waiting()[0].Athlete.ID, waiting()[0].Last})
	require.Len(t, waiting(), 1, "nobody of another club")

	_, err := b.Open(t.Context(), b.hash(), access.Login{Club: c.ID, Athlete: a.ID, Since: noon, SeenAt: noon, Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	require.Equal(t, noon, waiting()[0].Last, "a login was seen")
	until := noon.Add(14 * 24 * time.Hour)
	require.NoError(t, b.PutCode(t.Context(), c.Actor, access.Code{Hash: b.hash(), Purpose: access.AthleteLink, Club: c.ID, Athlete: a.ID, Expires: until}))
	require.Equal(t, until, waiting()[0].Last, "a link works until then")

	walk := b.session(a, 1)
	walk.Kind = readiness.Extra
	walk.Phase, walk.Outcome = "", 0
	b.log(t, c, walk)
	require.Len(t, waiting(), 1, "the first walk is no training")

	version := waiting()[0].Athlete.Version
	due := func(version int) fault.Kind {
		return fault.KindOf(b.EraseDue(t.Context(), c.ID, a.ID, 2026, privacy.Reason{Waiting: version}))
	}
	require.Equal(t, fault.NotFound, due(version+1), "something was done meanwhile")
	set("update athlete set arrival = 'here', arrival_since = null")
	require.Equal(t, fault.NotFound, due(version), "taken in at the last moment")
	set("update athlete set arrival = 'answered', arrival_since = '2026-03-01'")
	b.log(t, c, b.session(a, 2))
	require.Empty(t, waiting(), "trained before the consent was taken back")
	set("delete from session where kind = 'planned'")
	require.NoError(t, b.EraseDue(t.Context(), c.ID, a.ID, 2026, privacy.Reason{Waiting: version}))
	require.Empty(t, waiting())

	k, err := b.Keeping(t.Context(), c.ID)
	require.NoError(t, err)
	require.False(t, k.WaitingSince.IsZero())
}
