package readiness

import "halfhour.app/halfhour/internal/day"

// attendance is what was done of the sessions planned for the last 14 days.
type attendance struct {
	planned, done int
	first         day.Date // of any exposure at all; 0: none
}

// none says that nothing was left to be done: leave or sessions called off took
// it all.
func (a attendance) none() bool { return a.planned <= 0 }

// regular says that at least 60 % were done.
func (a attendance) regular() bool { return !a.none() && 100*a.done >= 60*a.planned }

// attended counts the last 14 days (rule 9.1): planned are 2n, or more if more
// are listed, less those called off, less n·d/7 rounded up for d days of leave.
func (c *chart) attended() attendance {
	var a attendance
	listed, off := 0, 0
	for i := range c.sessions {
		d := &c.sessions[i]
		if d.exposure() && (a.first == 0 || d.Date < a.first) {
			a.first = d.Date
		}
		if d.Kind != Planned || c.AsOf-d.Date >= 14 {
			continue
		}
		listed++
		if d.became == CalledOff {
			off++
		}
		if d.exposure() {
			a.done++
		}
	}
	leave := c.leaveDays(c.AsOf-13, c.AsOf)
	a.planned = max(2*c.n, listed) - off - (c.n*leave+6)/7
	return a
}

// stalls says whether the athlete is stuck on the phase, and by what (rule 9.1).
func (c *chart) stalls(tries []try, a attendance) Cause {
	if len(tries) < 2*c.n || c.AsOf-tries[0].Date < 14 || !a.regular() {
		return NoCause
	}
	if tries[len(tries)-1].failures() == (failures{}) {
		return NoCause
	}
	for i := range tries {
		if date := tries[i].Date; c.AsOf-date < 14 && c.pass(tries[:i+1], date).gate == Open {
			return NoCause
		}
	}
	var sum failures
	for _, d := range tries {
		f := d.failures()
		for i := range sum {
			sum[i] += f[i]
		}
	}
	return sum.most()
}

// failures counts what fails in a session by itself, in the order in which ties
// are settled: pain, effort, recovery, shortened.
type failures [4]int

func (d *try) failures() failures {
	var f failures
	if d.hurts() {
		f[0] = 1
	}
	if d.easy == Unmet {
		f[1] = 1
	}
	if d.walks.state() == Unmet {
		f[2] = 1
	}
	if d.became != InFull {
		f[3] = 1
	}
	return f
}

func (f failures) most() Cause {
	best := 0
	for i, n := range f {
		if n > f[best] {
			best = i
		}
	}
	return [...]Cause{CausePain, CauseEffort, CauseRecovery, CauseShortened}[best]
}

// irregular says that under 60 % of the sessions were done, once two weeks have
// gone since the first (rule 9.2).
func (c *chart) irregular(a attendance) bool {
	return !a.none() && !a.regular() && a.first != 0 && c.AsOf-a.first >= 14
}

// quiet says whether nothing was heard for seven days, leave not counted (rule
// 9.3), and gives the date of the last exposure or extra run or walk.
func (c *chart) quiet() (bool, day.Date) {
	last := day.Date(0)
	for i := range c.sessions {
		if d := &c.sessions[i]; d.exposure() || d.Kind == Extra && (d.minutes > 0 || d.done > 0) {
			last = max(last, d.Date)
		}
	}
	since := last
	if since == 0 {
		since = c.PhaseSince
	}
	return int(c.AsOf-since)-c.leaveDays(since+1, c.AsOf) >= 7, last
}
