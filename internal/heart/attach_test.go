package heart_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

func TestARecordingIsWrittenIntoItsSession(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	s.measured(t, roster.TalkTested, 130, 1)
	before := s.session(t, 1, nil)
	s.attach(t, before, s.file("morning", before, 168, 104))

	after := s.kept(t, before.ID)
	require.Equal(t, before.Version+1, after.Version)
	for i, b := range after.Blocks {
		valid, known := b.Heart.Valid.Get()
		walkAfterRun := b.Kind == pathway.Walk && i > 0
		require.Equal(t, i > 0, known, "block %d: the first walk follows no run", i)
		if walkAfterRun && i < len(after.Blocks)-1 { // where the last walk ends, a heart rate hardly tells
			require.Greater(t, valid, 160)
			require.Greater(t, 2*b.Heart.Low.Or(0), valid, "surely settled")
		}
		b.Heart = readiness.Heart{}
		require.Equal(t, before.Blocks[i], b, "what was told stays")
	}
	before.Blocks, after.Blocks, before.Version = nil, nil, after.Version
	require.Equal(t, before, after)

	seen, err := s.use.Seen(ctx, s.mine, s.athlete.ID, before.ID)
	require.NoError(t, err)
	require.Len(t, seen.Walks, 6)
	for i, w := range seen.Walks[:5] {
		require.Equal(t, heart.Walk{Block: 2 + 2*i, Breath: heart.HasSettled, Heart: heart.HasSettled, Both: heart.HasSettled}, w)
	}
	require.False(t, seen.Mixed)
	require.True(t, seen.Usable)
	require.False(t, seen.Stale)
	require.Equal(t, "fit", seen.Recording.Format)
	require.Equal(t, intensity.Ceiling{BPM: 130, SD: intensity.TalkTestSD, Source: intensity.FromTalkTest}, seen.Recording.Ceiling)
	require.Equal(t, trace.Rules, seen.Recording.Rules)
	require.Equal(t, s.now, seen.Recording.AddedAt)
	require.InDelta(t, 2100, len(seen.Reading.Rates), 1, "to be drawn")
	require.Empty(t, s.Recorded[0].Reading.Rates, "they are in the recording itself")
	require.Len(t, seen.Reading.Blocks, 13)
}

