package entry

import (
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

const withdrawnWords = "the consent was taken back, so nothing new is kept; it can be given again at any time"

// mayLog says why a session of somebody who is not here yet is not taken; the
// fault stands at kind. While it is the coach's turn and no doctor's word is waited
// for, a walk is taken: the first one, with talk and effort.
func mayLog(a *roster.Athlete, s *readiness.Session) error {
	if a.Arrival == roster.Here {
		return nil
	}
	var message string
	switch way := a.Coming(); {
	case way == Withdrawn:
		message = withdrawnWords
	case way == Clearance:
		message = "a doctor has to be asked first; nothing is planned until a coach has recorded what was said"
	case way == Invited:
		message = "the health questions come first; nothing is planned before they are answered"
	case s.Kind == readiness.Extra && !slices.ContainsFunc(s.Blocks, func(b readiness.Block) bool { return b.Kind == pathway.Run }):
		return nil
	default:
		message = "nothing is planned before the coach has said where to begin; until then a first walk of ten minutes can be told of"
	}
	return fault.At(fault.Field{Place: "kind", Message: message})
}
