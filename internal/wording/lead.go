package wording

import (
	"strings"

	"halfhour.app/halfhour/internal/morning"
)

// Lead says how many decide today and how many go steadily.
func Lead(m *morning.Morning) string {
	if len(m.Decide)+len(m.Steady)+len(m.Quiet)+len(m.Away) == 0 {
		switch n := len(m.Coming); {
		case n == 1:
			return "One person is coming in."
		case n > 1:
			return Capital(Number(n)) + " people are coming in."
		}
		return "Nobody is here yet. Add the first athlete."
	}
	lead := "Nobody needs a decision from you today."
	switch n := len(m.Decide); {
	case n == 1:
		lead = "One person needs a decision from you."
	case n > 1:
		lead = Capital(Number(n)) + " people need a decision from you."
	}
	switch n := len(m.Steady); {
	case n == 1:
		lead += " One is going steadily."
	case n > 1:
		lead += " " + Capital(Number(n)) + " are going steadily."
	}
	return lead
}

// Sub says which newcomers wait, who is silent and who is away; empty where nobody is.
func Sub(m *morning.Morning) string {
	var parts []string
	waiting := 0
	for _, row := range m.Coming {
		if row.Coming.Kind == morning.Waiting {
			waiting++
		}
	}
	switch {
	case waiting == 1:
		parts = append(parts, "One newcomer waits for a word from you.")
	case waiting > 1:
		parts = append(parts, Capital(Number(waiting))+" newcomers wait for a word from you.")
	}
	switch n := len(m.Quiet); {
	case n == 1:
		parts = append(parts, "One has not logged anything for a week.")
	case n > 1:
		parts = append(parts, Capital(Number(n))+" have not logged anything for a week.")
	}
	switch n := len(m.Away); {
	case n == 1:
		parts = append(parts, "One is away.")
	case n > 1:
		parts = append(parts, Capital(Number(n))+" are away.")
	}
	return strings.Join(parts, " ")
}
