package readiness

import "halfhour.app/halfhour/internal/intensity"

// Names of the values as they stand in documents, in the order of the values.
var (
	actionNames    = [...]string{"refer", "pause", "ease_back", "stay", "half_step", "move_up", "arrived"}
	flagNames      = [...]string{"ready", "arrived", "pain", "warning", "load_jump", "stalling", "irregular", "quiet", "unproven", "mixed", "learning", "back_to_back", "health_check"}
	stateNames     = [...]string{"not_asked", "met", "unmet", "unknown"}
	gateNames      = [...]string{"shut", "unproven", "open"}
	causeNames     = [...]string{"", "pain", "effort", "recovery", "shortened", "unplanned", "harder", "longer"}
	conditionNames = [...]string{"enough", "in_full", "settled", "easy", "no_pain"}
	kindNames      = [...]string{"planned", "extra", "strength", "other"}
	outcomeNames   = [...]string{"", "in_full", "shortened", "stopped_for_pain", "missed", "called_off"}
	breathNames    = [...]string{"", "early", "half", "late"}
	signNames      = [...]string{"chest_pressure", "faint", "breathless", "palpitations", "heat_confusion", "one_sided_weakness", "calf_swelling", "night_pain", "bone_tender", "hop_pain", "groin_deep"}
)

// String is the action's name in documents.
func (a Action) String() string { return actionNames[a] }

// String is the state's name in documents.
func (s State) String() string { return stateNames[s] }

// String is the gate's name in documents.
func (g Gate) String() string { return gateNames[g] }

// String is the cause's name in documents; empty for none.
func (c Cause) String() string { return causeNames[c] }

// String is the condition's name in documents.
func (c ConditionName) String() string { return conditionNames[c] }

// String is the kind's name in documents.
func (k SessionKind) String() string { return kindNames[k] }

// String is the outcome's name in documents; empty when not stated.
func (o Outcome) String() string { return outcomeNames[o] }

// String is the answer's name in documents; empty when not asked.
func (b Breath) String() string { return breathNames[b] }

// String is the sign's name in documents.
func (s Sign) String() string { return signNames[s] }

// Names are the names of the flags that are set, in their order.
func (f Flag) Names() []string {
	names := make([]string, 0, len(flagNames))
	for i, name := range flagNames {
		if f&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return names
}

// ParseKind, ParseOutcome, ParseTalk, ParseBreath and ParseSign read the names of
// documents and forms; ok is false for any other text.
func ParseKind(s string) (SessionKind, bool) { return parse[SessionKind](kindNames[:], s) }

// ParseOutcome reads an outcome; the empty text is NotStated.
func ParseOutcome(s string) (Outcome, bool) { return parse[Outcome](outcomeNames[:], s) }

// ParseTalk reads a talk answer; the empty text is NotAsked.
func ParseTalk(s string) (Talk, bool) {
	if s == "" {
		return NotAsked, true
	}
	return intensity.ParseTalk(s)
}

// ParseBreath reads a breath answer; the empty text is BreathNotAsked.
func ParseBreath(s string) (Breath, bool) { return parse[Breath](breathNames[:], s) }

// ParseSign reads a warning sign.
func ParseSign(s string) (Sign, bool) { return parse[Sign](signNames[:], s) }

func parse[T ~uint8](names []string, s string) (T, bool) {
	for i, name := range names {
		if name == s {
			return T(i), true
		}
	}
	return 0, false
}
