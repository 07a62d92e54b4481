package postgres

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

func TestACoachAsLettersKnowOne(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	r, err := b.Reader(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	require.Equal(t, roster.Wishes{On: true, Day: 7, Hour: 18, Detail: roster.Initials, AtOnce: true}, r.Wishes, "what everybody gets at first")
	require.Equal(t, c.Club, r.Club)
	require.Equal(t, "Owner of Harbour", r.Coach.Name)
	require.True(t, r.Next.IsZero())
	require.Len(t, r.Stop, 32)
	require.Equal(t, roster.Actor{Club: c.ID, Coach: c.Coach}, r.Actor())

	value[roster.CoachID](t, b, `update coach set letter_on = false, letter_day = 1, letter_hour = 0, letter_news_only = true, letter_all = true,
  letter_detail = 'reasons', at_once_on = false, letter_next = $2 where coach_id = $1 returning coach_id`, c.Coach, noon)
	r, err = b.Reader(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	require.Equal(t, roster.Wishes{Day: 1, NewsOnly: true, All: true, Detail: roster.Reasons}, r.Wishes)
	require.True(t, noon.Equal(r.Next))

	_, err = b.Reader(t.Context(), other.ID, c.Coach)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "another club's")
	value[roster.CoachID](t, b, "update coach set owner = false, email = null, password = '', left_at = $2 where coach_id = $1 returning coach_id", c.Coach, noon)
	_, err = b.Reader(t.Context(), c.ID, c.Coach)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "who has left gets none")
}

// Where coaches see only their own, an owner sees all.
func TestWhomAReaderSees(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	value[roster.ClubID](t, b, "update club set own_only = true where club_id = $1 returning club_id", c.ID)
	r, err := b.Reader(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	require.False(t, r.Actor().OwnOnly)
	value[roster.CoachID](t, b, "update coach set owner = false, deputy = true where coach_id = $1 returning coach_id", c.Coach)
	r, err = b.Reader(t.Context(), c.ID, c.Coach)
	require.NoError(t, err)
	require.True(t, r.Actor().OwnOnly)
	require.True(t, r.Actor().Deputy)
}
