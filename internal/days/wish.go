package days

import (
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// wishes are the pins of the week that held at the instant, one at most for a kind and
// a date; zero is those that held at first.
func (r *replay) wishes(at time.Time) []weekplan.Pin {
	pins := []weekplan.Pin{}
	for i := range 7 {
		on := r.monday + day.Date(i)
		for _, k := range []weekplan.Kind{weekplan.Run, weekplan.Legs, weekplan.Strength} {
			left := r.leftFree(k, on, at)
			if p := r.wish(k, on, at, left); p != nil {
				pins = append(pins, weekplan.Pin{Kind: k, On: on, Part: p.Part, By: p.By(), Insist: p.Insist})
			} else if minutes, meets := r.group.Meets[i].Get(); meets && k == weekplan.Run && !left {
				pins = append(pins, weekplan.Pin{Kind: k, On: on, Part: roster.PartAt(minutes), By: weekplan.ByGroup})
			}
		}
	}
	return pins
}

// wish is the athlete's or coach's wish for a kind and a date at an instant: of
// several the one that weighs most, and of these the newest. Nil: there is none. Where
// the day was left free, wishes for its weekday do not count.
func (r *replay) wish(k weekplan.Kind, on day.Date, at time.Time, left bool) *roster.Pin {
	var found *roster.Pin
	for i := range r.pins {
		p := &r.pins[i]
		if p.Kind != k || !r.held(p, at) || !falls(p, on) || p.Standing() && left {
			continue
		}
		if found == nil || p.By() >= found.By() {
			found = p
		}
	}
	return found
}

// falls says whether the wish is for the date.
func falls(p *roster.Pin, on day.Date) bool {
	if p.Standing() {
		return p.Weekday == on.Weekday()
	}
	return p.On == on
}

// held says whether a wish held at the instant.
func (r *replay) held(p *roster.Pin, at time.Time) bool {
	if p.Standing() && p.MadeOn < r.monday {
		return p.LiftedAt.IsZero() || p.LiftedOn >= r.monday && p.LiftedAt.After(at)
	}
	return p.Undone == "" && !p.MadeAt.After(at) && (p.LiftedAt.IsZero() || p.LiftedAt.After(at))
}

// leftFree says whether a session was moved away from the date this once, so that
// what is usual there does not hold in this week.
func (r *replay) leftFree(k weekplan.Kind, on day.Date, at time.Time) bool {
	for i := range r.pins {
		if p := &r.pins[i]; p.Kind == k && !p.Standing() && r.holds(p.On) && r.held(p, at) && slices.Contains(r.origins(p), on) {
			return true
		}
	}
	return false
}

// origins are the dates on which a moved session was before, step by step.
func (r *replay) origins(p *roster.Pin) []day.Date {
	var list []day.Date
	for p != nil && p.From != 0 && !slices.Contains(list, p.From) {
		list = append(list, p.From)
		var before *roster.Pin
		for i := range r.pins {
			o := &r.pins[i]
			if !o.Standing() && o.Kind == p.Kind && o.On == p.From && o.MadeAt.Before(p.MadeAt) && o.LiftedAt.Equal(p.MadeAt) {
				before = o
			}
		}
		p = before
	}
	return list
}

// shiftOf is the move that made the wish.
func shiftOf(p *roster.Pin) weekplan.Shift {
	return weekplan.Shift{Kind: p.Kind, From: p.From, To: p.On, Part: p.Part, By: p.By(), Insist: p.Insist}
}
