package readiness

import (
	"fmt"
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/pathway"
)

// Condition is one condition of the gate in words.
type Condition struct {
	Name  ConditionName
	State State
	Asked string
	Seen  string
}

// Evidence tells every condition of the gate in words: what was asked, what was
// seen.
func (v *Verdict) Evidence() []Condition {
	p, c := &v.evidence.passage, v.evidence.chart
	return []Condition{
		{Enough, v.Conditions[Enough], fmt.Sprintf("%d sessions within ten days", c.n), p.seenEnough(c)},
		{InFullEach, v.Conditions[InFullEach], "each in full", p.seenInFull()},
		{Settled, v.Conditions[Settled], "most walks settled before half their length", p.seenSettled(v.Conditions[Settled])},
		{Easy, v.Conditions[Easy], askedEasy(c), p.seenEasy()},
		{NoPain, v.Conditions[NoPain], "no pain above 2 of 10, no limp", p.seenPain()},
	}
}

func askedEasy(c *chart) string {
	if c.walkingBase() {
		return "able to chat all the way, or effort 4 of 10 at most"
	}
	return "runs no harder than a short sentence, effort 6 of 10 at most"
}

func (p *passage) seenEnough(c *chart) string {
	switch k := len(p.asked); {
	case k == 0:
		return "none yet on this phase"
	case k == 1:
		return "1, " + ago(int(c.AsOf-p.asked[0].Date))
	default:
		return fmt.Sprintf("%d in %d days", k, p.span)
	}
}

func ago(days int) string {
	switch days {
	case 0:
		return "today"
	case 1:
		return "yesterday"
	default:
		return fmt.Sprintf("%d days ago", days)
	}
}

func (p *passage) seenInFull() string {
	if len(p.asked) == 0 {
		return "nothing to go by yet"
	}
	seen := fmt.Sprintf("%d of %d", p.inFull, len(p.asked))
	shortest := slices.MinFunc(p.asked, func(a, b try) int { return int(a.done - b.done) })
	if len(shortest.Blocks) == 0 || shortest.planned == 0 {
		return seen
	}
	return fmt.Sprintf("%s; shortest %s of %s", seen, pathway.Time(int(shortest.done)), pathway.Time(int(shortest.planned)))
}

func (p *passage) seenSettled(state State) string {
	switch {
	case state == NotAskedHere:
		return "no walk follows a run on this phase"
	case p.walks.judged == 0:
		return "no walks to go by yet"
	case p.walks.known == 0:
		return fmt.Sprintf("not told for any of %d walks", p.walks.judged)
	}
	seen := fmt.Sprintf("%d of %d", p.walks.settled, p.walks.known)
	if hidden := p.walks.judged - p.walks.known; hidden > 0 {
		seen += fmt.Sprintf(", %d more not told", hidden)
	}
	if settle, length, ok := p.medianSettle(); ok {
		seen += fmt.Sprintf("; median %d s of %d s", settle, length)
	}
	return seen
}

// medianSettle is the median settle time over all walks with a tap, and the
// length of that walk, in seconds; of an even count the lower of the middle two.
func (p *passage) medianSettle() (settle, length int, ok bool) {
	type tap struct{ settle, length int }
	var taps []tap
	for _, d := range p.asked {
		for i := range d.Blocks {
			if s, tapped := d.Blocks[i].Settle.Get(); tapped && judgedWalk(d.Blocks, i) {
				taps = append(taps, tap{s, d.Blocks[i].length()})
			}
		}
	}
	if len(taps) == 0 {
		return 0, 0, false
	}
	slices.SortFunc(taps, func(a, b tap) int { return a.settle - b.settle })
	m := taps[(len(taps)-1)/2]
	return m.settle, m.length, true
}

func (p *passage) seenEasy() string {
	if len(p.asked) == 0 {
		return "nothing to go by yet"
	}
	highest, talk, silent := -1, NotAsked, 0
	for _, d := range p.asked {
		highest = max(highest, d.Effort.Or(-1))
		talk = max(talk, d.Talk)
		if !d.Effort.Known() && d.Talk == NotAsked {
			silent++
		}
	}
	var parts []string
	if highest >= 0 {
		parts = append(parts, fmt.Sprintf("effort %d at most", highest))
	}
	if talk != NotAsked {
		parts = append(parts, [...]string{"", "could chat", "a short sentence at worst", "only single words at worst"}[talk])
	}
	if silent > 0 {
		parts = append(parts, fmt.Sprintf("%d not told", silent))
	}
	return strings.Join(parts, "; ")
}

func (p *passage) seenPain() string {
	var parts []string
	for _, d := range p.asked {
		if d.Limp {
			parts = append(parts, "a limp")
			break
		}
	}
	if p.worst > 0 {
		parts = append(parts, fmt.Sprintf("highest %d", p.worst))
	}
	if p.unasked {
		parts = append(parts, "not told in one session")
	}
	if p.morning {
		parts = append(parts, "tomorrow morning still to come")
	}
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, "; ")
}
