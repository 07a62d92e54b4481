package readiness

import "halfhour.app/halfhour/internal/day"

// WayBack is what rule 9.4 says about somebody who has not run for a while, or was
// injured.
type WayBack struct {
	Days    int      // without running, the longest of now and this week; 0: none known
	Injured bool     // an injury has not been cleared
	Check   bool     // a fresh health check is asked for
	Since   day.Date // answers about health from this day on are fresh; zero without Check
	Due     bool     // a step back is proposed for it, and not decided yet
}

// WayBack is the part of the verdict that rule 9.4 makes.
func (v *Verdict) WayBack() WayBack {
	c, g := v.evidence.chart, v.evidence.gap
	if c == nil {
		return WayBack{}
	}
	w := WayBack{Days: g.days, Injured: c.injured(), Check: v.Flags.Has(FlagHealthCheck), Due: v.Action == EaseBack && v.evidence.cause == backAfterGap}
	switch {
	case w.Injured:
		w.Since = c.InjuredOn
	case w.Check && g.before != nil:
		w.Since = g.before.Date + restartDays
	}
	return w
}
