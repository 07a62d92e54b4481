package days

import (
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
)

// week is what the replay came to.
func (r *replay) week() Week {
	w := Week{
		Athlete: r.file.Athlete, Shelf: r.shelf, Rung: r.rung, Way: r.way, Monday: r.monday, Today: r.today, Of: r.q.Sessions,
		Group: r.group, Compromises: r.plan.Compromises, Unplaced: r.plan.Unplaced, Yielded: r.plan.Yielded, asked: r.q,
	}
	w.asked.Present = r.present()
	if r.open() {
		w.Blocks = r.blocks
	} else if r.rung == pathway.NoRung {
		w.Shelf = nil
	}
	for i := range r.pins {
		for _, at := range []time.Time{r.pins[i].MadeAt, r.pins[i].LiftedAt} {
			if r.pins[i].Undone == "" && at.After(w.newest) {
				w.newest = at
			}
		}
		if r.pins[i].LiftedAt.IsZero() {
			w.Pins = append(w.Pins, r.pins[i])
		}
	}
	for i := range w.Days {
		d := &w.Days[i]
		d.On = r.monday + day.Date(i)
		d.Off, d.Holiday = r.off(d.On)
		d.Times, d.Phase = r.q.Days[i].Times, r.file.PhaseOn(d.On)
	}
	r.fill(&w)
	return w
}

// fill puts the sessions on their days.
func (r *replay) fill(w *Week) {
	put := func(s Session) { d := &w.Days[s.On-w.Monday]; d.Sessions = append(d.Sessions, s) }
	for _, s := range r.sessions {
		if one, did := r.read(s); did && r.holds(s.Date) {
			put(Session{Kind: r.sorted(s, one), On: s.Date, Part: one.Part, State: Done, Log: s})
			if s.Kind == readiness.Planned {
				w.Done++
			}
		}
	}
	if r.open() {
		for _, m := range r.missed {
			if w.Days[m.on-w.Monday].Off != NotOff || w.Past() && !r.wished(m) {
				continue
			}
			one := Session{Kind: m.kind, On: m.on, Part: m.part, State: Missed, Now: m.became(), Made: m.track.fate == done}
			if w.Past() && one.Now < one.On { // by the times and numbers of today, which then were others
				one.Now, one.Made = 0, false
			}
			put(one)
		}
	}
	for _, s := range r.plan.Sessions {
		put(r.planned(s))
	}
	for i := range w.Days {
		slices.SortStableFunc(w.Days[i].Sessions, bySession)
	}
}

// wished says whether somebody had wished the session that was missed to be on its day.
func (r *replay) wished(m missing) bool {
	return slices.ContainsFunc(r.pins, func(p roster.Pin) bool {
		return alike(p.Kind, m.kind) && falls(&p, m.on) && p.Undone == "" && p.MadeOn <= m.on && (p.LiftedOn == 0 || p.LiftedOn > m.on)
	})
}

// sorted is the kind of what was done as the replay took it in.
func (r *replay) sorted(log *roster.Session, s weekplan.Session) weekplan.Kind {
	_, known := r.legs[log.ID]
	if !known && s.Kind == weekplan.Strength && slices.ContainsFunc(r.q.Done, func(o weekplan.Session) bool { return o.On == s.On && o.Kind == weekplan.Legs }) {
		return weekplan.Legs
	}
	return s.Kind
}

// planned is a session to be done, with the wish that holds it and the group that
// meets then.
func (r *replay) planned(s weekplan.Session) Session {
	one := Session{Kind: s.Kind, On: s.On, Part: s.Part}
	k := s.Kind
	if k == weekplan.Walk {
		k = weekplan.Run
	}
	for i := range r.pins {
		p := &r.pins[i]
		if p.Kind == k && p.LiftedAt.IsZero() && falls(p, s.On) && (one.Pin.ID == 0 || p.By() >= one.Pin.By()) {
			one.Pin = *p
		}
	}
	meets := r.group.Meets[s.On-r.monday]
	if minutes, does := meets.Get(); does && k == weekplan.Run && roster.PartAt(minutes) == s.Part {
		one.At, one.Group = meets, r.group.Name
	}
	if r.file.Athlete.Available == 0 && one.Pin.Part == weekplan.Any && one.Group == "" {
		one.Part = weekplan.Any // nobody has said when there is time
	}
	return one
}
