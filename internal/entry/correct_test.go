package entry_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// logged is a scene with one session of this morning.
func logged(t *testing.T, pain ...readiness.Pain) *scene {
	t.Helper()
	s := newScene(t, lisbon, "2026-04-14 08:00")
	e := whole(tuesday, 420)
	e.Pain = pain
	_, err := s.log(e)
	require.NoError(t, err)
	return s
}

func TestCorrecting(t *testing.T) {
	s := logged(t)
	s.sessions[0].Blocks[1].Heart = readiness.Heart{Valid: readiness.Some(170), Seconds: readiness.Some(120)}
	before := s.sessions[0]
	s.now = s.now.Add(time.Hour)
	e := whole(tuesday, 421)
	e.Effort = readiness.Some(6)
	r, err := s.use.Correct(context.Background(), s.who, 3, before.ID, 1, e)
	require.NoError(t, err)
	require.Equal(t, 2, r.Session.Version)
	kept := s.sessions[0]
	require.Equal(t, 6, kept.Effort.Or(0))
	require.Equal(t, before.Key, kept.Key)
	require.Equal(t, before.LoggedAt, kept.LoggedAt)
	require.Equal(t, s.now, kept.ChangedAt)
	require.Equal(t, before.Blocks[1].Heart, kept.Blocks[1].Heart, "what was recorded stays")
}

// The form shows the day as it is kept and the time of day in the zone of now.
func TestACorrectionThatLeavesTheTimeLeavesTheInstant(t *testing.T) {
	for _, k := range []struct {
		why, zone, now, started string
		date                    day.Date
		clock                   int
	}{
		{"the athlete has moved east, where it was the next day already", "Pacific/Auckland", "2026-04-16 08:00", "2026-04-14T20:30:00Z", tuesday, 8*60 + 30},
		{"the athlete has moved west", "America/Los_Angeles", "2026-04-16 08:00", "2026-04-14T20:30:00Z", tuesday, 13*60 + 30},
		{"the second of an hour that comes twice", "Europe/Berlin", "2026-10-25 09:00", "2026-10-25T01:30:00Z", day.On(2026, 10, 25), 2*60 + 30},
		{"a session of more than half a year ago", lisbon, "2027-04-14 08:00", "2026-04-14T20:30:00Z", tuesday, 21*60 + 30},
	} {
		s := newScene(t, k.zone, k.now)
		started, err := time.Parse(time.RFC3339, k.started)
		require.NoError(t, err)
		s.sessions = []roster.Session{{ID: 1, Key: "key-of-entry-0", Version: 1, Session: readiness.Session{StartedAt: started, Date: k.date, Phase: "L3", Outcome: readiness.InFull}}}
		e := whole(k.date, k.clock)
		e.Effort = readiness.Some(7)
		_, err = s.use.Correct(context.Background(), s.who, 3, 1, 1, e)
		require.NoError(t, err, k.why)
		require.Equal(t, 7, s.sessions[0].Effort.Or(0), k.why)
		require.Equal(t, k.started, s.sessions[0].StartedAt.UTC().Format(time.RFC3339), k.why)
		require.Equal(t, k.date, s.sessions[0].Date, k.why)

		e.Clock = readiness.Some(k.clock - 1)
		_, err = s.use.Correct(context.Background(), s.who, 3, 1, 2, e)
		if k.zone == lisbon {
			faultAt(t, err, "date")
			continue
		}
		require.NoError(t, err, k.why)
		require.NotEqual(t, k.started, s.sessions[0].StartedAt.UTC().Format(time.RFC3339), k.why)
	}
}

