package readiness

import "halfhour.app/halfhour/internal/day"

// jump is the first of the ways a load can jump that holds (rule 8.3).
type jump struct {
	way byte    // 'a', 'b', 'c'; 0: none
	run *digest // for c: the session that holds the long run
	ref int32   // for c: the longest before it, seconds
}

// jumped looks whether the load jumped and why (rules 8.3, 8.4). All of it is
// in whole numbers: seconds and half AU, both sides multiplied out.
func (c *chart) jumped(l *loads) (jump, Cause) {
	if l.ranMore() {
		return jump{way: 'a'}, c.why(l, l.unplannedRunning(c))
	}
	if l.loadMore() {
		return jump{way: 'b'}, c.why(l, l.unplannedLoad(c))
	}
	if d, before := c.longRunJump(l); d != nil {
		own := d.Kind == Extra || d.longRun > d.longPlanned
		return jump{way: 'c', run: d, ref: before}, c.why(l, own)
	}
	return jump{}, NoCause
}

// ranMore is rule 8.3 a.
func (l *loads) ranMore() bool {
	ran := l.weeks[0].ran
	if l.learning() {
		return 100*ran > 130*l.runs && ran-l.runs >= 600
	}
	k := int64(l.used)
	return 100*ran*k > 130*l.reference.ran && ran*k-l.reference.ran >= 600*k && 100*ran > 110*l.runs
}

// loadMore is rule 8.3 b. Planned minutes times five are planned seconds times
// ten half AU over sixty.
func (l *loads) loadMore() bool {
	if l.learning() {
		return false
	}
	k, twice := int64(l.used), l.weeks[0].twiceLoad
	return 100*twice*k > 150*l.reference.twiceLoad &&
		twice*k-l.reference.twiceLoad >= 200*k &&
		100*60*twice > 110*10*l.planned
}

// longRunJump is rule 8.3 c: the session with the longest run of those that
// jumped, and the longest run of the 30 dates before it.
func (c *chart) longRunJump(l *loads) (*digest, int32) {
	var found *digest
	var reference int32
	for i := range c.sessions {
		d := &c.sessions[i]
		if c.AsOf-d.Date >= 7 || d.longRun == 0 || found != nil && d.longRun <= found.longRun {
			continue
		}
		before := c.longestBetween(d.Date-30, d.Date-1)
		run := int64(d.longRun)
		if 100*run > 110*int64(before) && run-int64(before) >= 300 && 100*run > 110*int64(l.longest) {
			found, reference = d, before
		}
	}
	return found, reference
}

func (c *chart) longestBetween(first, last day.Date) int32 {
	var longest int32
	for i := range c.sessions {
		if d := &c.sessions[i]; d.Date >= first && d.Date <= last {
			longest = max(longest, d.longRun)
		}
	}
	return longest
}

// unplannedRunning says whether at least half of the rise in running lies
// outside planned sessions or beyond their plan (rule 8.4).
func (l *loads) unplannedRunning(c *chart) bool {
	var outside int64
	for i := range c.sessions {
		d := &c.sessions[i]
		if c.AsOf-d.Date >= 7 {
			continue
		}
		if d.Kind == Planned {
			outside += int64(max(0, d.ran-d.runPlanned))
		} else {
			outside += int64(d.ran)
		}
	}
	if l.learning() {
		return 2*outside >= l.weeks[0].ran-l.runs
	}
	k := int64(l.used)
	return 2*outside*k >= l.weeks[0].ran*k-l.reference.ran
}

// unplannedLoad is the same of the load, in minutes beyond the plan times the
// session's own effort.
func (l *loads) unplannedLoad(c *chart) bool {
	var outside int64 // half AU times 60
	for i := range c.sessions {
		d := &c.sessions[i]
		if c.AsOf-d.Date >= 7 {
			continue
		}
		var plan int64 // seconds
		if d.Kind == Planned {
			plan = int64(d.planned)
		} else if d.Kind == Strength {
			plan = 60 * int64(d.PlannedMinutes.Or(0))
		}
		outside += int64(d.twiceEffort) * max(0, 60*int64(d.minutes)-plan)
	}
	k := int64(l.used)
	return 2*outside*k >= 60*(l.weeks[0].twiceLoad*k-l.reference.twiceLoad)
}

// why tells unplanned, harder and longer apart (rule 8.4): harder when AU per
// minute rose by a larger factor than minutes did.
func (c *chart) why(l *loads, unplanned bool) Cause {
	if unplanned {
		return CauseUnplanned
	}
	now, then, k := l.weeks[0], l.reference, float64(l.used)
	if l.learning() || then.minutes == 0 || then.twiceLoad == 0 || now.minutes == 0 {
		return CauseLonger
	}
	// (L0/M0)/(L/M) > M0/(M/k), both sides multiplied out.
	intensity := float64(now.twiceLoad) * float64(then.minutes) * float64(then.minutes)
	duration := float64(now.minutes) * float64(now.minutes) * k * float64(then.twiceLoad)
	if intensity > duration {
		return CauseHarder
	}
	return CauseLonger
}
