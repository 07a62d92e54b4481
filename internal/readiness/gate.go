package readiness

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
)

// passage is a gate as it was asked on a day.
type passage struct {
	gate       Gate
	conditions [Conditions]State
	asked      []try // the exposures asked, the oldest first
	walks      tally // over all of them
	span       int   // dates from the oldest to the newest, both included
	inFull     int
	settled    int // sessions
	easy       int // sessions
	worst      int // highest score in what no_pain reads
	unasked    bool
	morning    bool // a next-morning score is still to come
	mixed      bool
	unbroken   int32 // seconds of the longest unbroken run in the sessions asked
}

// try is an exposure that the gate reads, with what was judged of it by itself.
type try struct {
	*digest
	walks  tally
	easy   State
	muddle bool // talk, effort and heart rate disagree
}

// tries are the exposures of the present phase that the gate reads, the oldest
// first; of several on a date only the newest (rule 7).
func (c *chart) tries() []try {
	var tries []try
	walkingBase := c.walkingBase()
	for i := range c.sessions {
		d := &c.sessions[i]
		if d.Date < c.PhaseSince || !d.exposure() || d.Phase != c.Phase || !c.seesGate(d) || !c.fullPlan(d) {
			continue
		}
		if i := sameDate(tries, d); i >= 0 {
			tries = slices.Delete(tries, i, i+1)
		}
		if tries == nil {
			tries = make([]try, 0, min(16, len(c.sessions)-i))
		}
		t := try{digest: d, walks: c.walks(d)}
		t.easy, t.muddle = c.easy(d, walkingBase)
		tries = append(tries, t)
	}
	return tries
}

// sameDate is where an earlier try of the date stands, or -1. Starts are in order
// and a date is at most a day off, so that it can only be among the newest.
func sameDate(tries []try, d *digest) int {
	for i := len(tries) - 1; i >= 0 && tries[i].Date >= d.Date-2; i-- {
		if tries[i].Date == d.Date {
			return i
		}
	}
	return -1
}

// fullPlan says whether the session's planned run (walking base: walk) seconds
// are at least 95 % of the phase's.
func (c *chart) fullPlan(d *digest) bool {
	if !c.walkingBase() {
		return 100*int(d.runPlanned) >= 95*pathway.SecondsOf(pathway.Run, c.blocks)
	}
	return 100*int(d.walkPlanned) >= 95*pathway.SecondsOf(pathway.Walk, c.blocks)
}

// pass asks the gate at the end of a day (rule 7). Tries holds the exposures up
// to then.
func (c *chart) pass(tries []try, asOf day.Date) passage {
	first := len(tries) - min(c.n, len(tries))
	p := passage{asked: tries[first:]}
	p.conditions[Enough] = c.enough(tries, p.asked, asOf)
	c.askEach(&p)
	p.conditions[NoPain] = c.noPain(&p, asOf)
	p.gate = gateOf(p.conditions)
	if p.gate == Open && c.rung == c.Pathway.Last() && int(p.unbroken) < longestPlanned(c.blocks) {
		p.gate = Shut
	}
	return p
}

// longestPlanned is the longest run of the phase without a walk in it, in seconds.
func longestPlanned(blocks []pathway.Block) int {
	longest, run := 0, 0
	for _, b := range blocks {
		if b.Kind == pathway.Walk {
			run = 0
			continue
		}
		run += b.Planned
		longest = max(longest, run)
	}
	return longest
}

func (c *chart) enough(tries, asked []try, asOf day.Date) State {
	if len(asked) < c.n {
		return Unmet
	}
	oldest, newest := asked[0].Date, asked[len(asked)-1].Date
	return metIf(newest-oldest <= 9 && asOf-newest <= 10 && newest-tries[0].Date >= day.Date(c.n))
}

// askEach asks in_full, settled and easy of the exposures there are.
func (c *chart) askEach(p *passage) {
	walksPlanned := pathway.WalksAfterRun(c.blocks)
	full, settled, easy := stateOf{}, stateOf{}, stateOf{}
	for _, d := range p.asked {
		full.add(metIf(d.became == InFull))
		p.walks.add(d.walks)
		settled.add(d.walks.state())
		easy.add(d.easy)
		p.mixed = p.mixed || d.muddle || d.walks.mixed
		p.unbroken = max(p.unbroken, d.longRun)
		p.span = int(d.Date-p.asked[0].Date) + 1
	}
	p.inFull, p.settled, p.easy = full.met, settled.met, easy.met
	p.conditions[InFullEach], p.conditions[Easy] = full.all(), easy.all()
	switch {
	case walksPlanned == 0:
		p.conditions[Settled] = NotAskedHere
	case walksPlanned < 3:
		p.conditions[Settled] = p.walks.state() // as if of one session (rule 3.6)
	default:
		p.conditions[Settled] = settled.all()
	}
}

// stateOf joins what is asked of every session.
type stateOf struct{ met, unmet, unknown int }

func (s *stateOf) add(state State) {
	switch state {
	case Met:
		s.met++
	case Unmet:
		s.unmet++
	default:
		s.unknown++
	}
}

func (s *stateOf) all() State {
	switch {
	case s.unmet > 0:
		return Unmet
	case s.unknown > 0 || s.met == 0:
		return Unknown
	default:
		return Met
	}
}

// noPain reads the exposures asked and any session of the seven dates up to asOf.
func (c *chart) noPain(p *passage, asOf day.Date) State {
	for _, d := range p.asked {
		p.unasked = p.unasked || !d.PainAsked
		if d.Date == asOf && d.awaitsMorning() {
			p.morning = true
		}
	}
	state := Met
	for i := range c.sessions {
		d := &c.sessions[i]
		inWeek := d.Date <= asOf && asOf-d.Date < 7 && c.seesGate(d)
		if !inWeek && !p.holds(d) {
			continue
		}
		p.worst = max(p.worst, worst(d.Session))
		if d.hurts() {
			state = Unmet
		}
	}
	if state == Met && (p.unasked || p.morning) {
		return Unknown
	}
	return state
}

func (p *passage) holds(d *digest) bool {
	for i := range p.asked {
		if p.asked[i].digest == d {
			return true
		}
	}
	return false
}

// hurts says whether the session fails no_pain by itself.
func (d *digest) hurts() bool {
	return d.Limp || d.became == StoppedForPain || worst(d.Session) >= holdScore
}

// awaitsMorning says that a score above 0 has no next-morning score yet.
func (d *digest) awaitsMorning() bool {
	for i := range d.Pain {
		if d.Pain[i].Score > 0 && !d.Pain[i].NextMorning.Known() {
			return true
		}
	}
	return false
}

func gateOf(conditions [Conditions]State) Gate {
	gate := Open
	for _, s := range conditions {
		switch s {
		case Unmet:
			return Shut
		case Unknown:
			gate = Unproven
		}
	}
	return gate
}
