package roster

import "halfhour.app/halfhour/internal/readiness"

// Became is what became of the session if it was a planned one (rule 2.2), else
// NotStated.
func (s *Session) Became() readiness.Outcome {
	if s.Kind != readiness.Planned {
		return readiness.NotStated
	}
	return readiness.OutcomeOf(&s.Session)
}

// Exposure says whether the session was a planned one of which something was
// done (rule 2.1).
func (s *Session) Exposure() bool {
	switch s.Became() {
	case readiness.InFull, readiness.Shortened, readiness.StoppedForPain:
		return true
	}
	return false
}