func TestASessionWithoutARecording(t *testing.T) {
	s := newScene(t)
	one := s.session(t, 1, nil)
	seen, err := s.use.Seen(context.Background(), s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.Nil(t, seen.Recording)
	require.Len(t, seen.Walks, 6)
	require.Equal(t, heart.Walk{Block: 2, Breath: heart.HasSettled, Both: heart.HasSettled}, seen.Walks[0])
}

// The breath was not back, but the heart was calm: both are shown.
func TestBreathAndHeartDisagree(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	s.measured(t, roster.TalkTested, 130, 1)
	late := s.session(t, 1, func(one *roster.Session) { one.Breath = readiness.Late })
	s.attach(t, late, s.file("late", late, 168, 104))
	seen, err := s.use.Seen(ctx, s.coach, s.athlete.ID, late.ID)
	require.NoError(t, err)
	require.True(t, seen.Mixed)
	require.Equal(t, heart.Walk{Block: 2, Breath: heart.HasNotSettled, Heart: heart.HasSettled, Both: heart.HasNotSettled, Mixed: true}, seen.Walks[0])

	fast := s.session(t, 3, nil)
	s.attach(t, fast, s.file("fast", fast, 172, 146))
	seen, err = s.use.Seen(ctx, s.coach, s.athlete.ID, fast.ID)
	require.NoError(t, err)
	require.True(t, seen.Mixed)
	require.Equal(t, heart.Walk{Block: 2, Breath: heart.HasSettled, Heart: heart.HasNotSettled, Both: heart.CannotTell, Mixed: true}, seen.Walks[0])

	s.athlete.HeartUsable = false
	s.Athletes[s.athlete.ID] = s.athlete
	seen, err = s.use.Seen(ctx, s.coach, s.athlete.ID, fast.ID)
	require.NoError(t, err)
	require.False(t, seen.Usable)
	require.False(t, seen.Mixed)
	require.Equal(t, heart.Walk{Block: 2, Breath: heart.HasSettled, Both: heart.HasSettled}, seen.Walks[0])
}

func TestHeatSpoilsHeartRate(t *testing.T) {
	s := newScene(t)
	one := s.session(t, 1, func(one *roster.Session) { one.Hot, one.Breath = true, readiness.Late })
	s.attach(t, one, s.file("hot", one, 168, 104))
	seen, err := s.use.Seen(context.Background(), s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.False(t, seen.Usable)
	require.Equal(t, heart.CannotTell, seen.Walks[0].Heart)
}

func TestFilesThatAreRefused(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	attach := func(body string) error {
		_, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, []byte(body), false, false)
		return err
	}
	err := attach("a letter")
	kind(t, fault.Invalid, err)
	require.Equal(t, []string{"file"}, places(err))
	require.Equal(t, "nothing we know", fault.FieldsOf(err)[0].Message, "as the reader says it")
	silent := trace.Recording{Samples: make([]trace.Sample, 60)}
	s.files["silent"] = heart.File{Format: "gpx", Recording: silent}
	err = attach("silent")
	kind(t, fault.Invalid, err)
	require.Equal(t, []string{"file"}, places(err))
	require.Contains(t, fault.FieldsOf(err)[0].Message, "no heart rate")
	require.Empty(t, s.Recorded)
	require.Equal(t, one, s.kept(t, one.ID))
}

func TestTheSameFileTwice(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	first, second := s.session(t, 3, nil), s.session(t, 1, nil)
	body := s.file("run", first, 168, 104)
	s.attach(t, first, body)
	reads, there := s.reads, s.kept(t, first.ID)
	for _, to := range []roster.SessionID{first.ID, second.ID} {
		done, err := s.use.Attach(ctx, s.coach, s.athlete.ID, to, body, false, false)
		require.NoError(t, err)
		require.Equal(t, heart.Attached{Again: true, At: first.ID}, done)
	}
	require.Equal(t, reads, s.reads, "it need not be read for that")
	require.Len(t, s.Recorded, 1)
	require.Equal(t, there, s.kept(t, first.ID))
}

func TestAnotherRecordingIsAskedAbout(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	s.attach(t, one, s.file("wrist", one, 168, 104))
	strap := s.file("strap", one, 178, 106)
	_, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, strap, false, true)
	kind(t, fault.Conflict, err)
	require.Equal(t, []string{"replace"}, places(err))
	require.NotEmpty(t, fault.MessageOf(err))
	done, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, strap, true, false)
	require.NoError(t, err)
	require.Equal(t, heart.Attached{At: one.ID}, done)
	require.Len(t, s.Recorded, 1)
	seen, err := s.use.Seen(ctx, s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.Greater(t, seen.Reading.Peak, 170, "that of the strap")
}

func TestARecordingOfAnotherDayIsAskedAbout(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	for name, k := range map[string]struct {
		start time.Duration // after the session's
		asked bool
	}{
		"a day and a second late": {24*time.Hour + time.Second, true}, "a day and a second early": {-24*time.Hour - time.Second, true},
		"a day late": {24 * time.Hour, false}, "late that night": {17 * time.Hour, false},
	} {
		one := s.session(t, len(s.Logged)+1, nil)
		body := s.file(name, one, 168, 104)
		f := s.files[name]
		f.Recording.Start = one.StartedAt.Add(k.start)
		s.files[name] = f
		_, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, body, false, false)
		if !k.asked {
			require.NoError(t, err, name)
			continue
		}
		kind(t, fault.Conflict, err, name)
		require.Equal(t, []string{"anyway"}, places(err))
		for _, at := range []time.Time{one.StartedAt, f.Recording.Start} {
			require.Contains(t, fault.MessageOf(err), at.In(s.athlete.Place()).Format("2 January 2006"))
		}
		_, err = s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, body, false, true)
		require.NoError(t, err)
	}
	one := s.session(t, 40, nil)
	body := s.file("undated", one, 168, 104)
	f := s.files["undated"]
	f.Recording.Start = time.Time{}
	s.files["undated"] = f
	s.attach(t, one, body)

	other := s.file("both", one, 168, 104)
	f = s.files["both"]
	f.Recording.Start = one.StartedAt.Add(50 * time.Hour)
	s.files["both"] = f
	_, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, other, false, false)
	kind(t, fault.Conflict, err)
	require.Equal(t, []string{"anyway", "replace"}, places(err), "both are asked at once")
}

// correcting is a store in which somebody corrects the session just before a
// recording comes.
type correcting struct {
	heart.Store
	times   int
	correct func()
}