// What was read of a block must not stand beside a block that was told anew.
func TestWhatWasRecordedOfCorrectedBlocks(t *testing.T) {
	recorded := readiness.Heart{Valid: readiness.Some(100), Seconds: readiness.Some(50), Low: readiness.Some(50), High: readiness.Some(50)}
	for _, k := range []struct {
		why    string
		change func([]readiness.Block) []readiness.Block
		gone   []int // of which nothing is left
	}{
		{"nothing was changed", func(b []readiness.Block) []readiness.Block { return b }, nil},
		{"a run was cut short, so the walk after it began elsewhere", func(b []readiness.Block) []readiness.Block { b[2].Done = 110; return b }, []int{2, 3}},
		{"a run was planned longer", func(b []readiness.Block) []readiness.Block { b[2].Planned = 125; return b }, []int{2, 3}},
		{"a walk was a run", func(b []readiness.Block) []readiness.Block { b[1].Kind = pathway.Run; return b }, []int{1, 2}},
		{"the last block was longer", func(b []readiness.Block) []readiness.Block { b[5].Done += 9; return b }, []int{5}},
		{"a tap is something else", func(b []readiness.Block) []readiness.Block { b[1].Settle = readiness.Some(40); return b }, nil},
		{"a block more", func(b []readiness.Block) []readiness.Block { return append(b, b[0]) }, []int{0, 1, 2, 3, 4, 5}},
		{"without blocks", func([]readiness.Block) []readiness.Block { return nil }, nil},
	} {
		s := newScene(t, lisbon, "2026-04-14 08:00")
		e := whole(tuesday, 420)
		e.Whole = false
		for range 3 {
			e.Blocks = append(e.Blocks, readiness.Block{Kind: pathway.Run, Planned: 120, Done: 120}, readiness.Block{Kind: pathway.Walk, Planned: 180, Done: 180})
		}
		_, err := s.log(e)
		require.NoError(t, err)
		s.sessions[0].Blocks = slices.Clone(e.Blocks)
		for i := range s.sessions[0].Blocks {
			s.sessions[0].Blocks[i].Heart = recorded
		}
		e.Blocks = k.change(slices.Clone(e.Blocks))
		if e.Blocks == nil {
			e.Outcome, e.Minutes = readiness.InFull, readiness.Some(15)
		}
		_, err = s.use.Correct(context.Background(), s.who, 3, 1, 1, e)
		require.NoError(t, err, k.why)
		kept := s.sessions[0].Blocks
		require.Len(t, kept, len(e.Blocks), k.why)
		for i := range kept {
			want := recorded
			if slices.Contains(k.gone, i) || i >= 6 {
				want = readiness.Heart{}
			}
			require.Equal(t, want, kept[i].Heart, "%s: block %d", k.why, i)
		}
	}
}

func TestACorrectionKeepsThePhaseItWasDoneOn(t *testing.T) {
	s := logged(t)
	s.athlete.Phase, s.athlete.PhaseSince = "L4", tuesday
	_, err := s.use.Correct(context.Background(), s.who, 3, 1, 1, whole(tuesday, 420))
	require.NoError(t, err)
	require.Equal(t, "L3", s.sessions[0].Phase)
}

func TestTwoPhonesCorrectTheSameSession(t *testing.T) {
	s := logged(t)
	first, second := whole(tuesday, 420), whole(tuesday, 420)
	first.Note, second.Note = "from the first phone", "from the second phone"
	_, err := s.use.Correct(context.Background(), s.who, 3, 1, 1, first)
	require.NoError(t, err)
	r, err := s.use.Correct(context.Background(), s.who, 3, 1, 1, second)
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Equal(t, "from the first phone", r.There.Note)
	require.Equal(t, 2, r.There.Version)
	require.Equal(t, "from the second phone", r.Session.Note)
	_, err = s.use.Correct(context.Background(), s.who, 3, 1, r.There.Version, second)
	require.NoError(t, err, "having seen both, it can be sent again")
}

func TestACorrectionOntoAnotherSessionsMinute(t *testing.T) {
	s := logged(t)
	_, err := s.log(whole(tuesday, 300))
	require.NoError(t, err)
	r, err := s.use.Correct(context.Background(), s.who, 3, 1, 1, whole(tuesday, 300))
	require.Equal(t, fault.Conflict, fault.KindOf(err))
	require.Equal(t, s.sessions[1].ID, r.There.ID)
	require.Contains(t, fault.MessageOf(err), "there already")
}

