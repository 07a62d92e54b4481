// Package simulate lives the training of invented beginners: a body that gets
// fitter with every session and loses it again with time off, a breath that
// comes back after a run, and a temperament that shows in what is done and what
// is told of it. It is a rough model that gives lives worth looking at, no claim
// about any real person. It is pure: the same seed gives the same life.
package simulate

import (
	"math"
	"math/rand/v2"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Temperament is how somebody goes about training.
type Temperament uint8

// The temperaments.
const (
	Steady   Temperament = iota // does what is asked, mostly
	Hurrier                     // runs faster than asked, and says that it was fine
	Cautious                    // runs slowly, and stops early
	Silent                      // trains, but tells little
	Overdoer                    // runs on free days too
)

// traits are what a temperament shows in. All but pace are chances, 0 to 1.
type traits struct {
	pace    float64 // by what share the runs ask for more than easy ones would
	turnsUp float64 // that a planned session is done
	admits  float64 // that a session not done is told of
	taps    float64 // that a walk that settled is tapped
	answers float64 // that a question after the session is answered
	extra   float64 // that a free day has a run of one's own
	stroll  float64 // that a free day has a walk of one's own
	cuts    float64 // that a session ends early for no reason of the body's
}

func (t Temperament) traits() traits {
	switch t {
	case Hurrier:
		return traits{pace: 0.10, turnsUp: 0.86, admits: 0.4, taps: 0.90, answers: 0.97, extra: 0.02, stroll: 0.02, cuts: 0.02}
	case Cautious:
		return traits{pace: -0.07, turnsUp: 0.82, admits: 0.9, taps: 0.97, answers: 1, stroll: 0.12, cuts: 0.06}
	case Silent:
		return traits{turnsUp: 0.80, admits: 0.05, taps: 0.02, answers: 0.45, stroll: 0.02, cuts: 0.02}
	case Overdoer:
		return traits{pace: 0.04, turnsUp: 0.95, admits: 0.6, taps: 0.92, answers: 0.97, extra: 0.10, stroll: 0.04, cuts: 0.01}
	default:
		return traits{turnsUp: 0.86, admits: 0.8, taps: 0.96, answers: 0.99, extra: 0.01, stroll: 0.05, cuts: 0.02}
	}
}

// Person is one invented beginner. It changes with every session.
type Person struct {
	traits
	body
	random   *rand.Rand
	clock    int    // minutes after midnight at which sessions usually begin
	strength bool   // does strength training now and then
	site     string // where it hurts, when it does
	sore     float64
	newest   day.Date // the day seen last; 0: none yet
	runs     []ran
}

// ran is what was run on a day, in seconds.
type ran struct {
	date    day.Date
	seconds int
}

// Account is what somebody tells of a day.
type Account struct {
	// Session holds what was done and the answers. Its instant and its phase are
	// left to whoever keeps it.
	Session  readiness.Session
	Clock    int   // minutes after midnight at which it began
	Mornings []int // how each of Session.Pain feels the next morning, 0 to 10; told then
	Nothing  bool  // nothing is told: there is nothing to log
}

// New is somebody with the temperament and a fitness of 0 (sedentary) to 1 (half
// an hour of running is no trouble). All that is not said is drawn by chance, the same for the same number.
func New(seed uint64, temper Temperament, fitness float64) *Person {
	p := &Person{traits: temper.traits(), random: rand.New(rand.NewPCG(seed, seed^0x9e3779b97f4a7c15))}
	p.body = body{
		fitness: min(max(fitness, 0), 1),
		tau:     min(max(untrainedTau+15*p.normal(), shortestTau), longestTau),
		gain:    0.020 + 0.012*p.random.Float64(),
		comfort: 19 + 4*p.random.Float64(),
	}
	p.clock = [...]int{6*60 + 40, 7 * 60, 9*60 + 30, 12*60 + 15, 17*60 + 45, 18*60 + 30, 19 * 60}[p.random.IntN(7)]
	p.strength = p.random.Float64() < 0.4
	p.site = [...]string{"left shin", "right shin", "left knee", "right knee", "left calf", "right Achilles tendon", "left hip", "right foot"}[p.random.IntN(8)]
	return p
}

// Fitness is how fit the person is now: 0 sedentary, 1 as fit as it goes here.
func (p *Person) Fitness() float64 { return p.fitness }

// Session is the planned session of a day as the person tells it: done, cut
// short, called off, missed, or not told of at all. Days must not go backwards.
func (p *Person) Session(date day.Date, plan []pathway.Block) Account {
	p.until(date)
	switch present := p.chance(p.turnsUp); {
	case present && p.chance(0.97):
		return p.train(date, plan, p.chance(p.cuts))
	case present:
		return p.absent(date, readiness.CalledOff)
	default:
		return p.absent(date, readiness.Missed)
	}
}

// Train is the planned session of a day, surely done, and not cut short unless
// the body asks for it.
func (p *Person) Train(date day.Date, plan []pathway.Block) Account {
	p.until(date)
	return p.train(date, plan, false)
}

// absent tells of a session that was not done, or tells nothing.
func (p *Person) absent(date day.Date, outcome readiness.Outcome) Account {
	if !p.chance(p.admits) {
		return Account{Nothing: true}
	}
	a := p.begin(date, readiness.Planned)
	a.Session.Outcome = outcome
	return a
}

// begin is an account of a session that began at about the usual time.
func (p *Person) begin(date day.Date, kind readiness.SessionKind) Account {
	at := p.clock + int(25*p.normal())
	return Account{Clock: min(max(at, 5*60+30), 21*60), Session: readiness.Session{Date: date, Kind: kind}}
}

func (p *Person) chance(of float64) bool { return p.random.Float64() < of }

// normal is a number around 0, with two at the most on either side so that
// nobody falls out of what bodies do.
func (p *Person) normal() float64 {
	sum := 0.0
	for range 6 {
		sum += p.random.Float64()
	}
	return (sum - 3) * math.Sqrt2
}

// between is a number from low to high.
func (p *Person) between(low, high float64) float64 { return low + (high-low)*p.random.Float64() }
