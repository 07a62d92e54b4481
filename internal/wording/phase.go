package wording

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Phase names the place on the pathway: "Walk-led, phase 3 of 4".
func Phase(p *pathway.Pathway, r pathway.Rung) string {
	if r == pathway.NoRung {
		return "Not on the pathway"
	}
	n, of := p.InStage(r)
	line := "phase " + strconv.Itoa(n) + " of " + strconv.Itoa(of)
	if r.Half() {
		line = "half step before " + line
	}
	return Capital(p.Phases[r.Phase()].Stage) + ", " + line
}

// PhaseNamed is the phase inside a sentence, "walk-led, phase 3 of 4", or its name
// where the pathway does not have it.
func PhaseNamed(shelf *roster.Shelf, id string) string {
	if shelf == nil {
		return id
	}
	r := shelf.Find(id)
	if r == pathway.NoRung {
		return id
	}
	words := Phase(&shelf.Pathway, r)
	return strings.ToLower(words[:1]) + words[1:]
}

// PhaseShort is "Run-led, 2 of 7".
func PhaseShort(row *morning.Row) string {
	if row.Rung == pathway.NoRung {
		return row.Athlete.Phase
	}
	return strings.Replace(Phase(&row.Shelf.Pathway, row.Rung), "phase ", "", 1)
}
