package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
)

func TestTheListOfWhoWasErased(t *testing.T) {
	t.Parallel()
	l := newErasedList(filepath.Join(t.TempDir(), "data"))
	gone, err := l.Read(t.Context())
	require.NoError(t, err)
	require.Empty(t, gone, "there is no list yet")
	one, two := privacy.Gone{Mark: privacy.Mark{1, 2}, On: day.On(2026, 4, 14)}, privacy.Gone{Mark: privacy.Mark{3}, On: day.On(2026, 4, 15)}
	require.NoError(t, l.Add(t.Context(), []privacy.Gone{one}))
	text, err := os.ReadFile(l.file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(l.file, text[:len(text)-1], 0o600), "as somebody may have put it together")
	require.NoError(t, l.Add(t.Context(), []privacy.Gone{two}))
	gone, err = l.Read(t.Context())
	require.NoError(t, err)
	require.Equal(t, []privacy.Gone{one, two}, gone)
	info, err := os.Stat(l.file)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	left, err := os.ReadDir(filepath.Dir(l.file))
	require.NoError(t, err)
	require.Len(t, left, 1)

	for _, junk := range []string{"0102 2026-04-14", "somebody 2026-04-14", string(text[:64]) + " yesterday", string(text[:64])} {
		require.NoError(t, os.WriteFile(l.file, []byte(string(text)+junk+"\n"), 0o600))
		_, err = l.Read(t.Context())
		require.ErrorContains(t, err, "line 2", "%q: going on without it could bring somebody back", junk)
	}
}
