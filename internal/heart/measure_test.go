package heart_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

func test() []intensity.Stage {
	return []intensity.Stage{{Rate: 108, Talk: intensity.Chat}, {Rate: 131, Talk: intensity.Chat}, {Rate: 144, Talk: intensity.Sentence}}
}

func TestATalkTestSetsTheCeilingFromTodayOn(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	s.now = time.Date(2026, 4, 14, 23, 30, 0, 0, time.UTC) // half past midnight in Lisbon
	today := day.On(2026, 4, 15)
	key := s.key()
	for range 2 {
		require.NoError(t, s.use.TalkTest(ctx, s.mine, s.athlete.ID, key, test()))
	}
	pulse, err := s.use.Pulse(ctx, s.mine, s.athlete.ID)
	require.NoError(t, err)
	require.Equal(t, today, pulse.Today)
	require.Len(t, pulse.Measurements, 1, "sent twice, kept once")
	kept := pulse.Measurements[0]
	require.Equal(t, roster.Measurement{
		ID: kept.ID, Athlete: s.athlete.ID, Key: key, On: today, Kind: roster.TalkTested, BPM: 131, Stages: test(), At: s.now,
	}, kept)
	talk := intensity.Ceiling{BPM: 131, SD: intensity.TalkTestSD, Source: intensity.FromTalkTest}
	require.Equal(t, talk, pulse.Easy)
	predicted := intensity.Ceiling{BPM: 140, SD: 8208, Source: intensity.FromPredicted} // 76 % of 211 − 0.64·41 is 140.4
	require.Equal(t, intensity.History{{From: s.athlete.JoinedOn, Ceiling: predicted}, {From: today, Ceiling: talk}}, pulse.History)
	require.Equal(t, intensity.Ceiling{BPM: 158, SD: 9288, Source: intensity.FromPredicted}, pulse.Hard) // 86 % is 158.9
}

func TestTalkTestsThatCannotBeTaken(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	long := make([]intensity.Stage, 21)
	for _, k := range []struct {
		why    string
		stages []intensity.Stage
		at     []string
	}{
		{"no stage", nil, []string{"stages"}},
		{"never comfortable", test()[2:], []string{"stages"}},
		{"comfortable to the end", test()[:2], []string{"stages"}},
		{"no heart rate where it counts", []intensity.Stage{{Rate: 108, Talk: intensity.Chat}, {Talk: intensity.Chat}, {Rate: 144, Talk: intensity.Words}}, []string{"stages"}},
		{"more stages than anybody walks", long, []string{"stages"}},
		{"a rate nobody has", []intensity.Stage{{Rate: 59, Talk: intensity.Chat}, {Rate: 221, Talk: intensity.Words}}, []string{"stages[0].rate", "stages[1].rate"}},
		{"an answer left out", []intensity.Stage{{Rate: 100, Talk: intensity.Chat}, {Rate: 120}}, []string{"stages[1].talk"}},
		{"an answer nobody has", []intensity.Stage{{Rate: 100, Talk: intensity.Words + 1}}, []string{"stages[0].talk"}},
	} {
		err := s.use.TalkTest(ctx, s.mine, s.athlete.ID, s.key(), k.stages)
		kind(t, fault.Invalid, err, k.why)
		require.Equal(t, k.at, places(err), k.why)
	}
	err := s.use.TalkTest(ctx, s.mine, s.athlete.ID, "short", test())
	require.Equal(t, []string{"key"}, places(err))
	require.Empty(t, s.Measured)
	last := append(test()[:2:2], intensity.Stage{Talk: intensity.Words})
	require.NoError(t, s.use.TalkTest(ctx, s.coach, s.athlete.ID, s.key(), last), "out of breath at the end, the strap slipped: nothing is lost")
	require.Equal(t, s.coach.Coach, s.Measured[0].ByCoach)
}

