package decide

import (
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// arrived says why nothing is decided yet about somebody who is not here: only a
// clearance is taken up.
func arrived(a *roster.Athlete, choice roster.Choice) error {
	if a.Arrival == roster.Here || choice == roster.Cleared {
		return nil
	}
	return fault.New(fault.Conflict, a.Name+" is still coming in, so there is nothing to decide yet.")
}

// tidy is the clearance as it is kept, and none where the choice is no clearance.
func tidy(ask Ask) roster.Clearance {
	if ask.Choice != roster.Cleared {
		return roster.Clearance{}
	}
	c := ask.Clearance
	c.GivenBy, c.Limits = roster.Clean(c.GivenBy), roster.Clean(c.Limits)
	return c
}
