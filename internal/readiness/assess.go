package readiness

import (
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/pathway"
)

// Assess carries out the rule book for the day h.AsOf. The phase must exist on
// the pathway and every planned exposure must state one.
func Assess(h *History) Verdict {
	c := newChart(h)
	l := c.weigh()
	v := Verdict{evidence: evidence{chart: &c, aches: c.pains(), gap: c.longestGap(), present: c.attended(), hard: c.hardTwice()}}
	e := &v.evidence
	tries := c.tries()
	e.passage = c.pass(tries, c.AsOf)
	v.Gate, v.Conditions = e.passage.gate, e.passage.conditions
	v.Stalling = c.stalls(tries, e.present)
	jumped, why := c.jumped(&l)
	e.jump = jumped
	v.Load = c.report(&l, why)
	v.setFlags(&c)
	v.act(&c)
	v.Rules = v.rules(&c)
	return v
}

// stopped says that rule 6 refers or pauses.
func (a *aches) stopped() bool { return a.refers() || a.pausesRunning() }

func (a *aches) refers() bool { return a.stop != nil || a.bone != nil }

func (a *aches) pausesRunning() bool { return a.pause != nil || a.lasting != nil }

// setFlags sets every flag that holds (rule 10.3).
func (v *Verdict) setFlags(c *chart) {
	e := &v.evidence
	stopped := e.aches.stopped()
	last := c.rung == c.Pathway.Last()
	quiet, heard := c.quiet()
	e.heard = heard
	quiet = quiet && !stopped
	_, check := c.backTo(e.gap)
	for _, f := range [...]struct {
		flag  Flag
		holds bool
	}{
		{FlagReady, v.Gate == Open && !last && !stopped},
		{FlagArrived, v.Gate == Open && last && !stopped},
		{FlagPain, e.aches.noticed || v.Conditions[NoPain] == Unmet},
		{FlagWarning, e.aches.refers()},
		{FlagLoadJump, e.jump.way != 0},
		{FlagStalling, v.Stalling != NoCause},
		{FlagIrregular, !quiet && !stopped && c.irregular(e.present)},
		{FlagQuiet, quiet},
		{FlagUnproven, v.Gate == Unproven},
		{FlagMixed, e.passage.mixed},
		{FlagLearning, v.Load.Learning},
		{FlagBackToBack, c.backToBack()},
		{FlagHealthCheck, check},
	} {
		if f.holds {
			v.Flags |= f.flag
		}
	}
}

// act picks the action by the first rule that applies (rule 10.1), and where it
// leads (10.3).
func (v *Verdict) act(c *chart) {
	e := &v.evidence
	back, cause := c.back(e)
	to := c.rung
	switch {
	case e.aches.refers():
		v.Action = Refer
		return
	case e.aches.pausesRunning():
		v.Action = Pause
		return
	case cause != noStep:
		v.Action, to, e.cause = EaseBack, back, cause
	case v.Flags.Has(FlagLoadJump):
		v.Action = Stay
	case v.Stalling != NoCause:
		v.Action = Stay
		if c.halfStepOffered(v.Stalling) {
			v.Action, to = HalfStep, c.rung-1
		}
	case v.Gate == Open && c.rung != c.Pathway.Last() && !v.Flags.Has(FlagHealthCheck):
		v.Action, to = MoveUp, above(c.rung)
	case v.Gate == Open && c.rung == c.Pathway.Last():
		v.Action = Arrived
	default:
		v.Action = Stay
	}
	v.To, v.Blocks = c.Pathway.ID(to), c.Pathway.Blocks(to)
}

// above is the phase that an open gate leads to: from a half step the phase
// itself (rule 9.5).
func above(r pathway.Rung) pathway.Rung {
	if r.Half() {
		return r + 1
	}
	return r + 2
}

// back is the lowest of the steps back that pain, effort and gaps ask for, and
// which of them asks (rules 6.2, 9.4, 10.1, 10.2).
func (c *chart) back(e *evidence) (pathway.Rung, backCause) {
	to, cause := c.rung, noStep
	take := func(r pathway.Rung, why backCause) {
		if r < to {
			to, cause = r, why
		}
	}
	for _, d := range e.aches.back {
		take(c.stepBack(d), backForPain)
	}
	if e.hard != nil {
		take(c.stepBack(e.hard), backForEffort)
	}
	r, _ := c.backTo(e.gap)
	take(r, backAfterGap)
	return to, cause
}

// halfStepOffered says whether a half step is offered: when recovery, effort or
// shortening stalls, there is one, and it was not tried before (rule 9.5).
func (c *chart) halfStepOffered(cause Cause) bool {
	if cause == CausePain || c.rung.Half() || len(c.Pathway.HalfStep(c.rung.Phase())) == 0 {
		return false
	}
	half := c.Pathway.ID(c.rung - 1)
	return !slices.ContainsFunc(c.sessions, func(d digest) bool { return d.Phase == half })
}

// Fingerprint changes when the verdict says something else to the coach: the
// action, where it leads, the flags and causes. It is the same on two days that
// propose the same.
func (v *Verdict) Fingerprint() string {
	return strings.Join(append([]string{v.Action.String(), v.To, v.Stalling.String(), v.Load.Why.String()}, v.Flags.Names()...), " ")
}
