package strength

import (
	"fmt"
	"slices"
	"strconv"

	"halfhour.app/halfhour/internal/fault"
)

// Rack is what somebody has to lift, in grams of one dumbbell: a list of weights,
// or, where the list is empty, everything from Least to Most by Step.
type Rack struct {
	List              []int
	Least, Most, Step int
}

// Bounds of a dumbbell in grams, and of how many a rack may list.
const (
	Lightest    = 100
	Heaviest    = 100_000
	LongestRack = 60
)

// Check finds what is wrong with a rack: places are list[2], least, most, step.
func (r *Rack) Check() []fault.Field {
	var faults []fault.Field
	weight := func(place string, grams, least int) {
		if grams < least || grams > Heaviest {
			faults = append(faults, fault.Field{Place: place, Message: "must be " + Kilograms(least) + " to " + Kilograms(Heaviest)})
		}
	}
	if len(r.List) > LongestRack {
		faults = append(faults, fault.Field{Place: "list", Message: fmt.Sprintf("must be at most %d weights", LongestRack)})
	}
	for i, grams := range r.List {
		weight(fmt.Sprintf("list[%d]", i), grams, Lightest)
	}
	if len(r.List) == 0 {
		weight("least", r.Least, Lightest)
		weight("most", r.Most, max(r.Least, Lightest))
		weight("step", r.Step, Lightest)
	}
	return faults
}

// Weights are what the rack allows, the lightest first, each once; a rack that does
// not pass Check gives what of it makes sense.
func (r *Rack) Weights() []int {
	weights := slices.Clone(r.List)
	if len(weights) == 0 && r.Step >= Lightest {
		for grams := r.Least; grams <= min(r.Most, Heaviest); grams += r.Step {
			weights = append(weights, grams)
		}
	}
	slices.Sort(weights)
	return slices.DeleteFunc(slices.Compact(weights), func(grams int) bool { return grams < Lightest || grams > Heaviest })
}

// below is the heaviest weight of at most so many grams; 0: there is none.
func (r *Rack) below(grams int) int {
	best := 0
	for _, w := range r.Weights() {
		if w <= grams {
			best = w
		}
	}
	return best
}

// above is the lightest weight of more than so many grams; 0: there is none.
func (r *Rack) above(grams int) int {
	for _, w := range r.Weights() {
		if w > grams {
			return w
		}
	}
	return 0
}

// A weight rises by 2 to 10 % at once (American College of Sports Medicine, Med Sci
// Sports Exerc 2009;41:687–708, found at second hand).
const (
	leastRise = 102 // per cent of the weight before
	wantRise  = 105 // ours: the middle, where the rack leaves a choice
	mostRise  = 110
)

// next is the weight to go on with: of those 2 to 10 % heavier the one nearest to
// 5 %, the lighter of two; where there is none the heaviest that is less than 2 %
// heavier; 0 when the next is more than 10 % away, or there is none.
func (r *Rack) next(grams int) int {
	best, slight := 0, 0
	for _, w := range r.Weights() {
		switch {
		case w <= grams || 100*w > mostRise*grams:
		case 100*w < leastRise*grams:
			slight = w
		case best == 0 || abs(100*w-wantRise*grams) < abs(100*best-wantRise*grams):
			best = w
		}
	}
	if best == 0 {
		return slight
	}
	return best
}

func abs(n int) int { return max(n, -n) }

// Kilograms writes grams as a person reads them: "7.5 kg", "20 kg".
func Kilograms(grams int) string {
	return strconv.FormatFloat(float64(grams)/1000, 'f', -1, 64) + " kg"
}
