package postgres

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// The mark that an erased athlete leaves knows the same row again, in its own club, and
// no other: not one that has its number by now.
func TestAMarkKnowsWhoWasErased(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, ben := b.athlete(t, c, "Ana"), b.athlete(t, c, "Ben")
	row := value[string](t, b, "select to_jsonb(x)::text from athlete x where athlete_id = $1", a.ID)
	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026))
	gone, err := b.Erased(t.Context(), c.ID)
	require.NoError(t, err)
	require.Len(t, gone, 1)
	require.Equal(t, value[string](t, b, "select ((now() at time zone 'UTC')::date)::text"), gone[0].On.String())
	marked := func(club roster.ClubID) []roster.AthleteID {
		all, err := b.Marked(t.Context(), club, []privacy.Mark{{}, gone[0].Mark})
		require.NoError(t, err)
		return all
	}
	require.Empty(t, marked(c.ID))
	back := func(change string) {
		_, err := b.admin.Exec(t.Context(), "insert into athlete overriding system value select (jsonb_populate_record(null::athlete, $1::text::jsonb || $2::text::jsonb)).*", row, change)
		require.NoError(t, err)
	}
	back(`{"mail_stop": "somebody-else-with-her-number"}`)
	require.Empty(t, marked(c.ID))
	_, err = b.admin.Exec(t.Context(), "delete from athlete where athlete_id = $1", a.ID)
	require.NoError(t, err)
	back(`{}`)
	require.Equal(t, []roster.AthleteID{a.ID}, marked(c.ID))
	require.Empty(t, marked(other.ID))
	require.NoError(t, b.Erase(t.Context(), c.Actor, a.ID, 2026), "and the mark may be there already")
	_, err = b.Athlete(t.Context(), c.ID, ben.ID)
	require.NoError(t, err)
	gone, err = b.Erased(t.Context(), other.ID)
	require.NoError(t, err)
	require.Empty(t, gone)
}
