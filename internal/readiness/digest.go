package readiness

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
)

// digest is a session with the sums that several rules need.
type digest struct {
	*Session
	became      Outcome      // rule 2.1; NotStated on sessions that are not planned
	rung        pathway.Rung // NoRung where its phase is not on the pathway
	planned     int32        // seconds of the whole session, as planned
	runPlanned  int32        // seconds
	walkPlanned int32        // seconds
	longPlanned int32        // seconds of the longest unbroken run, as planned
	done        int32        // seconds of the blocks
	ran         int32        // seconds run (rule 8.1)
	walked      int32        // seconds walked, in blocks
	longRun     int32        // seconds of the longest unbroken run; 0 also where unknown
	minutes     int32        // rule 8.1
	twiceEffort int32        // CR10 times two, so that a median of two stays whole; filled in
	filled      bool         // the effort was not given
}

// exposure says whether the session counts as tried (rule 2.1).
func (d *digest) exposure() bool {
	return d.Kind == Planned && (d.became == InFull || d.became == Shortened || d.became == StoppedForPain)
}

// twiceLoad is the load in half AU.
func (d *digest) twiceLoad() int64 { return int64(d.twiceEffort) * int64(d.minutes) }

// hasLoad says whether it is a session with load.
func (d *digest) hasLoad() bool { return d.twiceLoad() > 0 }

// chart is the history made ready for the rules: only what exists on the day
// asked about, in order, with the phase looked up.
type chart struct {
	*History
	n        int // sessions a week
	rung     pathway.Rung
	blocks   []pathway.Block // of the present phase
	sessions []digest        // by start, none after AsOf (rule 1.3)
	cleared  day.Date        // the newest clearance, on whichever way it was told
}

func newChart(h *History) chart {
	c := chart{History: h, n: h.SessionsAWeek, cleared: h.ClearedOn}
	if c.n == 0 {
		c.n = 3
	}
	if c.cleared == 0 && !h.ClearedAt.IsZero() {
		c.cleared = day.Of(h.ClearedAt, h.Place)
	}
	c.rung = h.Pathway.Find(h.Phase)
	c.blocks = h.Pathway.Blocks(c.rung)
	c.sessions = make([]digest, 0, len(h.Sessions))
	sorted := true
	for i := range h.Sessions {
		s := &h.Sessions[i]
		if s.Date > h.AsOf {
			continue
		}
		if k := len(c.sessions); k > 0 && inOrder(s, c.sessions[k-1].Session) < 0 {
			sorted = false
		}
		c.sessions = append(c.sessions, digest{Session: s})
	}
	if !sorted {
		slices.SortFunc(c.sessions, func(a, b digest) int { return inOrder(a.Session, b.Session) })
	}
	c.digest()
	c.fillEffort()
	return c
}

// inOrder puts sessions by their start; of one instant by kind (rule 1.1).
func inOrder(a, b *Session) int {
	if n := a.StartedAt.Compare(b.StartedAt); n != 0 {
		return n
	}
	return int(a.Kind) - int(b.Kind)
}

func (c *chart) digest() {
	lastPhase, lastRung := "", pathway.NoRung
	for i := range c.sessions {
		d := &c.sessions[i]
		d.rung = pathway.NoRung
		if d.Kind == Planned && d.Phase != "" {
			if d.Phase != lastPhase {
				lastPhase, lastRung = d.Phase, c.Pathway.Find(d.Phase)
			}
			d.rung = lastRung
		}
		if len(d.Blocks) > 0 {
			d.sumBlocks()
		} else if d.rung != pathway.NoRung {
			d.sumPlan(c.Pathway.Blocks(d.rung))
		}
		if d.Kind == Planned {
			d.became = OutcomeOf(d.Session)
		}
		d.sumMinutes()
	}
}

