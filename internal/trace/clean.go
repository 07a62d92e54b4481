package trace

import "slices"

// What a heart does not do (ours, but for the first two of the cadence lock, which
// are judgement in the evidence the project rests on: within five beats of the
// steps for half a minute, with a change of twenty beats in five seconds).
const (
	lockNear     = 5  // beats from the steps
	lockTime     = 30 // seconds
	leap         = 15 // beats within leapTime that no heart leaps
	leapTime     = 4  // seconds
	flatTime     = 20 // seconds of a plateau beside a leap that was made up
	flatRange    = 5  // beats around its middle
	fewSteps     = 3  // stretches that a sensor may make up,
	mostSteps    = 15 // or per cent of the usable seconds, before it is how the device writes
	spikeOff     = 15 // beats from the median around it
	spikeSide    = 6  // seconds on either side of it
	heldTimes    = 6  // times as long as a value is held otherwise,
	restlessness = 15 // seconds between two turns of a rate, at the mean, of a sensor that is never still
	heldTime     = 45 // seconds of one value with a step of heldStep beside it
	heldStep     = 3  // beats
	wildTime     = 15 // seconds over which a sensor is wild
	wildStep     = 5  // beats a second, at the mean
)

// clean takes out of the rates what the sensor made up, and says what it was.
func (c *course) clean() []Artefact {
	var found []Artefact
	found = append(found, c.gaps()...)
	found = append(found, c.noContact()...)
	found = append(found, c.spikes()...)
	found = append(found, c.wild()...)
	found = append(found, c.locks()...)
	found = append(found, c.held()...)
	slices.SortFunc(found, func(a, b Artefact) int { return a.From - b.From })
	return found
}

// take takes the seconds out.
func (c *course) take(from, to int, kind ArtefactKind) Artefact {
	clear(c.rates[from:to])
	return Artefact{from, to, kind}
}

// stretches are the longest runs of seconds for which ok holds.
func stretches(n int, ok func(int) bool, each func(from, to int)) {
	for t := 0; t < n; t++ {
		if !ok(t) {
			continue
		}
		from := t
		for t < n && ok(t) {
			t++
		}
		each(from, t)
	}
}

// gaps are where nothing was written down.
func (c *course) gaps() (found []Artefact) {
	stretches(len(c.rates), func(t int) bool { return !c.covered[t] }, func(from, to int) {
		found = append(found, Artefact{from, to, Gap})
	})
	return found
}

// noContact is where a number stands for nothing.
func (c *course) noContact() (found []Artefact) {
	none := func(t int) bool { return c.covered[t] && (c.rates[t] < lowestBPM || c.rates[t] > highestBPM) }
	stretches(len(c.rates), none, func(from, to int) { found = append(found, c.take(from, to, NoContact)) })
	return found
}

// wild is where the rate leaps about from second to second: a strap that is still
// dry, or does not sit.
func (c *course) wild() (found []Artefact) {
	n := len(c.rates)
	steps := make([]int, n+1) // steps[t]: the sum of steps before second t
	for t := 1; t < n; t++ {
		step := 0
		if c.rates[t] > 0 && c.rates[t-1] > 0 {
			step = abs(int(c.rates[t]) - int(c.rates[t-1]))
		}
		steps[t+1] = steps[t] + step
	}
	bad := make([]bool, n)
	for t := wildTime; t <= n; t++ {
		if steps[t]-steps[t-wildTime] >= wildTime*wildStep {
			for u := t - wildTime; u < t; u++ {
				bad[u] = true
			}
		}
	}
	stretches(n, func(t int) bool { return bad[t] && c.rates[t] > 0 }, func(from, to int) {
		found = append(found, c.take(from, to, Spike))
	})
	return found
}

// spikes are single seconds far off from those around them.
func (c *course) spikes() (found []Artefact) {
	off := make([]bool, len(c.rates))
	var around [2*spikeSide + 1]int16
	for t, rate := range c.rates {
		if rate == 0 {
			continue
		}
		near := around[:0]
		for u := max(t-spikeSide, 0); u <= min(t+spikeSide, len(c.rates)-1); u++ {
			if c.rates[u] > 0 {
				near = append(near, c.rates[u])
			}
		}
		slices.Sort(near)
		off[t] = abs(int(rate)-int(near[len(near)/2])) > spikeOff
	}
	stretches(len(off), func(t int) bool { return off[t] }, func(from, to int) {
		if to-from <= spikeSide {
			found = append(found, c.take(from, to, Spike))
		}
	})
	return found
}