func TestMeasure(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	today := day.On(2026, 4, 14)
	for _, k := range []struct {
		why  string
		kind roster.MeasurementKind
		bpm  int
		on   day.Date
		at   []string
	}{
		{"a resting rate below any", roster.RestMeasured, 29, today, []string{"bpm"}},
		{"a resting rate above any", roster.RestMeasured, 121, today, []string{"bpm"}},
		{"a maximum below any", roster.MaxMeasured, 99, today, []string{"bpm"}},
		{"a maximum above any", roster.MaxMeasured, 231, today, []string{"bpm"}},
		{"a talk test has stages", roster.TalkTested, 120, today, []string{"kind"}},
		{"what a recording shows is offered", roster.MaxObserved, 180, today, []string{"kind"}},
		{"tomorrow", roster.RestMeasured, 60, today + 1, []string{"on"}},
		{"no day", roster.RestMeasured, 60, 0, []string{"on"}},
		{"eleven years ago", roster.RestMeasured, 60, today - 4018, []string{"on"}},
		{"all at once", roster.RestMeasured, 0, 0, []string{"bpm", "on"}},
	} {
		err := s.use.Measure(ctx, s.coach, s.athlete.ID, s.key(), k.kind, k.bpm, k.on)
		kind(t, fault.Invalid, err, k.why)
		require.Equal(t, k.at, places(err), k.why)
	}
	kind(t, fault.Invalid, s.use.Measure(ctx, s.coach, s.athlete.ID, "", roster.RestMeasured, 60, today))
	require.Empty(t, s.Measured)
	for _, bpm := range []int{30, 120} {
		require.NoError(t, s.use.Measure(ctx, s.mine, s.athlete.ID, s.key(), roster.RestMeasured, bpm, today))
	}
	for _, bpm := range []int{100, 230} {
		require.NoError(t, s.use.Measure(ctx, s.coach, s.athlete.ID, s.key(), roster.MaxMeasured, bpm, today-3653))
	}
	pulse, err := s.use.Pulse(ctx, s.coach, s.athlete.ID)
	require.NoError(t, err)
	require.Equal(t, []intensity.BPM{120, 30, 230, 100}, []intensity.BPM{
		pulse.Measurements[0].BPM, pulse.Measurements[1].BPM, pulse.Measurements[2].BPM, pulse.Measurements[3].BPM,
	}, "the newest first")
}

func TestTakeBack(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	today := day.On(2026, 4, 14)
	require.NoError(t, s.use.Measure(ctx, s.mine, s.athlete.ID, s.key(), roster.RestMeasured, 61, today))
	require.NoError(t, s.use.Measure(ctx, s.coach, s.athlete.ID, s.key(), roster.RestMeasured, 62, today))
	own, theirs := s.Measured[0].ID, s.Measured[1].ID
	kind(t, fault.Forbidden, s.use.TakeBack(ctx, s.mine, s.athlete.ID, theirs))
	require.NoError(t, s.use.TakeBack(ctx, s.mine, s.athlete.ID, own))
	kind(t, fault.NotFound, s.use.TakeBack(ctx, s.mine, s.athlete.ID, own))
	kind(t, fault.NotFound, s.use.TakeBack(ctx, s.coach, s.other.ID, theirs), "of another athlete")
	require.NoError(t, s.use.TakeBack(ctx, s.coach, s.athlete.ID, theirs))
	require.Empty(t, s.Measured)
}

func TestSetFormula(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	err := s.use.SetFormula(ctx, s.coach, s.athlete.ID, "guess")
	require.Equal(t, []string{"formula"}, places(err))
	require.NoError(t, s.use.SetFormula(ctx, s.coach, s.athlete.ID, "tanaka"))
	pulse, err := s.use.Pulse(ctx, s.mine, s.athlete.ID)
	require.NoError(t, err)
	require.Equal(t, intensity.Ceiling{BPM: 136, SD: 8208, Source: intensity.FromPredicted, Formula: intensity.Tanaka}, pulse.Easy) // 76 % of 179.3
}

