package morning

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Week is what was done and planned in seven dates.
type Week struct {
	First, Last day.Date
	Load        float64 // AU
	Ran         int     // seconds of running
	RunPlanned  int     // seconds of running planned, whatever became of it
	Sessions    int     // planned sessions of which something was done
	Filled      int     // sessions whose effort stands for the usual one
}

// Stay is a time on one phase.
type Stay struct {
	Phase    string
	From, To day.Date // To is zero for the present one
	Sessions int      // planned sessions of the phase of which something was done
}

// stays are the phases walked so far, from the decisions that stand.
func (p *Portrait) stays() []Stay {
	a := p.Athlete
	var stays []Stay
	begin := a.JoinedOn
	for _, d := range slices.Backward(p.Decisions) {
		if !d.UndoneAt.IsZero() || d.Before.Phase == d.After.Phase {
			continue
		}
		begin = min(begin, d.Before.PhaseSince)
		stays = append(stays, Stay{Phase: d.Before.Phase, From: begin, To: d.After.PhaseSince})
		begin = d.After.PhaseSince
	}
	if len(stays) == 0 {
		begin = a.PhaseSince
	}
	stays = append(stays, Stay{Phase: a.Phase, From: begin})
	for i := range p.Sessions {
		s := &p.Sessions[i]
		if at := stayOn(stays, s.Date, s.Phase); at >= 0 && s.Exposure() {
			stays[at].Sessions++
		}
	}
	return stays
}

// stayOn finds the stay on the phase that holds the date. On the day of a change
// both do, so the phase decides.
func stayOn(stays []Stay, date day.Date, phase string) int {
	return slices.IndexFunc(stays, func(s Stay) bool {
		return s.Phase == phase && date >= s.From && (s.To == 0 || date <= s.To)
	})
}

// weeks sums everything since the first session by rolling week. A week has as
// many planned sessions as were listed, but at least those the pathway asked for:
// what nobody logged was planned all the same.
func (p *Portrait) weeks(v *readiness.Verdict) []Week {
	var weeks []Week // W0 first
	var listed []int
	for s := range v.Sums() {
		back := day.WeeksBack(p.Asked, s.Date)
		for len(weeks) <= back {
			last := p.Asked - day.Date(7*len(weeks))
			weeks, listed = append(weeks, Week{First: last - 6, Last: last}), append(listed, 0)
		}
		w := &weeks[back]
		w.Load += s.Load
		w.Ran += s.Ran
		w.RunPlanned += s.RunPlanned
		if s.Filled && s.Minutes > 0 {
			w.Filled++
		}
		if s.Kind == readiness.Planned {
			listed[back]++
			if (&roster.Session{Session: *s.Session}).Exposure() {
				w.Sessions++
			}
		}
	}
	for i := 1; i < len(weeks); i++ { // W0 is not over yet
		weeks[i].RunPlanned += p.unlisted(&weeks[i], listed[i])
	}
	slices.Reverse(weeks)
	return weeks
}

// unlisted is the running planned of sessions that nobody logged, in seconds. Days
// of leave ask for their share less (rule 9.1).
func (p *Portrait) unlisted(w *Week, listed int) int {
	if w.First < p.Athlete.JoinedOn {
		return 0
	}
	off := 0
	for d := w.First; d <= w.Last; d++ {
		if slices.ContainsFunc(p.Leaves, func(l roster.Leave) bool { return l.Holds(d) }) {
			off++
		}
	}
	missing := p.Of - (p.Of*off+6)/7 - listed
	if missing <= 0 {
		return 0
	}
	for _, stay := range p.Phases {
		if (day.Span{From: stay.From, To: stay.To}).Holds(w.Last) {
			if rung := p.Shelf.Find(stay.Phase); rung != pathway.NoRung {
				return missing * pathway.SecondsOf(pathway.Run, p.Shelf.Blocks(rung))
			}
		}
	}
	return 0
}
