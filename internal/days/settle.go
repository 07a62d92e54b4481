package days

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/weekplan"
)

// settle sets the plan against what was planned before: which session is where now,
// which came in, which is let go.
func (r *replay) settle() {
	for _, k := range []weekplan.Kind{weekplan.Run, weekplan.Legs, weekplan.Strength} {
		r.settleKind(k)
	}
}

func (r *replay) settleKind(k weekplan.Kind) {
	var came []weekplan.Session
	went := r.of(k, ahead)
	for _, s := range r.plan.Sessions {
		if !alike(s.Kind, k) {
			continue
		}
		i := slices.IndexFunc(went, func(t *track) bool { return t.on == s.On })
		if i < 0 {
			came = append(came, s)
			continue
		}
		went[i].kind, went[i].part = s.Kind, s.Part
		went = slices.Delete(went, i, i+1)
	}
	free := append(slices.Clone(went), r.of(k, lost)...)
	for i, s := range came {
		if i < len(free) {
			free[i].kind, free[i].on, free[i].part, free[i].fate = s.Kind, s.On, s.Part, ahead
			continue
		}
		r.tracks = append(r.tracks, &track{kind: s.Kind, on: s.On, part: s.Part})
	}
	left := free[min(len(came), len(free)):]
	for _, t := range left {
		t.fate = gone
		if r.wasMissed(t) {
			t.fate = lost
		}
	}
	r.setAgainst(k, left)
}

// of are the sessions of a kind with a fate, by date.
func (r *replay) of(k weekplan.Kind, f fate) []*track {
	var list []*track
	for _, t := range r.tracks {
		if t.fate == f && alike(t.kind, k) {
			list = append(list, t)
		}
	}
	slices.SortStableFunc(list, func(a, b *track) int { return int(a.on - b.on) })
	return list
}

// setAgainst sets what was done on other days against what is not needed for it any
// more: first what was missed.
func (r *replay) setAgainst(k weekplan.Kind, left []*track) {
	r.loose = slices.DeleteFunc(r.loose, func(s weekplan.Session) bool {
		if !alike(s.Kind, k) {
			return false
		}
		i := slices.IndexFunc(left, func(t *track) bool { return t.fate == lost })
		if i < 0 {
			i = slices.IndexFunc(left, func(t *track) bool { return t.fate == gone })
		}
		if i < 0 {
			return false
		}
		r.makeUp(left[i], k, s.On)
		left = slices.Delete(slices.Clone(left), i, i+1)
		return true
	})
}

// makeUp says that a session which is not needed any more was done on the date. Where
// one that was missed stands ahead, it is that one which was done, and the other takes
// its place.
func (r *replay) makeUp(t *track, k weekplan.Kind, on day.Date) {
	for _, o := range r.of(k, ahead) {
		if t.fate == gone && r.wasMissed(o) {
			t.on, t.part, t.fate = o.on, o.part, ahead
			t = o
			break
		}
	}
	t.fate, t.as = done, on
}

func (r *replay) wasMissed(t *track) bool {
	return slices.ContainsFunc(r.missed, func(m missing) bool { return m.track == t })
}

// became says where a missed session is now, or on which day it was done; zero: it
// was let go.
func (m missing) became() day.Date {
	switch m.track.fate {
	case ahead:
		return m.track.on
	case done:
		return m.track.as
	}
	return 0
}
