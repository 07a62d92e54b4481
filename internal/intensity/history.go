package intensity

import (
	"slices"

	"halfhour.app/halfhour/internal/day"
)

// Dated is a ceiling with the first date on which it holds.
type Dated struct {
	From day.Date
	Ceiling
}

// History holds the ceilings of one person, oldest first; the zero value is
// empty. Make it with With.
type History []Dated

// With is the history with one more ceiling, which holds from its date on (rule
// 4.5): sessions before it keep the one they were judged with. A second one of the
// same date takes the place of the first. The history itself stays as it was.
func (h History) With(d Dated) History {
	i, same := slices.BinarySearchFunc(h, d.From, func(e Dated, from day.Date) int { return int(e.From - from) })
	grown := slices.Clone(h)
	if same {
		grown[i] = d
		return grown
	}
	return slices.Insert(grown, i, d)
}

// On is the ceiling that held on the date; ok is false before the first.
func (h History) On(date day.Date) (c Ceiling, ok bool) {
	for _, d := range slices.Backward(h) {
		if d.From <= date {
			return d.Ceiling, true
		}
	}
	return Ceiling{}, false
}
