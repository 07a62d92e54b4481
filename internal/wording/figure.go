package wording

import (
	"math"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/morning"
)

// Rounded rounds half up.
func Rounded(x float64) int { return int(math.Floor(x + 0.5)) }

// Load says six weeks of load in words.
func Load(r *morning.Row) string {
	words := make([]string, len(r.Load))
	for i, au := range r.Load {
		words[i] = strconv.Itoa(Rounded(au))
	}
	return "Load of six weeks, this week last: " + strings.Join(words, ", ") + "."
}
