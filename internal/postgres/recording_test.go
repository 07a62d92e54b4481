package postgres

import (
	"crypto/sha256"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// recording is one of the athlete that nobody attached before.
func (b *bench) recording(a roster.Athlete) roster.Recording {
	return roster.Recording{
		Athlete: a.ID, Digest: sha256.Sum256([]byte(b.key())), Format: "fit", Started: noon.Add(-5 * time.Hour), Body: []byte("packed"),
		Reading: trace.Reading{
			Seconds: 1800, Samples: 1790, Coverage: 0.975, Offset: -4, By: trace.ByHeart, Warnings: []string{"It began late."}, Peak: 171,
			Artefacts: []trace.Artefact{{From: 410, To: 455, Kind: trace.CadenceLock}},
			Blocks: []trace.Block{
				{Kind: pathway.Run, Planned: 120, Start: -4, End: 116, Valid: 110, Settle: trace.None, Drop: trace.None, HardValid: 56, Hard: 10, HardLow: 12, HardHigh: 8},
				{Kind: pathway.Walk, Planned: 180, Start: 116, End: 296, Valid: 178, Easy: 120, EasyLow: 100, EasyHigh: 140, Settle: 55, Drop: 31, State: trace.Settled},
			},
		},
		Ceiling: intensity.Ceiling{BPM: 140, SD: 8208, Source: intensity.FromPredicted, Formula: intensity.Tanaka},
		Hard:    intensity.Ceiling{BPM: 158, SD: 9288, Source: intensity.FromPredicted},
		Rules:   1, ReadAt: noon, AddedAt: noon.Add(-time.Hour),
	}
}

// shown is the session with something shown of its first run and walk.
func shown(s roster.Session, valid int) roster.Session {
	s.Blocks = append([]readiness.Block(nil), s.Blocks...)
	s.Blocks[0].Heart = readiness.Heart{Valid: known(valid), Seconds: known(10), Low: known(12), High: known(8)}
	s.Blocks[1].Heart = readiness.Heart{Valid: known(valid), Seconds: known(40), Low: known(30), High: known(45)}
	return s
}

// attach attaches a recording and gives it as it is kept, with the session.
func (b *bench) attach(t *testing.T, c club, r roster.Recording, s roster.Session) (roster.Recording, roster.Session) {
	t.Helper()
	id, err := b.Attach(t.Context(), c.Actor, r, s)
	require.NoError(t, err)
	r.ID, r.Athlete, r.Session, r.On = id, s.Athlete, s.ID, s.Date
	s.Version++
	return r, s
}

func TestARecordingComesBackAsItWent(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	_, err := b.Recording(t.Context(), c.ID, a.ID, 1)
	kind(t, fault.NotFound, err)

	r := b.recording(a)
	r.ByCoach = c.Coach
	r, s := b.attach(t, c, r, shown(b.log(t, c, b.session(a, 1)), 50))
	kept, err := b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, r, kept)
	session, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, s, session, "the figures are in its blocks, and its version counted up")

	bare := roster.Recording{Athlete: a.ID, Digest: sha256.Sum256([]byte("bare")), Format: "csv", Body: []byte{1}, ReadAt: noon, AddedAt: noon}
	bare, old := b.attach(t, c, bare, b.log(t, c, b.session(a, 3)))
	all, err := b.Recordings(t.Context(), c.ID, a.ID)
	require.NoError(t, err)
	r.Body, bare.Body = nil, nil
	require.Equal(t, []roster.Recording{r, bare}, all, "the newest session first")

	bo := b.athlete(t, c, "Bo")
	_, err = b.Recording(t.Context(), c.ID, bo.ID, old.ID)
	kind(t, fault.NotFound, err, "of another athlete")
	all, err = b.Recordings(t.Context(), c.ID, bo.ID)
	require.NoError(t, err)
	require.Empty(t, all)
}

