package wording

import (
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
)

// Status is how somebody stands who is not training: what it is, since when or until
// when, and a sentence, which may be empty.
type Status struct{ What, Since, Words string }

// Away says why somebody on the roster is away.
func Away(row *morning.Row, d Dates) Status {
	s := Status{Since: d.Since(row.Away.Since, row.Asked)}
	switch row.Away.Kind {
	case morning.OnPause:
		s.What, s.Words = "Paused", "Waits for you to resume it."
		if row.Away.Due {
			s.Words = "Time to ask whether it can end."
		}
	case morning.Referred:
		s.What, s.Words = "Referred", "Waits for a clearance."
		if row.Away.Due {
			s.Words = "Time to ask what the doctor said."
		}
	default:
		s.What = Leave(row.Away.Leave)
		if row.Away.Leave == roster.Injured {
			s.Words = "Comes back at the first phase, with a fresh health check."
		}
		if row.Away.Until != 0 {
			s.Since = "until " + d.Near(row.Away.Until, row.Asked)
		}
	}
	return s
}

// Leave says to a coach what a time away is.
func Leave(kind roster.LeaveKind) string {
	switch kind {
	case roster.Ill:
		return "Ill"
	case roster.Injured:
		return "Injured"
	}
	return "On leave"
}

// Coming says how far somebody has come in. A deputy reads nothing of what was
// answered.
func Coming(row *morning.Row, d Dates, keeper bool) Status {
	s := Status{Since: d.Near(row.Coming.Since, row.Asked)}
	switch row.Coming.Kind {
	case morning.Waiting:
		s.What, s.Words = "Answered", "Your turn: read the answers and say where to begin."
	case morning.Clearing:
		s.What, s.Words = "Waits for a doctor", "Nothing is prescribed until a clearance is recorded."
	case morning.Withdrawn:
		s.What, s.Words = "Consent taken back", "Nothing is prescribed."
	default:
		s.What, s.Words = "Invited", "The questions are not answered yet."
	}
	if !keeper {
		s.Words = "A coach sees to it."
		if row.Coming.Kind == morning.Clearing {
			s.What = "Answered"
		}
	}
	return s
}

// Silent says since when nothing was logged.
func Silent(row *morning.Row, d Dates) string {
	if heard := row.Heard(); heard != 0 {
		return "Nothing logged since the session of " + d.Full(heard, row.Asked) + "."
	}
	return "Nothing logged since the start " + d.Near(row.Athlete.PhaseSince, row.Asked) + "."
}