// Each session is judged by what was known on its date, and keeps that.
func TestTheCeilingOfTheDay(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	today := day.On(2026, 4, 14)
	s.athlete.JoinedOn = day.On(2025, 12, 20)
	s.Athletes[s.athlete.ID] = s.athlete
	s.measured(t, roster.MaxMeasured, 190, today-30)
	s.measured(t, roster.RestMeasured, 60, today-20)
	s.measured(t, roster.TalkTested, 128, today-10)
	s.measured(t, roster.MaxObserved, 192, today-5)
	for _, k := range []struct {
		why    string
		ago    int
		bpm    intensity.BPM
		source intensity.Source
	}{
		{"76 % of 211 − 0.64·40: the year before", 104, 140, intensity.FromPredicted},
		{"76 % of 211 − 0.64·41", 31, 140, intensity.FromPredicted},
		{"76 % of 190, from its date on", 30, 144, intensity.FromMeasured},
		{"60 % of the reserve", 20, 138, intensity.FromReserve},
		{"the day before the talk test", 11, 138, intensity.FromReserve},
		{"the talk test", 10, 128, intensity.FromTalkTest},
		{"a higher maximum changes nothing of it", 5, 128, intensity.FromTalkTest},
	} {
		one := s.session(t, k.ago, nil)
		s.attach(t, one, s.file(k.why, one, 168, 104))
		seen, err := s.use.Seen(ctx, s.mine, s.athlete.ID, one.ID)
		require.NoError(t, err)
		require.Equal(t, k.bpm, seen.Recording.Ceiling.BPM, k.why)
		require.Equal(t, k.source, seen.Recording.Ceiling.Source, k.why)
		require.False(t, seen.Stale, k.why)
	}
	pulse, err := s.use.Pulse(ctx, s.coach, s.athlete.ID)
	require.NoError(t, err)
	var history []intensity.BPM
	for _, d := range pulse.History {
		history = append(history, d.BPM)
	}
	require.Equal(t, []intensity.BPM{140, 144, 138, 128}, history, "the years' 140.9 and 140.4 are one ceiling")
	require.Equal(t, intensity.OfReserve(intensity.HardOfReserve, 60_000, 192_000).Floor(), pulse.Hard.BPM, "the observed one counts as measured")
}

func TestNoCeilingNoFigures(t *testing.T) {
	ctx, s := context.Background(), newScene(t)
	s.athlete.BirthYear = 0
	s.Athletes[s.athlete.ID] = s.athlete
	one := s.session(t, 1, nil)
	s.attach(t, one, s.file("run", one, 168, 104))
	one.Version++
	require.Equal(t, one, s.kept(t, one.ID), "nothing to hold it against")
	pulse, err := s.use.Pulse(ctx, s.coach, s.athlete.ID)
	require.NoError(t, err)
	require.Zero(t, pulse.Easy)
	require.Zero(t, pulse.Hard)
	require.Empty(t, pulse.History)
	require.Empty(t, pulse.Offers, "nothing was thought that it could exceed")

	s.measured(t, roster.TalkTested, 130, one.Date)
	seen, err := s.use.Seen(ctx, s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.True(t, seen.Stale, "now there would be one")
	require.Equal(t, heart.CannotTell, seen.Walks[0].Heart, "but nothing is read anew by itself")
	require.NoError(t, s.use.ReadAnew(ctx, s.mine, s.athlete.ID, one.ID))
	seen, err = s.use.Seen(ctx, s.mine, s.athlete.ID, one.ID)
	require.NoError(t, err)
	require.False(t, seen.Stale)
	require.Equal(t, heart.HasSettled, seen.Walks[0].Heart)
	require.False(t, s.kept(t, one.ID).Blocks[1].Heart.Valid.Known(), "a talk test says nothing of the runs")
}
