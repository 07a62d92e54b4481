package privacy_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/testing/fake"
)

// list is one in memory, which may fail.
type list struct {
	gone  []privacy.Gone
	fails error
}

func (l *list) Read(context.Context) ([]privacy.Gone, error) { return l.gone, l.fails }

func (l *list) Add(_ context.Context, more []privacy.Gone) error {
	l.gone = append(l.gone, more...)
	return nil
}

func (h *house) remember() int {
	h.t.Helper()
	again, err := h.use.Remember(context.Background())
	require.NoError(h.t, err)
	return again
}

// Whoever was erased stays erased when an older copy of the database is brought back,
// as often as that happens; and nobody else goes with them.
func TestNobodyComesBackWithAnOlderCopy(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	l := &list{}
	h.use.List = l
	ben := h.store.Runner(h.club.ID, "Ben")
	other, _ := h.store.Begin("Hilltop", "oto@example.org", "")
	una := h.store.Runner(other.ID, "Una")
	require.Zero(t, h.remember())
	require.Empty(t, l.gone, "nobody was erased yet")

	ana := h.store.Athletes[h.ana.ID]
	require.NoError(t, h.use.Erase(ctx, h.coach, ana.ID, ana.Name))
	for range 2 {
		require.Zero(t, h.remember())
		require.Len(t, l.gone, 1, "once, however often it is looked at")
	}
	require.Equal(t, fake.MarkOf(ana.ID), l.gone[0].Mark)

	for range 2 { // an older copy: she is there, and nothing says that she was erased
		h.store.Athletes[ana.ID] = ana
		h.store.Gones = map[roster.ClubID][]privacy.Gone{}
		require.Equal(t, 1, h.remember())
		require.NotContains(t, h.store.Athletes, ana.ID)
		require.Len(t, l.gone, 1)
	}
	require.Contains(t, h.store.Athletes, ben.ID)
	require.Contains(t, h.store.Athletes, una.ID)
}

// What goes wrong with one person is told, and keeps nobody else.
func TestWhoCannotBeErasedAgainIsTold(t *testing.T) {
	h, ctx := newHouse(t), context.Background()
	ben := h.store.Runner(h.club.ID, "Ben")
	l := &list{gone: []privacy.Gone{{Mark: fake.MarkOf(h.ana.ID)}, {Mark: fake.MarkOf(ben.ID)}}}
	h.use.List = l
	h.store.Stuck[h.ana.ID] = true
	again, err := h.use.Remember(ctx)
	require.Error(t, err)
	require.Equal(t, 1, again)
	require.NotContains(t, h.store.Athletes, ben.ID)
	delete(h.store.Stuck, h.ana.ID)
	require.Equal(t, 1, h.remember())

	l.fails = errors.New("the disk is full")
	_, err = h.use.Remember(ctx)
	require.ErrorIs(t, err, l.fails)
}
