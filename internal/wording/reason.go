package wording

import (
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Reason is why somebody stands among those to decide on, in sentences. A deputy does
// not look at answers about health.
func Reason(row *morning.Row, keeper bool) string {
	switch {
	case row.Why != morning.WhyAnswered:
		return row.Sentence + whereTo(row)
	case keeper:
		return "The health questions were answered anew. Nothing in them was found to stop the training; please look at the answers."
	}
	return "The health questions were answered anew. A coach looks at the answers."
}

// whereTo says where a step that is not the next phase leads.
func whereTo(row *morning.Row) string {
	rung := row.Shelf.Find(row.Proposal.To)
	if row.Proposal.First == roster.MoveUp || rung == pathway.NoRung {
		return ""
	}
	return " Proposed: " + pathway.Words(row.Shelf.Blocks(rung)) + "."
}

// Noticed is a flag: its name in documents, and its word.
type Noticed struct{ Name, Word string }

// Beside is what was noticed besides what heads the row.
func Beside(row *morning.Row) []Noticed {
	var more []Noticed
	if row.Athlete.CheckSince != 0 && row.Why != morning.WhyAnswered {
		more = append(more, Noticed{"health_check", AnsweredAnew})
	}
	head := Why(row)
	for _, name := range row.Verdict.Flags.Names() {
		if word := Flag(name); word != head && !(row.Why == morning.WhyPause && name == "pain") {
			more = append(more, Noticed{name, word})
		}
	}
	return more
}
