package argon_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/argon"
	"halfhour.app/halfhour/internal/fault"
)

func TestHashMatchesItsPasswordOnly(t *testing.T) {
	h, ctx := argon.New(2), context.Background()
	phc, err := h.Hash(ctx, "several plain words")
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(phc, "$argon2id$v=19$m=19456,t=2,p=1$"), "19 MiB, two passes, one lane: %s", phc)
	other, err := h.Hash(ctx, "several plain words")
	require.NoError(t, err)
	require.NotEqual(t, phc, other, "each hash has its own salt")

	right, err := h.Match(ctx, "several plain words", phc)
	require.NoError(t, err)
	require.True(t, right)
	wrong, err := h.Match(ctx, "several plain word", phc)
	require.NoError(t, err)
	require.False(t, wrong)
}

// The hash for nobody's password must be a sound one with the same cost, or an
// unknown address would be answered sooner; and nothing may match it.
func TestNobodyCostsAsMuchAndNeverMatches(t *testing.T) {
	h, ctx := argon.New(1), context.Background()
	for _, password := range []string{"", "x", "nobody has this password, and nothing is checked against it but time"} {
		match, err := h.Match(ctx, password, "")
		require.NoError(t, err)
		require.False(t, match)
	}
}

func TestDamagedHashIsAnError(t *testing.T) {
	_, err := argon.New(1).Match(context.Background(), "x", "no hash at all")
	require.Error(t, err)
}

// A hash holds 19 MiB: whoever comes when all turns are taken waits, and leaves
// when his request ends.
func TestNoMoreAtOnceThanThereAreTurns(t *testing.T) {
	h, ctx := argon.New(1), context.Background()
	gone, cancel := context.WithDeadline(ctx, time.Now().Add(-time.Second))
	defer cancel()
	h.Take()
	_, err := h.Hash(gone, "several plain words")
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	_, err = h.Match(gone, "several plain words", "")
	require.Equal(t, fault.Unavailable, fault.KindOf(err))
	h.Give()
	_, err = h.Hash(ctx, "several plain words")
	require.NoError(t, err, "the turn is given back")
}
