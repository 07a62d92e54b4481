package simulate

import (
	"math"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Time constants in seconds. In sedentary male students heart rate came down in
// active recovery with one of 90.6 s (SD 30.4; Barak 2011, J Sports Sci Med
// 10:369–375), from 144 towards 96 beats a minute. The narrower bounds, the onset
// and how much training shortens it are ours.
const (
	untrainedTau = 90.6
	shortestTau  = 60.0
	longestTau   = 120.0
	onsetTau     = 40.0
	trainedShare = 0.7 // of the untrained constant that is left at fitness 1
)

// Levels are in beats a minute above those of steady walking. A run asks an
// untrained body for runAsks, a fit one for a share less; a long run drifts up.
const (
	runAsks   = 62.0
	fitterBy  = 0.45
	driftAsks = 0.8 // for each minute of a run
)

// Fitness grows by a share of what is missing with each session and is lost over
// forgetting days once more than rested days have gone by.
const (
	rested     = 3.0
	forgetting = 60.0 // after four weeks off most of what was gained last has gone
)

// body is what the breath depends on.
type body struct {
	fitness float64
	tau     float64 // seconds, untrained
	gain    float64 // share of what is missing to 1 that a full session gains
	comfort float64 // level under which chatting is easy again
}

// asks is the level that a run tends towards, with the pace by which it is more
// than easy.
func (b *body) asks(pace float64) float64 { return runAsks * (1 + pace) * (1 - fitterBy*b.fitness) }

// recovery is the time constant of a walk after a run, in seconds.
func (b *body) recovery() float64 { return b.tau * (1 - (1-trainedShare)*b.fitness) }

// run is the level after so many seconds of running, and for how many of them
// the breath was above comfort.
func (b *body) run(level, pace, seconds float64) (after, unsettled float64) {
	asked := b.asks(pace)
	after = asked - (asked-level)*math.Exp(-seconds/onsetTau) + driftAsks*(1-0.6*b.fitness)*seconds/60
	switch {
	case level >= b.comfort:
		return after, seconds
	case asked <= b.comfort:
		return after, 0
	}
	settledFor := onsetTau * math.Log((asked-level)/(asked-b.comfort))
	return after, max(0, seconds-settledFor)
}

// settle is how many seconds of walking bring the level back under comfort: 0 where it
// is there already.
func (b *body) settle(level float64) float64 {
	if level <= b.comfort {
		return 0
	}
	return b.recovery() * math.Log(level/b.comfort)
}

// walk is the level after so many seconds of walking.
func (b *body) walk(level, seconds float64) float64 { return level * math.Exp(-seconds/b.recovery()) }

// breath is how a session went for the breath.
type breath struct {
	settle    []float64 // of each block; 0 on runs
	unsettled float64   // seconds of the session above comfort
	peak      float64   // the highest level
}

// breathe goes through the blocks as they were done.
func (b *body) breathe(blocks []readiness.Block, pace float64) breath {
	r := breath{settle: make([]float64, len(blocks))}
	level := 0.0
	for i, block := range blocks {
		seconds := float64(block.Done)
		if block.Kind == pathway.Run {
			var above float64
			level, above = b.run(level, pace, seconds)
			r.unsettled += above
			r.peak = max(r.peak, level)
			continue
		}
		r.settle[i] = b.settle(level)
		r.unsettled += min(r.settle[i], seconds)
		level = b.walk(level, seconds)
	}
	return r
}

// grow makes the body fitter by a session of which a share was done, less by one
// without running.
func (b *body) grow(share float64, running bool) {
	gain := b.gain * share
	if !running {
		gain *= 0.6
	}
	b.fitness += gain * (1 - b.fitness)
}

// forget loses what so many idle days cost.
func (b *body) forget(days float64) { b.fitness *= math.Exp(-max(0, days) / forgetting) }