func TestCorrectingWhatIsNotThere(t *testing.T) {
	s := logged(t)
	_, err := s.use.Correct(context.Background(), s.who, 3, 9, 1, whole(tuesday, 420))
	require.Equal(t, fault.NotFound, fault.KindOf(err))
	_, err = s.use.Session(context.Background(), s.who, 4, 1)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestDeleting(t *testing.T) {
	s := logged(t)
	ctx := context.Background()
	_, err := s.use.Correct(ctx, s.who, 3, 1, 1, whole(tuesday, 420))
	require.NoError(t, err)
	r, err := s.use.Delete(ctx, s.who, 3, 1, 1)
	require.Equal(t, fault.Conflict, fault.KindOf(err), "it was corrected since it was shown")
	require.Equal(t, 2, r.There.Version)
	require.Len(t, s.sessions, 1)
	_, err = s.use.Delete(ctx, s.who, 3, 1, 2)
	require.NoError(t, err)
	require.Empty(t, s.sessions)
	_, err = s.use.Delete(ctx, s.who, 3, 1, 2)
	require.NoError(t, err, "gone already is as good")
	_, err = s.use.Delete(ctx, roster.Actor{Club: 8, Coach: 2}, 3, 1, 2)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}

func TestTheMorningAfter(t *testing.T) {
	s := logged(t, readiness.Pain{Site: "Left shin", Score: 2}, readiness.Pain{Site: "knee", Score: 1})
	ctx := context.Background()
	mornings := []entry.Morning{{Site: " left SHIN", Score: readiness.Some(0)}, {Site: "knee"}}
	_, err := s.use.NextMorning(ctx, s.who, 3, 1, mornings)
	require.Contains(t, faultAt(t, err, "next_morning"), "yet to come")
	s.now = s.now.Add(24 * time.Hour)
	_, err = s.use.NextMorning(ctx, s.who, 3, 1, mornings)
	require.NoError(t, err)
	require.Equal(t, readiness.Some(0), s.sessions[0].Pain[0].NextMorning)
	require.False(t, s.sessions[0].Pain[1].NextMorning.Known())
	version := s.sessions[0].Version
	r, err := s.use.NextMorning(ctx, s.who, 3, 1, mornings)
	require.NoError(t, err)
	require.True(t, r.Again)
	require.Equal(t, version, s.sessions[0].Version, "said twice is the same as once")
}

func TestTheMorningAfterMeetsACorrection(t *testing.T) {
	s := logged(t, readiness.Pain{Site: "knee", Score: 2})
	s.now = s.now.Add(24 * time.Hour)
	s.interfer = func(f *fake) { f.sessions[0].Note, f.sessions[0].Version = "meanwhile", 2 }
	_, err := s.use.NextMorning(context.Background(), s.who, 3, 1, []entry.Morning{{Site: "knee", Score: readiness.Some(7)}})
	require.NoError(t, err)
	require.Equal(t, "meanwhile", s.sessions[0].Note, "neither is lost")
	require.Equal(t, 7, s.sessions[0].Pain[0].NextMorning.Or(0))
}

func TestTheMorningAfterThatCannotBeTaken(t *testing.T) {
	s := logged(t, readiness.Pain{Site: "knee", Score: 2})
	s.now = s.now.Add(24 * time.Hour)
	_, err := s.use.NextMorning(context.Background(), s.who, 3, 1, []entry.Morning{{Site: "knee", Score: readiness.Some(11)}})
	require.Contains(t, faultAt(t, err, "next_morning"), "0 to 10")
	_, err = s.use.NextMorning(context.Background(), s.who, 3, 1, []entry.Morning{{Site: "hip", Score: readiness.Some(1)}})
	require.Contains(t, faultAt(t, err, "next_morning"), "hip")
}

func TestMineAreTheNewestFirst(t *testing.T) {
	s := newScene(t, lisbon, "2026-04-14 08:00")
	for _, d := range []day.Date{tuesday - 4, tuesday, tuesday - 2} {
		_, err := s.log(whole(d, 420))
		require.NoError(t, err)
	}
	mine, err := s.use.Mine(context.Background(), s.who, 3)
	require.NoError(t, err)
	require.Equal(t, []day.Date{tuesday, tuesday - 2, tuesday - 4}, []day.Date{mine[0].Date, mine[1].Date, mine[2].Date})
	_, err = s.use.Mine(context.Background(), s.who, 4)
	require.Equal(t, fault.NotFound, fault.KindOf(err))
}
