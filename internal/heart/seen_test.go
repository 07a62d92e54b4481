package heart_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

func (s *scene) stale(t *testing.T, id roster.SessionID) bool {
	t.Helper()
	seen, err := s.use.Seen(context.Background(), s.mine, s.athlete.ID, id)
	require.NoError(t, err)
	return seen.Stale
}

func TestReadAnew(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 3, nil)
	kind(t, fault.NotFound, s.use.ReadAnew(ctx, s.mine, s.athlete.ID, one.ID), "there is none")
	s.attach(t, one, s.file("run", one, 168, 132))
	require.NoError(t, s.use.PassOver(ctx, s.coach, s.athlete.ID, s.Recorded[0].ID))
	first, judged := s.Recorded[0], s.kept(t, one.ID)

	s.measured(t, roster.TalkTested, 120, one.Date+1)
	require.False(t, s.stale(t, one.ID), "a measurement holds from its date on")
	s.measured(t, roster.TalkTested, 122, one.Date)
	require.True(t, s.stale(t, one.ID))
	require.Equal(t, judged, s.kept(t, one.ID), "nothing is judged anew by itself")

	s.now = s.now.Add(time.Hour)
	require.NoError(t, s.use.ReadAnew(ctx, s.mine, s.athlete.ID, one.ID))
	require.False(t, s.stale(t, one.ID))
	again := s.Recorded[0]
	require.EqualValues(t, 122, again.Ceiling.BPM)
	require.Equal(t, s.now, again.ReadAt)
	first.Ceiling, first.ReadAt, first.Reading, first.On = again.Ceiling, again.ReadAt, again.Reading, again.On
	require.Equal(t, first, again, "the same recording: added when it was, its peak still passed over")
	require.Less(t, s.kept(t, one.ID).Blocks[2].Heart.Seconds.Or(999), judged.Blocks[2].Heart.Seconds.Or(0))
}

func TestOlderRulesAreStale(t *testing.T) {
	s := newScene(t)
	one := s.session(t, 3, nil)
	s.attach(t, one, s.file("run", one, 168, 104))
	s.Recorded[0].Rules--
	require.True(t, s.stale(t, one.ID))
	require.NoError(t, s.use.ReadAnew(context.Background(), s.coach, s.athlete.ID, one.ID))
	require.False(t, s.stale(t, one.ID))
}

// A corrected session no longer fits what was read: figures of blocks that were
// told anew are gone, and the page can offer to read once more.
func TestACorrectionMakesAReadingStale(t *testing.T) {
	for name, change := range map[string]func([]readiness.Block) []readiness.Block{
		"a walk was shorter":           func(b []readiness.Block) []readiness.Block { b[4].Done = 150; return b },
		"a walk was planned shorter":   func(b []readiness.Block) []readiness.Block { b[4].Planned = 150; return b },
		"a run was left out":           func(b []readiness.Block) []readiness.Block { b[3].Done = 0; return b },
		"the last two blocks were not": func(b []readiness.Block) []readiness.Block { return b[:11] },
		"it was told without blocks":   func([]readiness.Block) []readiness.Block { return nil },
	} {
		ctx, s := context.Background(), newScene(t)
		tell := &entry.Service{Store: s.Store, Now: func() time.Time { return s.now }}
		one := s.session(t, 1, nil)
		s.attach(t, one, s.file("run", one, 168, 104))
		require.False(t, s.stale(t, one.ID), name)
		blocks := change(entry.Whole(plan()))
		_, err := tell.Correct(ctx, s.mine, s.athlete.ID, one.ID, 2, entry.Entry{
			Started: one.StartedAt, Date: one.Date, Kind: readiness.Planned, Blocks: blocks, Minutes: readiness.Some(35), Outcome: outcome(blocks), Breath: one.Breath,
		})
		require.NoError(t, err, name)
		require.True(t, s.stale(t, one.ID), name)
		require.NoError(t, s.use.ReadAnew(ctx, s.mine, s.athlete.ID, one.ID), name)
		require.False(t, s.stale(t, one.ID), name)
	}
}

// outcome is what is stated of a session without blocks.
func outcome(blocks []readiness.Block) readiness.Outcome {
	if len(blocks) == 0 {
		return readiness.Shortened
	}
	return readiness.NotStated
}

func TestACorrectionOfSomethingElseIsNotStale(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	tell := &entry.Service{Store: s.Store, Now: func() time.Time { return s.now }}
	one := s.session(t, 1, nil)
	s.attach(t, one, s.file("run", one, 168, 104))
	before := s.kept(t, one.ID)
	_, err := tell.Correct(ctx, s.mine, s.athlete.ID, one.ID, 2, entry.Entry{
		Started: one.StartedAt, Date: one.Date, Kind: readiness.Planned, Blocks: entry.Whole(plan()), Effort: readiness.Some(5),
	})
	require.NoError(t, err)
	require.Equal(t, before.Blocks, s.kept(t, one.ID).Blocks)
	require.False(t, s.stale(t, one.ID))
}

// Blocks that were left out are no part of what the recording is laid beside.
func TestLeftOutBlocks(t *testing.T) {
	s := newScene(t)
	one := s.session(t, 1, func(one *roster.Session) {
		one.Outcome = readiness.Shortened
		one.Blocks[11].Done, one.Blocks[12].Done = 0, 0
	})
	s.attach(t, one, s.file("run", one, 168, 104))
	kept := s.kept(t, one.ID)
	require.Equal(t, readiness.Heart{}, kept.Blocks[11].Heart)
	require.Equal(t, readiness.Heart{}, kept.Blocks[12].Heart)
	require.True(t, kept.Blocks[10].Heart.Valid.Known())
	seen, err := s.use.Seen(context.Background(), s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.Len(t, seen.Reading.Blocks, 11)
	require.Equal(t, pathway.Walk, seen.Reading.Blocks[10].Kind)
	require.Len(t, seen.Walks, 5)
}
