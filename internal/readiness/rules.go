package readiness

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// rules are the numbers of the rules behind the action, each flag and each unmet
// condition, in the order of the rule book (rule 10.4).
func (v *Verdict) rules(c *chart) []Rule {
	rules := make([]Rule, 0, 8)
	add := func(holds bool, numbers ...Rule) {
		if !holds {
			return
		}
		for _, n := range numbers {
			if !slices.Contains(rules, n) {
				rules = append(rules, n)
			}
		}
	}
	e, a := &v.evidence, &v.evidence.aches
	add(true, "10.1")
	add(a.bone != nil, "6.4", "6.7")
	add(a.stop != nil, "6.5", "6.7")
	add(a.pause != nil, "6.1", "6.7")
	add(a.lasting != nil, "6.3", "6.7")
	add(len(a.back) > 0, "6.2")
	add(v.Action == EaseBack, "10.2")
	add(e.cause == backAfterGap || v.Flags.Has(FlagHealthCheck), "9.4")
	add(v.Action == MoveUp || v.Action == Arrived || v.Action == Stay, "7")
	add(v.Action == HalfStep, "9.5")
	v.flagRules(add)
	v.conditionRules(c, add)
	slices.SortFunc(rules, byNumber)
	return rules
}

func (v *Verdict) flagRules(add func(bool, ...Rule)) {
	add(v.Flags&(FlagReady|FlagArrived|FlagUnproven) != 0, "7")
	add(v.Flags.Has(FlagPain), "6.1")
	add(v.Flags.Has(FlagLoadJump), "8.3", "8.4")
	add(v.Flags.Has(FlagStalling), "9.1")
	add(v.Flags.Has(FlagIrregular), "9.2")
	add(v.Flags.Has(FlagQuiet), "9.3")
	add(v.Flags.Has(FlagMixed), v.mixedRules()...)
	add(v.Flags.Has(FlagLearning), "8.2")
	add(v.Flags.Has(FlagBackToBack), "8.6")
}

// mixedRules tells whether walks or runs gave answers that disagree.
func (v *Verdict) mixedRules() []Rule {
	if v.evidence.passage.walks.mixed {
		return []Rule{"3.5"}
	}
	return []Rule{"5.1", "5.2"}
}

func (v *Verdict) conditionRules(c *chart, add func(bool, ...Rule)) {
	add(v.Conditions[Enough] == Unmet, "7")
	add(v.Conditions[InFullEach] == Unmet, "2.2", "7")
	add(v.Conditions[Settled] == Unmet, "3.6", "7")
	add(v.Conditions[Easy] == Unmet && c.walkingBase(), "5.3", "7")
	add(v.Conditions[Easy] == Unmet && !c.walkingBase(), "5.1", "7")
	add(v.Conditions[NoPain] == Unmet, "6.1", "7")
}

// byNumber orders 2.2 before 10.1.
func byNumber(a, b Rule) int {
	chapterA, restA, _ := strings.Cut(string(a), ".")
	chapterB, restB, _ := strings.Cut(string(b), ".")
	return cmp.Or(cmp.Compare(number(chapterA), number(chapterB)), cmp.Compare(number(restA), number(restB)))
}

func number(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}
