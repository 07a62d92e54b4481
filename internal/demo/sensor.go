package demo

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/simulate"
)

// sensor is what somebody records sessions with, and the heart under it. The heart
// is made to fit what the story tells of the breath.
type sensor struct {
	since int // so many days ago the first session was recorded; 0: none is
	heart simulate.Heart
	with  simulate.Trouble
	steps bool // are written down too
	half  bool // it went flat half-way
	coach bool // the coach adds the recordings
}

// ordinary is a heart that settles in a walk of two minutes and more.
func ordinary(walk, run, down float64) simulate.Heart {
	return simulate.Heart{
		Stand: 84, Walk: walk, Run: run, Up: 32, Down: down,
		Drift: 0.15, Vary: 1.5, Wander: 1, Noise: 1.4, Breath: 0.8,
	}
}

// The sensors of the club.
func strap(since int) sensor { return sensor{since: since, heart: ordinary(108, 156, 42)} }

// strapOfBrisk: walks nearly as hard as she runs, so no walk brings the heart down
// in time.
func strapOfBrisk(since int) sensor { return sensor{since: since, heart: ordinary(139, 154, 95)} }

// strapOfSlow: the walks are slow to bring the heart down.
func strapOfSlow(since int) sensor { return sensor{since: since, heart: ordinary(138, 157, 95)} }

// strapOfUnfit: the breath is said to be back early, and the heart is surely not.
func strapOfUnfit(since int) sensor { return sensor{since: since, heart: ordinary(150, 170, 95)} }

// strapAtMost: half an hour that begins with ease and ends above what age would let
// expect.
func strapAtMost(since int) sensor {
	s := sensor{since: since, heart: ordinary(112, 146, 45)}
	s.heart.Drift = 1.75
	return s
}

// watch takes steps for beats now and then.
func watch(since int) sensor {
	s := strap(since)
	s.with, s.steps = simulate.Wrist|simulate.CadenceLock|simulate.ShiftedStart, true
	return s
}

// flatStrap covers half of a session.
func flatStrap(since int) sensor {
	s := strap(since)
	s.half = true
	return s
}

// record adds what the sensor wrote of a planned session that was just told, and
// takes over what the walks show.
func (l *life) record(ctx context.Context, date day.Date, s *roster.Session, place int) error {
	ago := int(l.today - date)
	if ago > l.sensor.since || s.Kind != readiness.Planned || len(s.Blocks) == 0 {
		return nil
	}
	recording := l.outing(s, ago).Recording
	if l.sensor.half {
		recording.Samples = recording.Samples[:len(recording.Samples)/2]
	}
	who := roster.Actor{Club: l.club.ID, Athlete: l.id}
	if l.sensor.coach {
		who = l.actor()
	}
	l.pulse.Read = func([]byte) (heart.File, error) { return heart.File{Format: "fit", Recording: recording}, nil }
	if _, err := l.pulse.Attach(ctx, who, l.id, s.ID, []byte(l.key("recording", ago)), false, false); err != nil {
		return err
	}
	kept, err := l.Store.Session(ctx, l.club.ID, l.id, s.ID)
	l.sessions[place] = kept.Session
	return err
}

// outing is the session once more, with what the sensor wrote of it.
func (l *life) outing(s *roster.Session, ago int) simulate.Outing {
	o := simulate.OutingOptions{Heart: l.sensor.heart, With: l.sensor.with, Steps: l.sensor.steps, Start: s.StartedAt}
	for _, b := range s.Blocks {
		o.Plan = append(o.Plan, pathway.Block{Kind: b.Kind, Planned: int(b.Planned)})
		o.Done = append(o.Done, int(b.Done))
	}
	return simulate.GoOut(l.seed()<<10+uint64(ago), o)
}

// talks is a talk test on the phone, stage by stage.
func talks(ago int, stages ...intensity.Stage) beat {
	return beat{ago, func(ctx context.Context, l *life, date day.Date) error {
		l.at = l.clock(date, afterWork)
		who := roster.Actor{Club: l.club.ID, Athlete: l.id}
		return l.pulse.TalkTest(ctx, who, l.id, l.nextKey("talk"), stages)
	}}
}

// stages is a talk test that ended where a chat became an effort.
func stages() []intensity.Stage {
	return []intensity.Stage{{Rate: 108, Talk: intensity.Chat}, {Rate: 119, Talk: intensity.Chat}, {Rate: 131, Talk: intensity.Chat}, {Rate: 144, Talk: intensity.Sentence}}
}
