package trace

import (
	"fmt"
	"slices"

	"halfhour.app/halfhour/internal/pathway"
)

// Rules counts up whenever recordings would be read differently.
const Rules = 1

// Doubts: ours.
const (
	leastFall   = 0.1 // of the amplitude that the heart falls by in a walk, for it to be one,
	leastBeats  = 3.0 // and beats
	plainBeats  = 5   // that it falls by in at least half of the walks
	oddSeconds  = 10  // by which a run may last otherwise than planned,
	oddPart     = 12  // or per cent
	lateStart   = 150 // seconds by which a plan may have begun before or after its recording
	shiftedStep = 15  // seconds
)

// Read says what a recording shows of a plan. A plan without blocks gives a reading
// without blocks.
func Read(r *Recording, plan []pathway.Block, c Ceilings) Reading {
	course := chart(r)
	reading := Reading{
		Seconds: len(course.rates), Samples: len(r.Samples),
		Artefacts: course.clean(), Rates: course.rates, Warnings: course.warnings,
	}
	reading.Peak = course.peak()
	if len(plan) == 0 {
		return reading
	}
	bounds, by := course.align(r, plan)
	reading.By, reading.Offset, reading.Lag = by, bounds[0], course.lag
	reading.Blocks = between(bounds, plan)
	rates := lagged(course.rates, course.lag)
	judge(reading.Blocks, rates, c)
	switch by {
	case ByHeart:
		doubtFalls(reading.Blocks, rates, amplitude(course.rates))
	case ByPlan:
		doubtStart(reading.Blocks, rates, c)
	}
	if by == ByPlan && changes(plan) {
		reading.Warnings = append(reading.Warnings, "Nothing in the recording shows where runs and walks lie, so the plan's own times were taken from its first second on.")
	}
	if course.lag > 0 {
		reading.Warnings = append(reading.Warnings, fmt.Sprintf("The heart rate comes about %d s late, as it often does from the wrist; that was made up for.", course.lag))
	}
	reading.Coverage = coverage(reading.Blocks, course.rates)
	return reading
}

// between are the blocks of the plan between the bounds.
func between(bounds []int, plan []pathway.Block) []Block {
	blocks := make([]Block, len(plan))
	for i, b := range plan {
		blocks[i] = Block{Kind: b.Kind, Planned: b.Planned, Start: bounds[i], End: bounds[i+1]}
	}
	return blocks
}

// doubtFalls takes back what is said of walks at whose beginning the heart hardly
// falls: found by the heart rate alone, they may not be walks at all. Where most are
// like that, or the runs do not last as planned, all are in doubt: it may have been
// quite another session.
func doubtFalls(blocks []Block, rates []int16, amplitude float64) {
	var falls []int
	for i := range blocks {
		if fall, known := blocks[i].fall(rates); known {
			falls = append(falls, fall)
		}
	}
	slices.Sort(falls)
	all := another(blocks) || len(falls) > 0 && falls[len(falls)/2] < plainBeats
	least := max(leastFall*amplitude, leastBeats)
	for i := range blocks {
		b := &blocks[i]
		if b.Reason != NoReason || b.Kind != pathway.Walk {
			continue
		}
		if fall, known := b.fall(rates); all || known && float64(fall) < least {
			b.State, b.Reason = NotAssessable, Unclear
		}
	}
}

// fall is how many beats the heart loses in the first minute of a walk that could be
// judged, or in the walk where that is shorter.
func (b *Block) fall(rates []int16) (beats int, known bool) {
	if b.Kind != pathway.Walk || b.Reason != NoReason {
		return 0, false
	}
	before, ok := near(rates, b.Start)
	after, also := near(rates, b.Start+min(recovery, min(b.Planned, b.End-b.Start)-around))
	return before - after, ok && also
}

// another says whether most runs last so otherwise than planned that it may have been
// another session.
func another(blocks []Block) bool {
	runs, odd := 0, 0
	for i := range blocks {
		b := &blocks[i]
		if b.Kind != pathway.Run || b.End <= b.Start {
			continue
		}
		runs++
		if off := abs(b.End - b.Start - b.Planned); off > oddSeconds && 100*off > oddPart*b.Planned {
			odd++
		}
	}
	return 2*odd > runs
}

// doubtStart takes back what would be said otherwise if the plan had begun a while
// before the recording, or after it; and everything where the heart hardly changes,
// as if nobody had run and walked at all.
func doubtStart(blocks []Block, rates []int16, c Ceilings) {
	if amplitude(rates) < leastAmplitude {
		for i := range blocks {
			if b := &blocks[i]; b.Reason == NoReason && b.Kind == pathway.Walk {
				b.State, b.Reason = NotAssessable, Unclear
			}
		}
	}
	for shift := -lateStart; shift <= lateStart; shift += shiftedStep {
		moved := make([]Block, len(blocks))
		for i, b := range blocks {
			moved[i] = Block{Kind: b.Kind, Planned: b.Planned, Start: b.Start + shift, End: b.End + shift}
		}
		judge(moved, rates, c)
		for i := range blocks {
			if b := &blocks[i]; b.Reason == NoReason && b.Kind == pathway.Walk && moved[i].State != b.State {
				b.State, b.Reason = NotAssessable, Unclear
			}
		}
	}
}

// coverage is the usable share of the plan's seconds inside the recording.
func coverage(blocks []Block, rates []int16) float64 {
	usable, inside := 0, 0
	for i := range blocks {
		b := &blocks[i]
		usable += countIn(rates, b.Start, b.End, all)
		inside += max(min(b.End, len(rates))-max(b.Start, 0), 0)
	}
	if inside == 0 {
		return 0
	}
	return float64(usable) / float64(inside)
}