func (c *correcting) Attach(ctx context.Context, who roster.Actor, r roster.Recording, one roster.Session) (roster.RecordingID, error) {
	if c.times > 0 {
		c.times--
		c.correct()
	}
	return c.Store.Attach(ctx, who, r, one)
}

func TestASessionCorrectedMeanwhile(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	busy := &correcting{Store: s.Store, times: 2, correct: func() {
		now := s.kept(t, one.ID)
		now.Blocks = now.Blocks[:11] // the last run and walk were not done after all
		require.NoError(t, s.Correct(ctx, s.mine, now, 0))
	}}
	s.use.Store = busy
	s.attach(t, one, s.file("run", one, 168, 104))
	kept := s.kept(t, one.ID)
	require.Len(t, kept.Blocks, 11)
	require.True(t, kept.Blocks[10].Heart.Valid.Known())

	busy.times = 99
	_, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, s.file("again", one, 168, 104), true, false)
	kind(t, fault.Conflict, err)
	require.Empty(t, places(err), "nothing to be asked, only to be tried again")
	require.NotEmpty(t, fault.MessageOf(err))
}

// The same file arrives over another connection while it is read.
func TestTheSameFileMeanwhile(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	body := s.file("run", one, 168, 104)
	s.use.Store = &correcting{Store: s.Store, times: 1, correct: func() {
		other := &heart.Service{Store: s.Store, Now: s.use.Now, Read: s.read}
		_, err := other.Attach(ctx, s.mine, s.athlete.ID, one.ID, body, false, false)
		require.NoError(t, err)
	}}
	done, err := s.use.Attach(ctx, s.mine, s.athlete.ID, one.ID, body, false, false)
	require.NoError(t, err)
	require.Equal(t, heart.Attached{Again: true, At: one.ID}, done)
	require.Len(t, s.Recorded, 1)
}

// What a session without blocks was is shown beside its phase's plan; nothing is
// made up in the session itself.
func TestSessionsToldWithoutBlocks(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	for name, k := range map[string]struct {
		change func(*roster.Session)
		blocks int // of the reading
	}{
		"in full":                {func(*roster.Session) {}, 12},
		"shortened":              {func(one *roster.Session) { one.Outcome = readiness.Shortened }, 0},
		"an unknown phase":       {func(one *roster.Session) { one.Phase = "long ago" }, 0},
		"a walk of somebody's":   {func(one *roster.Session) { one.Kind, one.Phase = readiness.Extra, "" }, 0},
		"in full of a half step": {func(one *roster.Session) { one.Phase = "L3-" }, 12},
	} {
		one := s.session(t, len(s.Logged)+1, func(one *roster.Session) {
			one.Blocks, one.Minutes = nil, readiness.Some(30)
			k.change(one)
		})
		s.attach(t, one, s.file(name, one, 168, 104))
		kept := s.kept(t, one.ID)
		require.Empty(t, kept.Blocks, name)
		seen, err := s.use.Seen(ctx, s.mine, s.athlete.ID, one.ID)
		require.NoError(t, err, name)
		require.Len(t, seen.Reading.Blocks, k.blocks, name)
		require.Positive(t, seen.Reading.Peak, name)
		require.Empty(t, seen.Walks, name)
		require.False(t, seen.Stale, name)
	}
}

func TestDetach(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	s.attach(t, one, s.file("run", one, 168, 104))
	require.NoError(t, s.use.Detach(ctx, s.mine, s.athlete.ID, one.ID))
	one.Version = 3
	require.Equal(t, one, s.kept(t, one.ID))
	require.Empty(t, s.Recorded)
	require.NoError(t, s.use.Detach(ctx, s.mine, s.athlete.ID, one.ID), "pressed twice")
	kind(t, fault.NotFound, s.use.Detach(ctx, s.mine, s.athlete.ID, 999))
}

