package readiness

import (
	"fmt"
	"math"
	"strings"

	"halfhour.app/halfhour/internal/pathway"
)

// Sentence says the verdict to the coach in a sentence or two.
func (v *Verdict) Sentence() string {
	switch e := &v.evidence; {
	case v.Action == Refer:
		return e.tellSign()
	case v.Action == Pause:
		return e.tellPause()
	case v.Action == EaseBack:
		return e.tellBack()
	case v.Flags.Has(FlagLoadJump):
		return v.tellJump()
	case v.Stalling != NoCause:
		return v.tellStall()
	case v.Gate == Open:
		return v.tellOpen()
	case v.Flags.Has(FlagQuiet):
		return e.tellQuiet()
	case v.Conditions[NoPain] == Unmet:
		return e.tellPain()
	case v.Flags.Has(FlagIrregular):
		return fmt.Sprintf("%s of the %d sessions planned in two weeks were done. Missing sessions is not failing them.",
			capital(pathway.Number(e.present.done)), e.present.planned)
	case v.Gate == Unproven:
		return v.tellUnproven()
	default:
		return v.tellShut()
	}
}

// words of the warning signs.
var signWords = [...]string{
	"chest pressure", "fainting", "severe breathlessness", "palpitations", "confusion in the heat", "weakness on one side", "a hot swollen calf",
	"pain at night or at rest", "one bony spot sore to touch", "pain on a single-leg hop", "deep groin pain",
}

// Words says the sign in plain words.
func (s Sign) Words() string { return signWords[s] }

func (e *evidence) tellSign() string {
	d, then := e.aches.stop, "No running until a doctor has cleared it; if it comes again, stop and call the local emergency number."
	if d == nil {
		d, then = e.aches.bone, "A bone may be hurt: no running until somebody qualified has looked at it."
	}
	var signs []string
	for _, s := range d.Signs {
		signs = append(signs, s.Words())
	}
	return fmt.Sprintf("%s, reported %s. %s", capital(strings.Join(signs, ", ")), ago(int(e.chart.AsOf-d.Date)), then)
}

func (e *evidence) tellPause() string {
	if d := e.aches.pause; d != nil {
		when := ago(int(e.chart.AsOf - d.Date))
		switch p := worstPain(d.Session); {
		case p != nil && p.worst() >= pauseScore:
			return fmt.Sprintf("%s at %d of 10, %s. No running until it has been looked at and cleared.", capital(site(p)), p.worst(), when)
		case d.became == StoppedForPain:
			return fmt.Sprintf("Stopped for pain %s. No running until it has been looked at and cleared.", when)
		default:
			return fmt.Sprintf("Limped %s. No running until it has been looked at and cleared.", when)
		}
	}
	return fmt.Sprintf("%s at 3 or more in three sessions in a row. By the usual definition that is an injury: no running until cleared.", capital(e.aches.site))
}

func worstPain(s *Session) *Pain {
	var found *Pain
	for i := range s.Pain {
		if p := &s.Pain[i]; found == nil || p.worst() > found.worst() {
			found = p
		}
	}
	return found
}

func site(p *Pain) string { return strings.TrimSpace(p.Site) }

func (e *evidence) tellBack() string {
	switch e.cause {
	case backForPain:
		if e.aches.rose {
			return fmt.Sprintf("%s rose to %d of 10 from last week to this.", capital(e.aches.backSite), e.aches.backScore)
		}
		return fmt.Sprintf("%s still at %d of 10 the next morning.", capital(e.aches.backSite), e.aches.backScore)
	case backForEffort:
		return "The last two sessions were rated 8 or more of 10: too much, too soon."
	}
	if e.chart.injured() {
		return "After an injury: begin at the first phase again, with a fresh health check."
	}
	said := fmt.Sprintf("%d days without running", e.gap.days)
	if e.gap.ended != nil {
		said += " before " + weekdayOf(e.gap.ended)
	}
	if e.gap.days >= restartDays {
		return said + ": begin at the first phase again, with a fresh health check."
	}
	return said + ": what was gained last has gone again; begin lower."
}

func weekdayOf(d *digest) string { return d.Date.Weekday().String() }

func (v *Verdict) tellJump() string {
	why := map[Cause]string{
		CauseUnplanned: "Most of it lies outside the plan.",
		CauseHarder:    "The sessions were harder rather than longer.",
		CauseLonger:    "The sessions were longer.",
	}[v.Load.Why]
	switch l, j := &v.Load, &v.evidence.jump; j.way {
	case 'a':
		if l.Learning {
			return fmt.Sprintf("%.0f minutes of running this week, well over what was planned. %s", math.Floor(l.RunMinutes+0.5), why)
		}
		return fmt.Sprintf("%.0f minutes of running this week against a mean of %.0f%s. %s", math.Floor(l.RunMinutes+0.5), math.Floor(l.RunReference+0.5), up(l.RunMinutes, l.RunReference), why)
	case 'b':
		return fmt.Sprintf("Load of %.0f this week against a mean of %.0f%s. %s", math.Floor(l.Week+0.5), math.Floor(l.Reference+0.5), up(l.Week, l.Reference), why)
	default:
		if j.ref == 0 {
			return fmt.Sprintf("One run of %s on %s, with none in the 30 days before. %s", pathway.Time(int(j.run.longRun)), weekdayOf(j.run), why)
		}
		return fmt.Sprintf("One run of %s on %s; the longest of the 30 days before was %s. %s",
			pathway.Time(int(j.run.longRun)), weekdayOf(j.run), pathway.Time(int(j.ref)), why)
	}
}

