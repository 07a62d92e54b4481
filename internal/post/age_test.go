package post_test

import (
	"context"
	"errors"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// drawer is a folder of letters in memory; stuck clubs cannot be removed from.
type drawer struct {
	clubs map[roster.ClubID][]post.Stamp
	stuck roster.ClubID
}

func (d *drawer) Clubs() ([]roster.ClubID, error) { return slices.Sorted(maps.Keys(d.clubs)), nil }

func (d *drawer) Stamps(club roster.ClubID) ([]post.Stamp, error) {
	return slices.Clone(d.clubs[club]), nil
}

func (d *drawer) Remove(club roster.ClubID, letters []post.Stamp) error {
	if club == d.stuck {
		return errors.New("the folder is locked")
	}
	d.clubs[club] = slices.DeleteFunc(d.clubs[club], func(s post.Stamp) bool { return slices.Contains(letters, s) })
	return nil
}

// file puts a letter into a file as well.
func (h *house) file(d *drawer, id roster.LetterID) {
	d.clubs[h.club.ID] = append(d.clubs[h.club.ID], post.Stamp{ID: id, MadeAt: h.now})
}

func TestLettersAreKeptForThirtyDays(t *testing.T) {
	h, ctx := newHouse(), context.Background()
	files := &drawer{clubs: map[roster.ClubID][]post.Stamp{}}
	h.post.Files = files
	began := h.now
	_, first := h.ana(t)
	h.file(files, first)
	h.now = began.Add(24 * time.Hour)
	_, second := h.ana(t)
	h.file(files, second)
	for _, c := range []struct {
		at    time.Duration
		gone  post.Gone
		files int
		why   string
	}{
		{0, post.Gone{}, 2, "on the day"},
		{post.Kept, post.Gone{}, 2, "thirty days to the second"},
		{post.Kept + time.Second, post.Gone{Rows: 1, Files: 1}, 1, "a second more"},
		{post.Kept + time.Second, post.Gone{}, 1, "and once more: done twice is done once"},
		{post.Kept + 25*time.Hour, post.Gone{Rows: 1, Files: 1}, 0, "the next one, a day later"},
	} {
		h.now = began.Add(c.at)
		gone, err := h.post.Tidy(ctx)
		require.NoError(t, err, c.why)
		require.Equal(t, c.gone, gone, c.why)
		require.Len(t, files.clubs[h.club.ID], c.files, c.why)
	}
	require.Empty(t, h.store.Letters)
}

func TestFilesGoWithWhomTheyAreTo(t *testing.T) {
	h, ctx := newHouse(), context.Background()
	files := &drawer{clubs: map[roster.ClubID][]post.Stamp{}}
	ana, hers := h.ana(t)
	_, other := h.ana(t)
	h.file(files, hers)
	h.file(files, other)
	n, err := h.post.TidyFiles(ctx, h.club.ID)
	require.NoError(t, err)
	require.Zero(t, n, "where there is no folder there is nothing to do")
	h.post.Files = files
	files.clubs[77] = []post.Stamp{{ID: 1, MadeAt: h.now}} // of a database of before
	files.clubs[h.club.ID] = append(files.clubs[h.club.ID], post.Stamp{ID: other, MadeAt: h.now.Add(-time.Hour)})
	require.NoError(t, h.store.Erase(ctx, h.owner, ana.ID, 2026))
	for _, want := range []int{2, 0} {
		n, err := h.post.TidyFiles(ctx, h.club.ID)
		require.NoError(t, err)
		require.Equal(t, want, n, "hers, and one of which the number came again")
	}
	require.Equal(t, []post.Stamp{{ID: other, MadeAt: h.now}}, files.clubs[h.club.ID])

	files.stuck = h.club.ID
	gone, err := h.post.Tidy(ctx)
	require.Error(t, err)
	require.Equal(t, 1, gone.Files)
	require.Empty(t, files.clubs[77], "what goes wrong in one club keeps no other")
}