// Not yours is not found, whoever asks.
func TestWhoMay(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	one := s.session(t, 1, nil)
	s.attach(t, one, s.file("run", one, 168, 104))
	hill, lee := s.Begin("Hill", "lee@example.org", "")
	id, on := s.athlete.ID, one.Date
	reading, changing := len(s.Audit), len(s.Logged)
	for name, act := range map[string]func(who roster.Actor) error{
		"attach": func(who roster.Actor) error {
			_, err := s.use.Attach(ctx, who, id, one.ID, s.file("new", one, 160, 100), true, true)
			return err
		},
		"seen":      func(who roster.Actor) error { _, err := s.use.Seen(ctx, who, id, one.ID); return err },
		"pulse":     func(who roster.Actor) error { _, err := s.use.Pulse(ctx, who, id); return err },
		"anew":      func(who roster.Actor) error { return s.use.ReadAnew(ctx, who, id, one.ID) },
		"detach":    func(who roster.Actor) error { return s.use.Detach(ctx, who, id, one.ID) },
		"talk test": func(who roster.Actor) error { return s.use.TalkTest(ctx, who, id, s.key(), test()) },
		"measure": func(who roster.Actor) error {
			return s.use.Measure(ctx, who, id, s.key(), roster.RestMeasured, 60, on)
		},
		"take back": func(who roster.Actor) error { return s.use.TakeBack(ctx, who, id, 1) },
		"take":      func(who roster.Actor) error { return s.use.TakeOffer(ctx, who, id, s.key(), s.Recorded[0].ID) },
		"pass over": func(who roster.Actor) error { return s.use.PassOver(ctx, who, id, s.Recorded[0].ID) },
		"formula":   func(who roster.Actor) error { return s.use.SetFormula(ctx, who, id, "fox") },
	} {
		for whom, who := range map[string]roster.Actor{
			"nobody": {}, "another athlete": {Club: s.club.ID, Athlete: s.other.ID},
			"another club's coach": {Club: hill.ID, Coach: lee.ID}, "the same number elsewhere": {Club: hill.ID, Athlete: id},
		} {
			kind(t, fault.NotFound, act(who), name, whom)
		}
		s.Down = errors.New("away")
		kind(t, fault.Unavailable, act(s.coach), name, "without a database")
		s.Down = nil
	}
	for name, act := range map[string]func(who roster.Actor) error{
		"a maximum": func(who roster.Actor) error {
			return s.use.Measure(ctx, who, id, s.key(), roster.MaxMeasured, 180, on)
		},
		"take":      func(who roster.Actor) error { return s.use.TakeOffer(ctx, who, id, s.key(), s.Recorded[0].ID) },
		"pass over": func(who roster.Actor) error { return s.use.PassOver(ctx, who, id, s.Recorded[0].ID) },
		"formula":   func(who roster.Actor) error { return s.use.SetFormula(ctx, who, id, "fox") },
	} {
		kind(t, fault.Forbidden, act(s.mine), name)
	}
	require.Equal(t, []int{reading, changing}, []int{len(s.Audit), len(s.Logged)}, "nothing was changed")
}

// A guided session's marks find its blocks also where one was skipped.
func TestMarksFindTheBlocks(t *testing.T) {
	s := newScene(t)
	s.measured(t, roster.TalkTested, 132, day.On(2026, 4, 1))
	one := s.session(t, 1, func(one *roster.Session) {
		one.Outcome = readiness.NotStated
		one.Blocks[4].Done = 0 // the walk after the second run
		one.Blocks[6].Done = 0
	})
	var walked []pathway.Block
	marks := []int32{40} // the strap was on before the session began
	for i, b := range plan() {
		if i == 4 || i == 6 {
			b.Planned = 0
		}
		walked = append(walked, b)
		marks = append(marks, marks[i]+int32(b.Planned))
	}
	r := beats(append([]pathway.Block{{Kind: pathway.Walk, Planned: 40}}, walked...), 160, 105)
	r.Start, r.Marks = one.StartedAt, marks
	s.files["guided"] = heart.File{Format: "strap", Recording: r}
	s.attach(t, one, []byte("guided"))
	kept, err := s.Recording(context.Background(), s.club.ID, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.Equal(t, "strap", kept.Format)
	require.Equal(t, trace.ByMarks, kept.Reading.By)
	require.Len(t, kept.Reading.Blocks, 11)
	require.Equal(t, 40, kept.Reading.Blocks[0].Start)
	require.Equal(t, int(marks[5]), kept.Reading.Blocks[4].Start)
	shown := s.kept(t, one.ID)
	require.Zero(t, shown.Blocks[4].Heart, "what was skipped shows nothing")
	require.True(t, shown.Blocks[8].Heart.Valid.Known())

	require.NoError(t, s.use.ReadAnew(context.Background(), s.mine, s.athlete.ID, one.ID))
	kept, err = s.Recording(context.Background(), s.club.ID, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.Equal(t, trace.ByMarks, kept.Reading.By, "the marks are kept with the recording")
}
