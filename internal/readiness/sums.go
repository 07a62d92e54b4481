package readiness

import "iter"

// Sum is what rule 8 reads of one session.
type Sum struct {
	*Session
	Load       float64 // AU
	Filled     bool    // the effort was not given and stands for the usual one
	Minutes    int     // of the whole training
	Ran        int     // seconds of running
	RunPlanned int     // seconds of running planned; of planned sessions
	Planned    int     // seconds planned; of planned sessions
}

// Sums are the sessions that the verdict read, the oldest first, with their sums.
// It is empty for a Verdict that Assess did not make.
func (v *Verdict) Sums() iter.Seq[Sum] {
	return func(yield func(Sum) bool) {
		if v.evidence.chart == nil {
			return
		}
		for i := range v.evidence.chart.sessions {
			if !yield(v.evidence.chart.sessions[i].sum()) {
				return
			}
		}
	}
}

func (d *digest) sum() Sum {
	s := Sum{
		Session: d.Session, Load: float64(d.twiceLoad()) / 2, Filled: d.filled,
		Minutes: int(d.minutes), Ran: int(d.ran),
	}
	if d.Kind == Planned {
		s.RunPlanned, s.Planned = int(d.runPlanned), int(d.planned)
	}
	return s
}