// sumBlocks adds up what was told block by block.
func (d *digest) sumBlocks() {
	var run, runPlanned int32 // of the unbroken run under way
	for i := range d.Blocks {
		b := &d.Blocks[i]
		d.planned += b.Planned
		d.done += b.Done
		if b.Kind == pathway.Run {
			d.runPlanned += b.Planned
			d.ran += b.Done
			run += b.Done
			runPlanned += b.Planned
			d.longRun, d.longPlanned = max(d.longRun, run), max(d.longPlanned, runPlanned)
			continue
		}
		d.walkPlanned += b.Planned
		d.walked += b.Done
		runPlanned = 0
		if b.Done > 0 {
			run = 0
		}
	}
}

// sumPlan adds up the plan of a session told without blocks (rule 2.2).
func (d *digest) sumPlan(plan []pathway.Block) {
	var run int32
	for _, b := range plan {
		d.planned += int32(b.Planned)
		if b.Kind == pathway.Run {
			d.runPlanned += int32(b.Planned)
			run += int32(b.Planned)
			d.longPlanned = max(d.longPlanned, run)
			continue
		}
		d.walkPlanned += int32(b.Planned)
		run = 0
	}
}

// sumMinutes sets minutes and, where no blocks tell, the time run (rule 8.1).
func (d *digest) sumMinutes() {
	minutes, told := d.Minutes.Get()
	if !told {
		minutes = int(d.done+30) / 60
	}
	d.minutes = int32(minutes)
	switch {
	case d.Kind == Strength || d.Kind == Other:
		d.ran, d.walked, d.longRun = 0, 0, 0
	case len(d.Blocks) > 0 || d.Kind != Planned:
	case d.became == InFull:
		d.ran, d.walked, d.longRun = d.runPlanned, d.walkPlanned, d.longPlanned
	case d.planned > 0:
		d.ran = int32((int64(d.runPlanned)*int64(minutes)*60 + int64(d.planned)/2) / int64(d.planned))
	}
}

// OutcomeOf says what became of a planned session: its blocks decide between in
// full, shortened and missed; a stop for pain and a session called off stand
// whatever was done (rule 2.2).
func OutcomeOf(s *Session) Outcome {
	if len(s.Blocks) == 0 || s.Outcome == StoppedForPain || s.Outcome == CalledOff {
		return s.Outcome
	}
	var done, planned int64
	full := true
	for i := range s.Blocks {
		b := &s.Blocks[i]
		done += int64(b.Done)
		planned += int64(b.Planned)
		enough := b.Kind == pathway.Walk || 100*int64(b.Done) >= 95*int64(b.Planned) || b.Planned-b.Done <= 10
		full = full && enough && b.Done > 0
	}
	switch {
	case done == 0:
		return Missed
	case full && 100*done >= 95*planned:
		return InFull
	default:
		return Shortened
	}
}

// seesPain says whether section 6 sees the session: a clearance begins anew
// (rule 6.7).
func (c *chart) seesPain(d *digest) bool {
	if !c.ClearedAt.IsZero() {
		return d.StartedAt.After(c.ClearedAt)
	}
	return d.Date > c.cleared
}

// seesGate says whether sections 7 and 9.1 see the session: an injury begins
// anew for them as a clearance does (rule 6.7).
func (c *chart) seesGate(d *digest) bool { return d.Date > c.InjuredOn && c.seesPain(d) }

// leaveDays counts the dates of leave from the first to the last.
func (c *chart) leaveDays(first, last day.Date) int {
	n := 0
	for d := first; d <= last && len(c.Leave) > 0; d++ {
		if slices.ContainsFunc(c.Leave, func(s day.Span) bool { return s.Holds(d) }) {
			n++
		}
	}
	return n
}

// worst is the highest score and next-morning score of the session.
func worst(s *Session) int {
	highest := 0
	for i := range s.Pain {
		highest = max(highest, s.Pain[i].worst())
	}
	return highest
}

// worst is the higher of the two scores; without a next-morning score it was no
// worse than the score (rule 6.8).
func (p *Pain) worst() int { return max(int(p.Score), p.NextMorning.Or(0)) }
