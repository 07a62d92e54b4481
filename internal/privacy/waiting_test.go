package privacy_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// arriving is somebody who is coming in, since the date.
func (h *house) arriving(name string, how roster.Arrival, since day.Date) roster.Athlete {
	a := h.store.Runner(h.club.ID, name)
	a.Arrival, a.ArrivalSince = how, since
	h.store.Athletes[a.ID] = a
	return a
}

// Whoever never began goes half a year after anything was last heard, and is announced
// a month before; whoever trains, or was heard of, stays.
func TestWhoNeverBeganIsNotKeptForEver(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	h.store.Keeps[h.club.ID] = privacy.Keeping{Months: 24, WaitingSince: h.now.AddDate(-1, 0, 0)}
	since := day.On(2025, 11, 1) // half a year: 1 May
	silent := h.arriving("Silent", roster.Invited, since)
	answered := h.arriving("Answered", roster.Answered, since)
	withdrawn := h.arriving("Withdrawn", roster.Withdrawn, since)
	looking := h.arriving("Looking", roster.Invited, since)
	h.store.Kept[77] = access.Login{ID: 77, Club: h.club.ID, Athlete: looking.ID, SeenAt: day.On(2026, 3, 1).UTC()}
	trained := h.arriving("Trained", roster.Withdrawn, since)
	h.store.Logged = append(h.store.Logged, roster.Session{Athlete: trained.ID, Session: readiness.Session{Kind: readiness.Planned, Date: since}})

	soon, err := h.use.NeverBegan(ctx, h.coach)
	require.NoError(t, err)
	require.Len(t, soon, 3)
	require.Equal(t, []string{"Answered", "Silent", "Withdrawn"}, []string{soon[0].Athlete.Name, soon[1].Athlete.Name, soon[2].Athlete.Name})
	require.Equal(t, time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), soon[0].Until)
	require.Zero(t, h.daily(), "announced, and not erased yet")
	about, err := h.use.About(ctx, roster.Actor{Club: h.club.ID, Athlete: silent.ID}, silent.ID)
	require.NoError(t, err)
	require.Equal(t, soon[1].Until, about.Until)
	about, err = h.use.About(ctx, h.self(), h.ana.ID)
	require.NoError(t, err)
	require.Zero(t, about.Until, "whoever is here is not meant")

	h.now = soon[0].Until
	answered.Arrival = roster.Here
	h.store.Athletes[answered.ID] = answered
	require.Equal(t, privacy.Done{Waited: 2}, h.daily())
	require.NotContains(t, h.store.Athletes, silent.ID)
	require.NotContains(t, h.store.Athletes, withdrawn.ID)
	for _, stays := range []roster.Athlete{answered, looking, trained, h.ana} {
		require.Contains(t, h.store.Athletes, stays.ID, stays.Name)
	}
}

// A club that learns of the rule has a month in which everybody is announced.
func TestNobodyWhoNeverBeganGoesUnannounced(t *testing.T) {
	h := newHouse(t)
	h.store.Keeps[h.club.ID] = privacy.Keeping{Months: 24, WaitingSince: h.now}
	h.arriving("Silent", roster.Invited, day.On(2024, 1, 1))
	require.Zero(t, h.daily())
	soon, err := h.use.NeverBegan(context.Background(), h.coach)
	require.NoError(t, err)
	require.Equal(t, h.now.AddDate(0, 1, 0), soon[0].Until)
	h.now = soon[0].Until.Add(-time.Second)
	require.Zero(t, h.daily())
	h.now = soon[0].Until
	require.Equal(t, privacy.Done{Waited: 1}, h.daily())
}