// locks are where steps were taken for beats: seen by the steps where they were
// written down, else by a plateau that begins or ends with a leap.
func (c *course) locks() (found []Artefact) {
	stretches(len(c.rates), c.likeSteps, func(from, to int) {
		if to-from >= lockTime && (c.leapsNear(from) || c.leapsNear(to)) {
			found = append(found, c.take(from, to, CadenceLock))
		}
	})
	for _, p := range c.plateaus() {
		found = append(found, c.take(p.from, p.to, CadenceLock))
	}
	return found
}

// likeSteps says whether the rate is that of the steps.
func (c *course) likeSteps(t int) bool {
	return c.rates[t] > 0 && c.steps[t] > 0 && abs(int(c.rates[t])-int(c.steps[t])) <= lockNear
}

// span is some seconds; to is not included.
type span struct{ from, to int }

// plateaus are the stretches that begin or end with a leap that no heart leaps and
// are flat as no heart is beside one.
func (c *course) plateaus() (found []span) {
	for t := leapTime; t < len(c.rates); t++ {
		before, after := c.rates[t-leapTime], c.rates[t]
		if before == 0 || after == 0 || abs(int(after)-int(before)) < leap || c.empty(t-leapTime, t) {
			continue
		}
		from, to := t, c.plateau(t, 1)
		if after < before {
			from, to = c.plateau(t-leapTime, -1)+1, t
		}
		if n := len(found); n > 0 {
			from = max(from, found[n-1].to)
		}
		if to-from >= flatTime {
			found = append(found, span{from, to})
			t = max(t, to-1)
		}
	}
	return c.unlessInSteps(found)
}

// unlessInSteps gives the stretches back, or none where they are so many and so much
// of the recording that it was written down in steps.
func (c *course) unlessInSteps(found []span) []span {
	sum := 0
	for _, s := range found {
		sum += s.to - s.from
	}
	if len(found) > fewSteps && 100*sum > mostSteps*countIn(c.rates, 0, len(c.rates), all) {
		return nil
	}
	return found
}

// leapsNear says whether the rate changes faster than a heart within five seconds
// of t.
func (c *course) leapsNear(t int) bool {
	for u := max(t-5, 0); u+leapTime <= min(t+5, len(c.rates)-1); u++ {
		a, b := c.rates[u], c.rates[u+leapTime]
		if a > 0 && b > 0 && abs(int(a)-int(b)) >= leap {
			return true
		}
	}
	return false
}

func (c *course) empty(from, to int) bool {
	for t := from; t <= to; t++ {
		if c.rates[t] == 0 {
			return true
		}
	}
	return false
}

// plateau is how far, from t on in the direction of step, the rate stays as flat
// as no heart does beside a leap.
func (c *course) plateau(t, step int) int {
	low, high := c.rates[t], c.rates[t]
	for u := t; ; u += step {
		if u < 0 || u >= len(c.rates) || c.rates[u] == 0 {
			return u
		}
		low, high = min(low, c.rates[u]), max(high, c.rates[u])
		if high-low > 2*flatRange {
			return u
		}
	}
}

// held is where a sensor is stuck: one value for long, with a step beside it, or for
// much longer than a recording that is never still holds a value otherwise.
func (c *course) held() (found []Artefact) {
	var long, stuck []span
	usual := 1
	for from := 0; from < len(c.rates); {
		to := from + 1
		for to < len(c.rates) && c.rates[to] == c.rates[from] {
			to++
		}
		switch {
		case c.rates[from] == 0:
		case to-from >= heldTime:
			long = append(long, span{from, to})
		default:
			usual = max(usual, to-from)
		}
		from = to
	}
	restless := c.restless()
	for _, s := range long {
		if c.stepsAside(s.from, s.to) || restless && s.to-s.from >= heldTimes*usual {
			stuck = append(stuck, s)
		}
	}
	for _, s := range c.unlessInSteps(stuck) {
		found = append(found, c.take(s.from, s.to, Held))
	}
	return found
}

// restless says whether the rate goes up and down all the time, as sensors write it.
func (c *course) restless() bool {
	turns, seconds, way := 0, 0, 0
	for t := 1; t < len(c.rates); t++ {
		if c.rates[t] == 0 || c.rates[t-1] == 0 {
			continue
		}
		seconds++
		if now := int(c.rates[t]) - int(c.rates[t-1]); now != 0 {
			if now*way < 0 {
				turns++
			}
			way = now
		}
	}
	return turns*restlessness >= seconds
}

// stepsAside says whether the rate changes at once where a held value begins or
// ends.
func (c *course) stepsAside(from, to int) bool {
	far := func(t, beside int) bool {
		return t >= 0 && t < len(c.rates) && c.rates[t] > 0 && abs(int(c.rates[t])-int(c.rates[beside])) >= heldStep
	}
	return far(from-1, from) || far(to, to-1)
}

func abs(n int) int { return max(n, -n) }