// up says by how much in per cent, where there is something to compare with.
func up(now, before float64) string {
	if before <= 0 {
		return ""
	}
	return fmt.Sprintf(", up %.0f%%", math.Floor(100*(now-before)/before+0.5))
}

func (v *Verdict) tellStall() string {
	weeks := int(v.evidence.chart.AsOf-v.evidence.chart.PhaseSince)/7 + 1
	cause := map[Cause]string{
		CausePain:      "pain keeps coming back",
		CauseEffort:    "the sessions stay too hard",
		CauseRecovery:  "the walks do not settle in time",
		CauseShortened: "the sessions are cut short",
	}[v.Stalling]
	said := fmt.Sprintf("Week %d on this phase, and %s.", weeks, cause)
	if v.Action == Stay && v.evidence.chart.rung.Half() {
		return said + " This is the half step already."
	}
	return said
}

func (v *Verdict) tellOpen() string {
	p := &v.evidence.passage
	said := fmt.Sprintf("%d of %d sessions in full", p.inFull, len(p.asked))
	if v.Conditions[Settled] == Met {
		said += fmt.Sprintf("; %d of %d walks settled in under half their length", p.walks.settled, p.walks.known)
	}
	said += "."
	if v.Flags.Has(FlagArrived) {
		return "Thirty minutes without a break. " + said
	}
	if v.Flags.Has(FlagHealthCheck) {
		return said + " A fresh health check comes before the next phase."
	}
	return said
}

func (e *evidence) tellQuiet() string {
	if e.heard == 0 {
		return fmt.Sprintf("Nothing logged since this phase began, %s.", ago(int(e.chart.AsOf-e.chart.PhaseSince)))
	}
	return fmt.Sprintf("Nothing logged since the session %s.", ago(int(e.chart.AsOf-e.heard)))
}

func (e *evidence) tellPain() string {
	c := e.chart
	for i := len(c.sessions) - 1; i >= 0; i-- {
		d := &c.sessions[i]
		if p := worstPain(d.Session); p != nil && p.worst() >= holdScore && c.seesGate(d) {
			return fmt.Sprintf("%s at %d of 10, %s: hold here until it is 2 or less.", capital(site(p)), p.worst(), ago(int(c.AsOf-d.Date)))
		}
	}
	return "Pain was reported: hold here."
}

// tellUnproven names what would settle the gate (rule 10.4).
func (v *Verdict) tellUnproven() string {
	p := &v.evidence.passage
	var missing []string
	if v.Conditions[Settled] == Unknown {
		if p.walks.mixed {
			missing = append(missing, "breath and heart rate disagree: measure the easy ceiling by a talk test")
		} else {
			missing = append(missing, "a tap when the breath is back in each walk, or the answer how soon it was")
		}
	}
	if v.Conditions[Easy] == Unknown {
		if p.mixed && !p.walks.mixed {
			missing = append(missing, "talk and heart rate disagree: measure the easy ceiling by a talk test")
		} else {
			missing = append(missing, "how hard the session was, or how talk went")
		}
	}
	if v.Conditions[NoPain] == Unknown {
		if p.morning {
			missing = append(missing, "how it feels tomorrow morning")
		} else {
			missing = append(missing, "the answer about pain")
		}
	}
	return "All that is known speaks for moving up. What would settle it: " + strings.Join(missing, "; ") + "."
}

// tellShut names what is still missing.
func (v *Verdict) tellShut() string {
	p, c := &v.evidence.passage, v.evidence.chart
	if v.Conditions[InFullEach] != Unmet && v.Conditions[Settled] != Unmet && v.Conditions[Easy] != Unmet && len(p.asked) < c.n {
		left := c.n - len(p.asked)
		if len(p.asked) == 0 {
			return fmt.Sprintf("New on this phase: %s sessions in full open the gate.", pathway.Number(c.n))
		}
		return fmt.Sprintf("%s more %s in full, at this effort, may open the gate.", capital(pathway.Number(left)), plural(left, "session"))
	}
	var said []string
	if v.Conditions[InFullEach] == Unmet {
		said = append(said, fmt.Sprintf("%d of %d sessions in full", p.inFull, len(p.asked)))
	}
	if v.Conditions[Settled] == Unmet {
		said = append(said, fmt.Sprintf("%d of %d walks settled in time", p.walks.settled, p.walks.known))
	}
	if v.Conditions[Easy] == Unmet {
		said = append(said, fmt.Sprintf("%d of %d easy enough", p.easy, len(p.asked)))
	}
	if len(said) == 0 && v.Conditions[Enough] == Met {
		return fmt.Sprintf("All of it done, but not yet one run of %s without a break.", pathway.Time(longestPlanned(c.blocks)))
	}
	if len(said) == 0 {
		return "The sessions lie too far apart, or too soon after the phase began. Same again this week."
	}
	return capital(strings.Join(said, "; ")) + ". Same again this week."
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
