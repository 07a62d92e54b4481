package warmup

import (
	"fmt"
	"strings"

	"halfhour.app/halfhour/internal/fault"
)

// Step is a movement in a routine, so many seconds or repetitions of it; of each
// side, where the movement has sides.
type Step struct {
	Move  string // its ID
	Count int
}

// Routine is what is done before and after a session, in this order.
type Routine struct {
	Before, After []Step
}

// Bounds of a routine, in seconds: 5 to 10 minutes of walking and moving before are
// common practice; what lies outside these bounds is hardly meant (ours).
const (
	FewestDynamic = 3
	MostDynamic   = 5
	LeastBefore   = 4 * 60
	MostBefore    = 20 * 60
	LeastAfter    = 3 * 60
	MostAfter     = 20 * 60
	MostCount     = 900
	MostReps      = 30
	MostSteps     = 14
	secondsOfRep  = 3
)

// Default is the routine that everybody begins with: some nine minutes before, and
// with a roller two more; five minutes of walking after.
func Default() Routine {
	return Routine{
		Before: usual("easy-walk", "roll-calves", "roll-thighs", "leg-swings", "ankle-rocks", "lunge-reach", "squat-reach", "march", "skips"),
		After:  usual("cool-walk"),
	}
}

func usual(moves ...string) []Step {
	library := Standard()
	steps := make([]Step, len(moves))
	for i, id := range moves {
		m, _ := library.Find(id)
		steps[i] = Step{id, m.Usual}
	}
	return steps
}

// Seconds is how long the step takes, both sides of it; repetitions are three
// seconds each (ours). A movement that is not in the library takes no time.
func (s Step) Seconds(l Library) int {
	m, _ := l.Find(s.Move)
	seconds := s.Count
	switch {
	case m.ID == "":
		return 0
	case !m.Timed:
		seconds *= secondsOfRep
	}
	if m.Sides {
		seconds *= 2
	}
	return seconds
}

// Seconds is how long the steps take together.
func Seconds(steps []Step, l Library) int {
	sum := 0
	for _, s := range steps {
		sum += s.Seconds(l)
	}
	return sum
}

// Words say how much of a step: "5 min", "30 s each side", "10 times each side".
func (s Step) Words(l Library) string {
	m, _ := l.Find(s.Move)
	text := fmt.Sprintf("%d times", s.Count)
	if m.Timed {
		text = length(s.Count)
	}
	if m.Sides {
		text += " each side"
	}
	return text
}

func length(seconds int) string {
	minutes, rest := seconds/60, seconds%60
	switch {
	case minutes == 0:
		return fmt.Sprintf("%d s", rest)
	case rest == 0:
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d min %02d", minutes, rest)
}

// Check finds what is wrong with an edited routine; places are paths such as
// before[2].count, before and after for what is wrong with the whole. Nothing wrong
// is nil.
func (r *Routine) Check(l Library) []fault.Field {
	faults := append(checkSteps("before", r.Before, l), checkSteps("after", r.After, l)...)
	if len(faults) > 0 {
		return faults // what the whole lacks is told when each step can be read
	}
	wrong := func(when bool, place, message string) {
		if when {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	n := kinds(r.Before, l)
	wrong(n[Walk] == 0, "before", "begin with an easy walk")
	wrong(n[Dynamic] < FewestDynamic || n[Dynamic] > MostDynamic, "before", fmt.Sprintf("take %d to %d movements, not %d", FewestDynamic, MostDynamic, n[Dynamic]))
	before, after := Seconds(r.Before, l), Seconds(r.After, l)
	wrong(before < LeastBefore || before > MostBefore, "before", fmt.Sprintf("takes %s together; %s to %s are useful", length(before), length(LeastBefore), length(MostBefore)))
	wrong(kinds(r.After, l)[CoolDown] == 0, "after", "end with a walk")
	wrong(after < LeastAfter || after > MostAfter, "after", fmt.Sprintf("takes %s together; %s to %s are useful", length(after), length(LeastAfter), length(MostAfter)))
	return faults
}

// kinds counts the movements of each kind.
func kinds(steps []Step, l Library) (n [nKinds]int) {
	for _, s := range steps {
		if m, known := l.Find(s.Move); known {
			n[m.Kind]++
		}
	}
	return n
}

// checkSteps looks at each step by itself: known, once, in order of kind, and no
// more of it than makes sense.
func checkSteps(place string, steps []Step, l Library) []fault.Field {
	if len(steps) > MostSteps {
		return []fault.Field{{Place: place, Message: fmt.Sprintf("must be at most %d steps, not %d", MostSteps, len(steps))}}
	}
	var faults []fault.Field
	seen, latest := map[string]bool{}, Walk
	for i, s := range steps {
		at := fmt.Sprintf("%s[%d]", place, i)
		m, known := l.Find(s.Move)
		most := MostReps
		if m.Timed {
			most = MostCount
		}
		switch {
		case !known:
			faults = append(faults, fault.Field{Place: at + ".move", Message: "is not in the library"})
			continue
		case seen[s.Move]:
			faults = append(faults, fault.Field{Place: at + ".move", Message: "is there twice"})
		case place == "before" && m.Kind == CoolDown:
			faults = append(faults, fault.Field{Place: at + ".move", Message: "belongs after the session"})
		case place == "before" && m.Kind < latest:
			faults = append(faults, fault.Field{Place: at + ".move", Message: "comes too late: " + strings.ToLower(m.Kind.Words()) + " before " + strings.ToLower(latest.Words())})
		case s.Count < 1 || s.Count > most:
			faults = append(faults, fault.Field{Place: at + ".count", Message: fmt.Sprintf("must be 1 to %d, not %d", most, s.Count)})
		}
		seen[s.Move], latest = true, max(latest, m.Kind)
	}
	return faults
}

// Limits of a movement that a coach adds, in letters.
const (
	LongestName = 60
	LongestHow  = 300
)

// Check finds what is wrong with a movement that a coach adds. A movement through the
// full range that loads nothing could not be left out when something hurts.
func (m *Move) Check() []fault.Field {
	var faults []fault.Field
	wrong := func(when bool, place, message string) {
		if when {
			faults = append(faults, fault.Field{Place: place, Message: message})
		}
	}
	name, how := len([]rune(strings.TrimSpace(m.Name))), len([]rune(strings.TrimSpace(m.How)))
	most := MostReps
	if m.Timed {
		most = MostCount
	}
	wrong(name < 1 || name > LongestName, "name", fmt.Sprintf("must be 1 to %d letters", LongestName))
	wrong(m.Kind >= nKinds, "kind", "is not one of the kinds")
	wrong(how < 1 || how > LongestHow, "how", fmt.Sprintf("must be 1 to %d letters", LongestHow))
	wrong(m.Usual < 1 || m.Usual > most, "usual", fmt.Sprintf("must be 1 to %d, not %d", most, m.Usual))
	wrong(m.Loads == 0 && m.Kind != Walk && m.Kind != CoolDown, "loads", "say what it moves or loads, so that it can be left out when that hurts")
	return faults
}
