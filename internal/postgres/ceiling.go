package postgres

import (
	"halfhour.app/halfhour/internal/intensity"
)

// sourceNames are the names in which columns say what a ceiling rests on.
var sourceNames = [...]string{
	intensity.NoSource: "", intensity.FromPredicted: "predicted", intensity.FromMeasured: "measured",
	intensity.FromReserve: "reserve", intensity.FromTalkTest: "talk_test",
}

// ceilingValues are the four columns of a ceiling; all are null where there is none.
func ceilingValues(c intensity.Ceiling) []any {
	if c.Source == intensity.NoSource {
		return []any{nil, nil, nil, nil}
	}
	var formula any
	if c.Source == intensity.FromPredicted {
		formula = c.Formula.String()
	}
	return []any{narrow(int(c.BPM)), int32(c.SD), sourceNames[c.Source], formula}
}

func readCeiling(c *cells) intensity.Ceiling {
	return intensity.Ceiling{BPM: intensity.BPM(c.integer()), SD: intensity.Milli(c.integer()), Source: c.source(), Formula: c.formula()}
}

// source is the name of what a ceiling rests on; null is nothing.
func (c *cells) source() intensity.Source {
	name := c.text()
	for i, known := range sourceNames {
		if name == known {
			return intensity.Source(i)
		}
	}
	c.fail()
	return intensity.NoSource
}

// formula is the name of a formula of the predicted maximum; null is the first.
func (c *cells) formula() intensity.Formula {
	name := c.text()
	f, known := intensity.ParseFormula(name)
	if !known && name != "" {
		c.fail()
	}
	return f
}
