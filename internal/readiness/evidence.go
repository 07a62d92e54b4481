package readiness

import "halfhour.app/halfhour/internal/day"

// evidence is what the words of a verdict need beyond its fields. It points into
// the history the verdict was made from.
type evidence struct {
	chart   *chart
	passage passage
	aches   aches
	jump    jump
	gap     gap
	heard   day.Date // last exposure or extra run or walk; 0: nothing yet
	present attendance
	hard    *digest // the newest of two sessions at effort 8 or more
	cause   backCause
}

// backCause says which rule asked for a step back.
type backCause uint8

const (
	noStep backCause = iota
	backForPain
	backForEffort
	backAfterGap
)
