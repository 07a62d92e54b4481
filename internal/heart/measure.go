package heart

import (
	"context"
	"fmt"
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/roster"
)

// Bounds of what is taken in, in beats a minute as in the rule book's documents.
const (
	lowestRest, highestRest = 30, 120
	lowestMax, highestMax   = 100, 230
	lowestTalk, highestTalk = 60, 220
	mostStages              = 20
	measuredBack            = 3653 // days back a measurement may lie: ten years (ours)
)

// TalkTest keeps a guided talk test of today: its last comfortable stage sets the
// easy ceiling from today on. A test without one is fault.Invalid at stages; other
// faults stand at stages[i].rate and stages[i].talk. A stage without a heart rate is
// taken, as long as it is not the one that counts.
func (s *Service) TalkTest(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, stages []intensity.Stage) error {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return err
	}
	if err := here(&a); err != nil {
		return err
	}
	rate, faults := comfortable(stages)
	if err := fault.At(append(checkKey(key), faults...)...); err != nil {
		return err
	}
	now := s.Now()
	_, err = s.Store.Measure(ctx, who, roster.Measurement{
		Athlete: athlete, Key: key, On: a.Today(now), Kind: roster.TalkTested, BPM: rate, Stages: slices.Clone(stages), At: now, ByCoach: who.Coach,
	})
	return err
}

// comfortable is the heart rate of the last comfortable stage, or what is wrong
// with the test.
func comfortable(stages []intensity.Stage) (intensity.BPM, []fault.Field) {
	var faults []fault.Field
	note := func(place, message string) { faults = append(faults, fault.Field{Place: place, Message: message}) }
	if len(stages) > mostStages {
		note("stages", fmt.Sprintf("a talk test has at most %d stages, not %d", mostStages, len(stages)))
		return 0, faults
	}
	for i, stage := range stages {
		if m := between(int(stage.Rate), lowestTalk, highestTalk, "a heart rate"); m != "" && stage.Rate != 0 {
			note(fmt.Sprintf("stages[%d].rate", i), m)
		}
		if stage.Talk < intensity.Chat || stage.Talk > intensity.Words {
			note(fmt.Sprintf("stages[%d].talk", i), "please choose how talking went")
		}
	}
	if len(faults) > 0 {
		return 0, faults
	}
	rate, ok := intensity.LastComfortable(stages)
	if !ok {
		note("stages", unfinished(stages))
	}
	return rate, faults
}

// unfinished says why a test has no last comfortable stage.
func unfinished(stages []intensity.Stage) string {
	switch {
	case len(stages) == 0:
		return "the test has no stage yet"
	case stages[0].Talk != intensity.Chat:
		return "talking was not comfortable at the first stage already; another day, begin more gently"
	case stages[len(stages)-1].Talk == intensity.Chat:
		return "talking was comfortable to the end; the test goes on until it no longer is"
	}
	return "the last comfortable stage has no heart rate"
}

// Measure keeps a resting rate or a measured maximum (kind, bpm and on are the
// places of faults). A maximum is for coaches only.
func (s *Service) Measure(ctx context.Context, who roster.Actor, athlete roster.AthleteID, key roster.Key, kind roster.MeasurementKind, bpm int, on day.Date) error {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return err
	}
	if err := here(&a); err != nil {
		return err
	}
	if kind == roster.MaxMeasured && who.Coach == 0 {
		return fault.New(fault.Forbidden, "A measured maximum is noted by a coach.")
	}
	now := s.Now()
	faults := append(checkKey(key), checkMeasured(kind, bpm, on, a.Today(now))...)
	if err := fault.At(faults...); err != nil {
		return err
	}
	_, err = s.Store.Measure(ctx, who, roster.Measurement{
		Athlete: athlete, Key: key, On: on, Kind: kind, BPM: intensity.BPM(bpm), At: now, ByCoach: who.Coach,
	})
	return err
}

func checkMeasured(kind roster.MeasurementKind, bpm int, on, today day.Date) []fault.Field {
	var faults []fault.Field
	note := func(place, message string) {
		if message != "" {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	switch kind {
	case roster.RestMeasured:
		note("bpm", between(bpm, lowestRest, highestRest, "a resting heart rate"))
	case roster.MaxMeasured:
		note("bpm", between(bpm, lowestMax, highestMax, "a maximum heart rate"))
	default:
		note("kind", "please choose what was measured")
	}
	switch {
	case on == 0:
		note("on", "please give the day")
	case on > today:
		note("on", "this day is still to come")
	case on < today-measuredBack:
		note("on", "please give a day of the last ten years")
	}
	return faults
}

// TakeBack removes a measurement that was a mistake. Sessions keep the ceiling they
// were judged with. What a coach measured only a coach takes back.
func (s *Service) TakeBack(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.MeasurementID) error {
	if _, err := s.athlete(ctx, who, athlete); err != nil {
		return err
	}
	measured, err := s.Store.Measurements(ctx, who.Club, athlete)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(measured, func(m roster.Measurement) bool { return m.ID == id })
	if i < 0 {
		return fault.New(fault.NotFound, "")
	}
	if measured[i].ByCoach != 0 && who.Coach == 0 {
		return fault.New(fault.Forbidden, "What a coach measured a coach takes back.")
	}
	return s.Store.Unmeasure(ctx, who, athlete, id)
}