func drawReading(t *rapid.T) trace.Reading {
	number := func(name string) int { return rapid.IntRange(-1, 43200).Draw(t, name) }
	r := trace.Reading{
		Seconds: number("seconds"), Samples: number("samples"), Coverage: rapid.Float64Range(0, 1).Draw(t, "coverage"), Offset: number("offset"),
		By: rapid.SampledFrom([]trace.Alignment{"", trace.ByMarks, trace.ByPlan}).Draw(t, "by"), Peak: rapid.IntRange(0, 250).Draw(t, "peak"),
	}
	for range rapid.IntRange(0, 3).Draw(t, "warnings") {
		r.Warnings = append(r.Warnings, rapid.StringMatching(`[\p{L} <>&"']{0,30}`).Draw(t, "warning"))
	}
	for range rapid.IntRange(0, 4).Draw(t, "artefacts") {
		r.Artefacts = append(r.Artefacts, trace.Artefact{From: number("from"), To: number("to"), Kind: trace.Gap})
	}
	for range rapid.IntRange(0, 4).Draw(t, "blocks") {
		r.Blocks = append(r.Blocks, trace.Block{
			Kind: pathway.Kind(rapid.IntRange(0, 1).Draw(t, "kind")), Planned: number("planned"), Start: number("start"), End: number("end"),
			Valid: number("valid"), Easy: number("easy"), EasyLow: number("low"), EasyHigh: number("high"), Settle: number("settle"), Drop: number("drop"),
			State:  rapid.SampledFrom([]trace.State{trace.NoState, trace.Settled, trace.NotAssessable}).Draw(t, "state"),
			Reason: rapid.SampledFrom([]trace.Reason{trace.NoReason, trace.Unclear}).Draw(t, "reason"),
			Hard:   number("hard"), HardLow: number("hard low"), HardHigh: number("hard high"), HardValid: number("hard valid"),
		})
	}
	return r
}

func TestAnyReadingComesBackAsItWent(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	r, s := b.attach(t, c, b.recording(a), b.log(t, c, b.session(a, 1)))
	rapid.Check(t, func(rt *rapid.T) {
		r.Reading = drawReading(rt)
		_, err := b.Attach(t.Context(), c.Actor, r, s)
		require.NoError(rt, err)
		s.Version++
		kept, err := b.Recording(t.Context(), c.ID, a.ID, s.ID)
		require.NoError(rt, err)
		require.Equal(rt, r, kept)
	})
}

func TestAnotherRecordingTakesThePlace(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	first, s := b.attach(t, c, b.recording(a), shown(b.log(t, c, b.session(a, 1)), 50))
	second, s := b.attach(t, c, b.recording(a), shown(s, 60))
	require.NotEqual(t, first.ID, second.ID)
	kept, err := b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, second, kept)
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from recording"))
	require.Equal(t, []string{"recording.attach", "recording.remove", "recording.attach"},
		value[[]string](t, b, "select array_agg(change::text order by audit_id) from audit where change like 'recording.%'"))

	first, err = b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	first.Reading.Peak, first.Rules, first.ReadAt, first.Hard = 160, 2, noon.Add(time.Hour), intensity.Ceiling{}
	again, s := b.attach(t, c, first, shown(s, 70))
	kept, err = b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, again, kept)
	require.Equal(t, second.ID, kept.ID, "read anew it is the same recording")
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'recording.read'"))

	again.ID = 999
	_, err = b.Attach(t.Context(), c.Actor, again, s)
	kind(t, fault.NotFound, err, "it was taken away meanwhile")
	kept, err = b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, second.ID, kept.ID)
}

func TestDetach(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	plain := b.log(t, c, b.session(a, 1))
	kind(t, fault.NotFound, b.Detach(t.Context(), c.Actor, a.ID, plain), "there is none")
	_, s := b.attach(t, c, b.recording(a), shown(plain, 50))
	old := s
	old.Version--
	kind(t, fault.Conflict, b.Detach(t.Context(), c.Actor, a.ID, old))
	bo := b.athlete(t, c, "Bo")
	kind(t, fault.Conflict, b.Detach(t.Context(), c.Actor, bo.ID, s), "not Bo's session")
	require.NoError(t, b.Detach(t.Context(), c.Actor, a.ID, s))
	kept, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	plain.Version = 3
	require.Equal(t, plain, kept, "as it was before, the taps too")
	_, err = b.Recording(t.Context(), c.ID, a.ID, s.ID)
	kind(t, fault.NotFound, err)
}

func TestADeletedSessionTakesItsRecordingAlong(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	_, s := b.attach(t, c, b.recording(a), b.log(t, c, b.session(a, 1)))
	require.NoError(t, b.Delete(t.Context(), c.Actor, a.ID, s.ID, s.Version))
	require.Zero(t, value[int](t, b, "select count(*)::int from recording"))
}

