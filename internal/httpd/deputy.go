package httpd

import (
	"slices"

	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// What a deputy may not do is refused by the routes and the use cases; here it is
// only not offered.

// rosterForDeputy leaves the buttons that a deputy may press.
func rosterForDeputy(v *page.Roster, m *morning.Morning) {
	for i, row := range m.Decide {
		if !decide.DeputyMay(row.Proposal.First, row.Verdict.Action) {
			v.Decide[i].First = part.Act{}
		}
		if !decide.DeputyMay(row.Proposal.Second, row.Verdict.Action) {
			v.Decide[i].Second = part.Act{}
		}
	}
}

// athleteForDeputy leaves what a deputy may see and do on an athlete's page. Who
// cleared somebody, and how, is told to coaches.
func athleteForDeputy(v *page.Athlete, p *morning.Portrait, who roster.Actor) {
	may := func(o part.Option) bool {
		choice := roster.Choice(o.Value)
		if choice == easeWeek {
			choice = roster.Hold
		}
		return decide.DeputyMay(choice, p.Verdict.Action)
	}
	v.Decision.Others = slices.DeleteFunc(v.Decision.Others, func(o part.Option) bool { return !may(o) })
	switch {
	case may(v.Decision.Proposed):
	case len(v.Decision.Others) > 0:
		v.Decision.Proposed = part.Option{}
	default:
		v.Decision = page.Decision{}
	}
	for i := range p.Decisions {
		d := &p.Decisions[i]
		if d.Choice == roster.Cleared {
			v.Decisions[i].Reason = ""
		}
		if !decide.MayUndo(who, d) {
			v.Decisions[i].UndoForm = part.Undo{}
		}
	}
}
