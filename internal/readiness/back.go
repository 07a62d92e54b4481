package readiness

import "halfhour.app/halfhour/internal/pathway"

// restartDays is how many days without running lead to the first phase and a fresh
// health check (rule 9.4).
const restartDays = 56

// gap is a time without running (rule 9.4).
type gap struct {
	days   int
	before *digest // the run before it; nil: there was no run at all
	ended  *digest // the run that ended it; nil: it goes on
}

// isRun says whether anything was run, or a walking-base session walked.
func (c *chart) isRun(d *digest) bool {
	if d.Kind != Planned {
		return d.ran > 0
	}
	if d.ran > 0 || d.runPlanned > 0 {
		return d.ran > 0
	}
	return d.walked > 0 || len(d.Blocks) == 0 && d.minutes > 0 && d.became != Missed
}

// isExtraWalk says whether the session is a walk outside the plan.
func (d *digest) isExtraWalk() bool {
	return d.Kind == Extra && d.ran == 0 && (d.done > 0 || d.minutes > 0)
}

// longestGap is the longer of the time since the last run and the time between
// two runs the later of which lies in W0 (rule 9.4).
func (c *chart) longestGap() gap {
	walksCount := c.walkingBase()
	if !walksCount {
		walksCount = true
		for i := range c.sessions {
			if c.isRun(&c.sessions[i]) {
				walksCount = false
				break
			}
		}
	}
	var longest gap
	var last *digest
	for i := range c.sessions {
		d := &c.sessions[i]
		if !c.isRun(d) && !(walksCount && d.isExtraWalk()) {
			continue
		}
		if last != nil && c.AsOf-d.Date < 7 && int(d.Date-last.Date) > longest.days {
			longest = gap{days: int(d.Date - last.Date), before: last, ended: d}
		}
		last = d
	}
	if last != nil && int(c.AsOf-last.Date) > longest.days {
		longest = gap{days: int(c.AsOf - last.Date), before: last}
	}
	return longest
}

// walkingBase says whether the present phase has no run block.
func (c *chart) walkingBase() bool { return !pathway.HasRun(c.blocks) }

// injured says that an injury has not been cleared yet (rule 9.4).
func (c *chart) injured() bool { return c.InjuredOn != 0 && c.cleared < c.InjuredOn }

// backTo is where the way back begins, and whether a fresh health check is asked
// for; the present rung where nothing is to be done (rules 9.4, 10.2).
func (c *chart) backTo(g gap) (to pathway.Rung, check bool) {
	if c.injured() {
		return min(c.rung, 0), true
	}
	check = g.days >= restartDays
	if g.days < 14 || g.before == nil {
		return c.rung, check
	}
	base := c.phaseOf(g.before)
	switch {
	case g.days >= restartDays:
		to = 0
	case g.days >= 28:
		to = min(c.Pathway.StageStart(base), base.Below(2))
	case g.days >= 21:
		to = base.Below(2)
	default:
		to = base.Below(1)
	}
	decided := g.ended != nil && c.PhaseSince > g.ended.Date
	if decided {
		return c.rung, check
	}
	return min(c.rung, max(to, 0)), check
}

// stepBack is one phase below that of the session, for pain and effort; the
// present rung where it has been decided already (rule 10.2).
func (c *chart) stepBack(d *digest) pathway.Rung {
	base := c.phaseOf(d)
	if c.rung <= base && c.PhaseSince > d.Date {
		return c.rung
	}
	return min(c.rung, max(base.Below(1), 0))
}
