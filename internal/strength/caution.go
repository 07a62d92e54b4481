package strength

import "halfhour.app/halfhour/internal/body"

// Purpose says to people what the strength sessions are for, and no more than is
// known: fewer were hurt where people trained their strength (Lauersen and others, Br J
// Sports Med 2014;48:871–877, found), in few trials, mostly of team sports.
const Purpose = "Two or three short sessions a week make stairs, hills and the last minutes of a run easier, and may help your legs to take the running. Two are fine."

// Caution stands over every session.
const Caution = "End each set while you could do a few more, and breathe on. Stop when something hurts, or with pressure in the chest, dizziness or a sudden headache; when that stays, get help at once. This is no medical advice."

// Cautions are what the circumstances ask to be careful with, a sentence or two each;
// none is nil. Common practice of midwives and pelvic floor therapists.
func (c *Circumstances) Cautions() []string {
	switch c.State {
	case body.Pregnant:
		return []string{
			"Hold on to a wall or a chair whenever you stand on one leg: balance changes in pregnancy.",
			"Breathe out with the effort and never hold your breath. Stop and call your midwife or doctor at bleeding, leaking fluid, regular contractions, dizziness or chest pain.",
		}
	case body.JustBorn:
		return []string{
			"Begin when your midwife or doctor says so, later after a caesarean.",
			"If you leak, or feel heaviness or pain below, or the middle of your belly bulges, take the easier form and ask a midwife, doctor or pelvic floor therapist.",
		}
	}
	return nil
}
