package strength

import (
	"fmt"
	"strconv"
)

// Words tell an athlete what to do the next time and why, in one or two sentences.
func (n *Next) Words(c *Case) string {
	unit := "repetitions"
	if c.Exercise.Measure == Hold {
		unit = "seconds"
	}
	form := n.Form
	if e, known := c.Library.Find(form); known {
		form = e.Name + "."
	}
	switch n.Move {
	case Begin:
		return begin(&c.Exercise, n.Target)
	case Heavier:
		return "Both times more than " + strconv.Itoa(c.Target.High) + " " + unit + ": take " + Kilograms(n.Grams) + " now."
	case Longer:
		return fmt.Sprintf("The next dumbbell, %s, is more than 10 %% heavier. Stay with %s until you reach %d repetitions twice in a row.", Kilograms(n.Bell), Kilograms(n.Grams), n.Target.High)
	case NextBell:
		return fmt.Sprintf("You have made up for the large step: take %s now, and begin again with %d repetitions.", Kilograms(n.Grams), n.Target.Low)
	case Lighter:
		return fmt.Sprintf("Under %d %s last time: take %s, and end each set while you could do a few more.", n.Target.Low, unit, Kilograms(n.Grams))
	case HarderForm:
		return "Both times more than " + strconv.Itoa(c.Target.High) + " " + unit + ". Now the harder form: " + form
	case EasierForm:
		return fmt.Sprintf("Under %d %s last time. The easier form fits better for now: %s", n.Target.Low, unit, form)
	case SwapOut:
		return "It hurt, so something else takes its place. If the pain stays, or comes at night or at rest, ask a doctor; this is no medical advice."
	case ComeBack:
		return comeBack(n, c, form)
	}
	return repeat(n, unit)
}

// begin is how to find the first weight: by what is left, as nothing has to be tried
// out to the end (common practice for novices).
func begin(e *Exercise, t Target) string {
	switch e.Measure {
	case Weight:
		return fmt.Sprintf("Take a weight with which you could do %d more after %d repetitions. If in doubt, the lighter one.", t.Reserve+2, t.Low)
	case Hold:
		return fmt.Sprintf("Begin with %d seconds, and stop while you could go on.", t.Low)
	}
	return fmt.Sprintf("Begin with %d repetitions, and stop while you could do %d more.", t.Low, t.Reserve)
}

func comeBack(n *Next, c *Case, form string) string {
	text := "It has been a while. Begin with " + count(n.Target.Sets, "set")
	if c.weighted(n) {
		text += " and " + Kilograms(n.Grams)
	}
	if form != "" {
		return text + ", in the easier form: " + form
	}
	return text + "; it comes back soon."
}

func repeat(n *Next, unit string) string {
	switch n.Why {
	case UnderRange:
		return fmt.Sprintf("Under %d %s last time. The same again, with a longer rest between the sets.", n.Target.Low, unit)
	case SmallPain:
		return "The same again, as something hurt a little. Leave it out when it gets worse."
	case TooNear:
		return fmt.Sprintf("The same again: end each set while you could do at least %d more.", n.Target.Reserve)
	case BeatenOnce:
		return "Well over the range. The same again; if it goes as well once more, it gets heavier."
	case NoHeavier:
		return "Nothing heavier is there. The same again, lowering for three seconds."
	}
	return fmt.Sprintf("The same again, until every set goes past %d %s.", n.Target.High, unit)
}

func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return strconv.Itoa(n) + " " + thing + "s"
}

// Words say the target: "2 × 8 to 12", "2 × 15 to 30 s each side".
func (t Target) Words(e *Exercise) string {
	text := fmt.Sprintf("%d × %d to %d", t.Sets, t.Low, t.High)
	if t.Low == t.High {
		text = fmt.Sprintf("%d × %d", t.Sets, t.Low)
	}
	if e.Measure == Hold {
		text += " s"
	}
	if e.Sides {
		text += " each side"
	}
	return text
}

// Words say a swap in a sentence: what goes, why, what takes its place.
func (s *Swap) Words(l Library) string {
	name := "An exercise of before"
	if e, known := l.Find(s.From); known {
		name = e.Name
	}
	text := name + ": "
	for i, why := range s.Why {
		if i > 0 {
			text += "; "
		}
		text += why.Words()
	}
	e, known := l.Find(s.To)
	if !known {
		return text + ". Nothing that fits is left in its place, so it is left out."
	}
	return text + ". Instead: " + e.Name + "."
}
