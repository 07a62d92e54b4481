package readiness

import "halfhour.app/halfhour/internal/pathway"

// TooHard is the effort from which a session was too hard (rule 5.1).
const TooHard = 7

// EasyWalk is the highest effort of an easy walking-base session (rule 5.3).
const EasyWalk = 4

// easy says whether the session was easy enough (rule 5), and whether its
// answers, or answers and heart rate, disagree.
func (c *chart) easy(d *digest, walkingBase bool) (state State, mixed bool) {
	effort, rated := d.Effort.Get()
	switch {
	case rated && effort >= TooHard:
		return Unmet, d.Talk == Chat
	case d.Talk == Words:
		return Unmet, false
	case walkingBase && d.Talk != NotAsked:
		return metIf(d.Talk == Chat), false
	case walkingBase && rated:
		return metIf(effort <= EasyWalk), false
	case d.Talk == NotAsked && !rated:
		return Unknown, false
	case c.heartAgainst(d):
		return Unknown, true
	default:
		return Met, false
	}
}

// heartAgainst says whether run time after the first minute of each run was
// surely more than half above the zone 2 ceiling (rule 5.2).
func (c *chart) heartAgainst(d *digest) bool {
	if !c.HeartUsable || d.Hot {
		return false
	}
	var time, valid, low, high int
	for i := range d.Blocks {
		b := &d.Blocks[i]
		if b.Kind != pathway.Run {
			continue
		}
		time += max(0, int(b.Done)-60)
		if b.Heart.Valid.Or(0) == 0 {
			continue
		}
		if !b.Heart.Low.Known() || !b.Heart.High.Known() {
			return false
		}
		valid += b.Heart.Valid.Or(0)
		low += b.Heart.Low.Or(0)
		high += b.Heart.High.Or(0)
	}
	return valid > 0 && 100*valid >= 80*time && 2*high > valid && 2*low > valid
}
