package wording

import (
	"math"
)

// Rounded rounds half up.
func Rounded(x float64) int { return int(math.Floor(x + 0.5)) }
