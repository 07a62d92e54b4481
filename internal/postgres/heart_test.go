package postgres

import (
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// heartOver is the use case over the database; every file is the same hour, and
// tells no date.
func heartOver(b *bench) *heart.Service {
	return &heart.Service{Store: b.Store, Now: clock, Read: func([]byte) (heart.File, error) {
		recorded := anHour(false)
		recorded.Start = time.Time{}
		return heart.File{Format: "csv", Recording: recorded}, nil
	}}
}

func TestHeartRateEvidenceOverTheDatabase(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	use := heartOver(b)
	s := b.log(t, c, b.session(a, 0))
	require.NoError(t, use.TalkTest(t.Context(), c.Actor, a.ID, b.key(), []intensity.Stage{{Rate: 131, Talk: intensity.Chat}, {Rate: 140, Talk: intensity.Words}}))
	require.NoError(t, use.Measure(t.Context(), c.Actor, a.ID, b.key(), roster.MaxMeasured, 150, today-1))
	done, err := use.Attach(t.Context(), c.Actor, a.ID, s.ID, []byte("an hour"), false, false)
	require.NoError(t, err)
	require.Equal(t, heart.Attached{At: s.ID}, done)

	seen, err := use.Seen(t.Context(), c.Actor, a.ID, s.ID)
	require.NoError(t, err)
	require.False(t, seen.Stale, "what was stored is what was read")
	require.Equal(t, intensity.BPM(131), seen.Recording.Ceiling.BPM)
	require.Len(t, seen.Reading.Blocks, len(s.Blocks))
	require.NotEmpty(t, seen.Reading.Rates)
	known := 0
	for _, block := range seen.Session.Blocks {
		if block.Heart.Valid.Known() {
			known++
		}
	}
	require.Positive(t, known)

	pulse, err := use.Pulse(t.Context(), c.Actor, a.ID)
	require.NoError(t, err)
	require.Len(t, pulse.Offers, 1, "the runs were above the maximum")
	require.NoError(t, use.TakeOffer(t.Context(), c.Actor, a.ID, b.key(), pulse.Offers[0].Recording))
	pulse, err = use.Pulse(t.Context(), c.Actor, a.ID)
	require.NoError(t, err)
	require.Empty(t, pulse.Offers)
	require.Len(t, pulse.Measurements, 3)
	require.NoError(t, use.ReadAnew(t.Context(), c.Actor, a.ID, s.ID))
	require.NoError(t, use.Detach(t.Context(), c.Actor, a.ID, s.ID))
	kept, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	s.Version = 4
	require.Equal(t, s, kept)
}

// A file that several phones send at once is stored once, and each is told where
// it is.
func TestAFileFromSeveralPhones(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	s := b.log(t, c, b.session(a, 1))
	use := heartOver(b)
	var mu sync.Mutex
	fresh := 0
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 8}, atOnce(t, 8, func() error {
		done, err := use.Attach(t.Context(), c.Actor, a.ID, s.ID, []byte("an hour"), false, false)
		mu.Lock()
		defer mu.Unlock()
		if !done.Again {
			fresh++
		}
		return err
	}))
	require.Equal(t, 1, fresh)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from recording"))
}

// A correction that comes while a recording is read is not lost, and the recording
// is read beside the corrected session.
func TestAFileDuringCorrections(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	use, tell := heartOver(b), &entry.Service{Store: b.Store, Now: clock}
	for ago := range 6 {
		s := b.log(t, c, b.session(a, ago+1))
		blocks := append([]readiness.Block(nil), s.Blocks[:10]...)
		var attached, corrected error
		var both sync.WaitGroup
		both.Go(func() {
			_, attached = use.Attach(t.Context(), c.Actor, a.ID, s.ID, []byte(s.Key), false, false)
		})
		both.Go(func() {
			_, corrected = tell.Correct(t.Context(), c.Actor, a.ID, s.ID, 1, entry.Entry{
				Started: s.StartedAt, Date: s.Date, Kind: s.Kind, Phase: s.Phase, Blocks: blocks, Effort: readiness.Some(6),
			})
		})
		both.Wait()
		require.NoError(t, attached, "tried again by itself")
		seen, err := use.Seen(t.Context(), c.Actor, a.ID, s.ID)
		require.NoError(t, err)
		require.NotNil(t, seen.Recording)
		if corrected != nil {
			kind(t, fault.Conflict, corrected, "the athlete looks again")
			require.Len(t, seen.Session.Blocks, 12)
			continue
		}
		require.Len(t, seen.Session.Blocks, 10)
		require.Equal(t, 6, seen.Session.Effort.Or(0))
		require.False(t, seen.Stale)
	}
}