// A file belongs to one session of an athlete. What fails leaves nothing.
func TestTheSameFileElsewhereIsAConflict(t *testing.T) {
	t.Parallel()
	b := open(t)
	c, other := b.club(t, "Harbour"), b.club(t, "Hill")
	a, bo, cleo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo"), b.athlete(t, other, "Cleo")
	r, _ := b.attach(t, c, b.recording(a), b.log(t, c, b.session(a, 1)))
	r.ID = 0
	free := b.log(t, c, b.session(a, 3))
	_, err := b.Attach(t.Context(), c.Actor, r, shown(free, 50))
	kind(t, fault.Conflict, err)
	kept, err := b.Session(t.Context(), c.ID, a.ID, free.ID)
	require.NoError(t, err)
	require.Equal(t, free, kept, "nothing of it stands in the session")
	_, err = b.Attach(t.Context(), c.Actor, r, b.log(t, c, b.session(bo, 1)))
	require.NoError(t, err, "two who ran together may send one file")
	_, err = b.Attach(t.Context(), other.Actor, r, b.log(t, other, b.session(cleo, 1)))
	require.NoError(t, err)
	_, err = b.Attach(t.Context(), other.Actor, b.recording(a), free)
	kind(t, fault.Conflict, err, "another club's session is not there")
}

func TestARecordingIsAttachedWhollyOrNotAtAll(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	first, s := b.attach(t, c, b.recording(a), shown(b.log(t, c, b.session(a, 1)), 50))
	_, err := b.admin.Exec(t.Context(), "alter table audit add constraint full_disk check (change <> 'recording.attach') not valid")
	require.NoError(t, err)
	_, err = b.Attach(t.Context(), c.Actor, b.recording(a), shown(s, 60))
	require.Error(t, err)
	kept, err := b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, first, kept)
	session, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.Equal(t, s, session)
}

// While a session is corrected from one phone, a recording of it comes from
// another: one of them is told to look again, and neither overwrites the other.
func TestARecordingAndACorrectionAtOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	for ago := range 20 {
		s := b.log(t, c, b.session(a, ago+1))
		var attached, corrected error
		var begin, done sync.WaitGroup
		begin.Add(1)
		done.Go(func() {
			begin.Wait()
			_, attached = b.Attach(t.Context(), c.Actor, b.recording(a), shown(s, 50))
		})
		done.Go(func() {
			begin.Wait()
			other := s
			other.Note, other.ChangedAt = "corrected", noon
			corrected = b.Correct(t.Context(), c.Actor, other, 0)
		})
		begin.Done()
		done.Wait()
		require.NotEqual(t, attached == nil, corrected == nil, "%v, %v", attached, corrected)
		kept, err := b.Session(t.Context(), c.ID, a.ID, s.ID)
		require.NoError(t, err)
		require.Equal(t, 2, kept.Version)
		require.Equal(t, attached == nil, kept.Blocks[1].Heart.Valid.Known())
		require.Equal(t, corrected == nil, kept.Note != "")
		_, err = b.Recording(t.Context(), c.ID, a.ID, s.ID)
		require.Equal(t, attached == nil, err == nil)
		for _, failed := range []error{attached, corrected} {
			if failed != nil {
				kind(t, fault.Conflict, failed)
			}
		}
	}
}

func TestTheSameFileFromManyPhonesIsThereOnce(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a := b.athlete(t, c, "Ana")
	r, s := b.recording(a), b.log(t, c, b.session(a, 1))
	require.Equal(t, map[fault.Kind]int{fault.Unknown: 1, fault.Conflict: 15}, atOnce(t, 16, func() error {
		_, err := b.Attach(t.Context(), c.Actor, r, shown(s, 50))
		return err
	}))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from recording"))
	require.Equal(t, 1, value[int](t, b, "select count(*)::int from audit where change = 'recording.attach'"))
}

func TestAPeakIsPassedOver(t *testing.T) {
	t.Parallel()
	b := open(t)
	c := b.club(t, "Harbour")
	a, bo := b.athlete(t, c, "Ana"), b.athlete(t, c, "Bo")
	r, s := b.attach(t, c, b.recording(a), b.log(t, c, b.session(a, 1)))
	kind(t, fault.NotFound, b.PassOver(t.Context(), c.Actor, bo.ID, r.ID))
	require.NoError(t, b.PassOver(t.Context(), c.Actor, a.ID, r.ID))
	require.NoError(t, b.PassOver(t.Context(), c.Actor, a.ID, r.ID))
	kept, err := b.Recording(t.Context(), c.ID, a.ID, s.ID)
	require.NoError(t, err)
	require.True(t, kept.PassedBy)
	again, _ := b.attach(t, c, kept, s)
	require.True(t, again.PassedBy, "reading it anew does not offer it again")
}
