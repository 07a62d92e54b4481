package roster

// Tells says whether the athlete is to hear of the decision by mail: what was only
// looked at is none of it, and going on as before is told where the coach adds a word.
func (d *Decision) Tells() bool {
	switch d.Choice {
	case Seen:
		return false
	case Hold:
		return d.Word != ""
	}
	return true
}

// Holds says whether the athlete still stands where the decision led.
func (d *Decision) Holds(a *Athlete) bool {
	return d.UndoneAt.IsZero() && d.After.Pathway == a.Pathway && d.After.Phase == a.Phase && d.After.Held == a.Held
}
