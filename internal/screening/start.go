package screening

import (
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// Phases of the default pathway on which a newcomer may start (rule book, where a
// newcomer starts; ours).
const (
	startWalking = "B1"
	startRunning = "L1"
	startMinutes = "L2"
	startRunLed  = "R1"
)

// oldStart is the age over which one starts a phase lower.
const oldStart = 50

// begin says where to start. What the rules name is lowered by one phase, once, and
// never below the first.
func begin(a Answers, r *Result) Start {
	if !started(a) {
		return Start{}
	}
	s := ruled(a)
	if lower := lowering(a, r); len(lower) > 0 {
		s.Lower = true
		s.Reasons = append(append(s.Reasons, lower...), "Therefore one phase lower, once, where there is a lower one.")
	}
	s.Phase = s.On(pathway.Default())
	return s
}

// started says whether any starting question was answered.
func started(a Answers) bool {
	return slices.ContainsFunc([]string{Breathless, Endurance, WalksHalf, RunsFew, Alternates}, func(q string) bool { return len(a.Given(q)) > 0 })
}

// ruled is the phase that the rule book names. Unsure and silence count as what
// leads lower: short of breath yes, everything that one can do no.
func ruled(a Answers) Start {
	can := func(q string) bool { given := a.Given(q); return len(given) == 1 && given[0] == Yes }
	switch {
	case yes(a, Breathless):
		return Start{Rule: startWalking, Reasons: []string{"Something light leaves this person short of breath, or that is not sure: short walks first."}}
	case !can(Endurance):
		return Start{Rule: startWalking, Reasons: []string{"No regular training of breath and heart in the last months: short walks first."}}
	case can(Alternates):
		return Start{Rule: startRunLed, Reasons: []string{"Runs and walks in turn already, and runs for the larger part."}}
	case can(RunsFew):
		return Start{Rule: startMinutes, Reasons: []string{"Can run for a few minutes before slowing down."}}
	case can(WalksHalf):
		return Start{Rule: startRunning, Reasons: []string{"Walks half an hour with ease: running can begin, one minute at a time."}}
	}
	return Start{Rule: startWalking, Reasons: []string{"Half an hour of walking is not easy yet: short walks first."}}
}

// lowering are the reasons to start one phase lower. Without a year of birth the
// age counts as one; height and weight are not asked of who does not like to tell.
// A leg that was operated on counts as a hurt one (ours).
func lowering(a Answers, r *Result) []string {
	var reasons []string
	if over(a) {
		reasons = append(reasons, "The body mass index is over 30: each step asks more of shins and knees.")
	}
	if r.Age > oldStart {
		reasons = append(reasons, "The age is over 50, or will be this year: tendons need longer to get used to running.")
	}
	if r.Age == 0 {
		reasons = append(reasons, "The age is not known.")
	}
	if hurtLeg(a) {
		reasons = append(reasons, "A leg was hurt before: that is where a new injury comes most easily.")
	}
	return reasons
}

// hurtLeg says whether a leg was hurt before, or may have been.
func hurtLeg(a Answers) bool {
	return leg(a, Injuries) || leg(a, Operation)
}

// leg says whether an answer to the question is of a leg. Everything is that is not
// the back, none, or an operation of late, which says nothing of where.
func leg(a Answers, question string) bool {
	given := a.Given(question)
	return len(given) == 0 || slices.ContainsFunc(given, func(v string) bool { return v != back && v != None && v != recent })
}

// On is the phase of the pathway on which the start lies: on the default pathway
// Phase; on an edited one the last phase that, with all before it, asks no more of
// running than the phase which the rule book names, one lower where the start is
// lowered. It is empty where nothing was asked or the pathway has no phases.
func (s Start) On(p *pathway.Pathway) string {
	if s.Rule == "" || p == nil || len(p.Phases) == 0 {
		return ""
	}
	standard := pathway.Default()
	most := standard.Blocks(standard.Find(s.Rule))
	i := 0
	for i+1 < len(p.Phases) && within(p.Phases[i+1].Blocks, most) {
		i++
	}
	if s.Lower && i > 0 {
		i--
	}
	return p.Phases[i].ID
}

// within says whether a session asks no more than another: no more running and no
// longer run; and where the other has no run, no longer walk.
func within(blocks, most []pathway.Block) bool {
	if !pathway.HasRun(most) {
		return !pathway.HasRun(blocks) && pathway.Seconds(blocks) <= pathway.Seconds(most)
	}
	return pathway.SecondsOf(pathway.Run, blocks) <= pathway.SecondsOf(pathway.Run, most) && pathway.LongestRun(blocks) <= pathway.LongestRun(most)
}
