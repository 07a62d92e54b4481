package trace

import (
	"fmt"
	"slices"
)

// Clock faults: ours.
const (
	longestBreak = 3600 // seconds after which what follows is another recording
	looked       = 30   // lines by which a repeat is told from a jump
	outOfOrder   = 3    // lines that go back in time and are no jump of the clock
)

// course is a recording second by second: second t holds what was known from t to
// t+1.
type course struct {
	rates    []int16 // 0: none
	speeds   []int16 // Unknown: none
	steps    []int16
	covered  []bool // a sample spoke of it, whatever it said
	shift    int    // seconds from the file's first sample to second 0
	lag      int    // seconds by which the heart rate came late
	warnings []string
}

// chart lays the samples out second by second. A clock that jumps back is spliced:
// what follows goes on one second after what went before. Of stretches that lie
// more than an hour apart only the one with the most samples is read.
func chart(r *Recording) course {
	samples, warnings := inOrder(r.Samples)
	samples, apart := longestStretch(samples)
	if apart {
		warnings = append(warnings, "The recording holds stretches more than an hour apart; only the longest is read.")
	}
	c := course{warnings: warnings}
	if len(samples) == 0 {
		return c
	}
	first := samples[0].At
	c.shift = int(first)
	length := min(int(samples[len(samples)-1].At-first), LongestTime)
	c.rates, c.speeds, c.steps = make([]int16, length), make([]int16, length), make([]int16, length)
	c.covered = make([]bool, length)
	for t := range length {
		c.speeds[t], c.steps[t] = Unknown, Unknown
	}
	for i := range samples {
		c.lay(samples, i, int(first), length)
	}
	return c
}

// lay writes the seconds from sample i to the next.
func (c *course) lay(samples []Sample, i, first, length int) {
	s := &samples[i]
	from := int(s.At) - first
	to := min(from+Hold, length)
	if i+1 < len(samples) {
		to = min(to, int(samples[i+1].At)-first)
	}
	for t := from; t < to; t++ {
		c.rates[t], c.speeds[t], c.steps[t], c.covered[t] = s.BPM, s.Speed, s.Steps, true
	}
}

// inOrder gives the samples with rising times: of several at one second the last
// known of each value; single lines out of order, and lines that say once more what
// was said, are left out.
func inOrder(samples []Sample) (ordered []Sample, warnings []string) {
	ordered = make([]Sample, 0, len(samples))
	shift, back := 0, 0
	for i, s := range samples {
		at := int(s.At) + shift
		if at < -farthest || at > farthest {
			continue
		}
		if len(ordered) > 0 {
			last := &ordered[len(ordered)-1]
			rest, before := samples[i:], int(last.At)-shift
			switch {
			case at == int(last.At):
				last.also(&s)
				continue
			case at > int(last.At) && strays(rest, before), at < int(last.At) && (!jumpsBack(rest, before) || repeats(rest, ordered, shift)):
				continue
			case at < int(last.At):
				by := int(last.At) + 1 - at
				shift, back, at = shift+by, back+by, at+by
			}
		}
		s.At = int32(at)
		ordered = append(ordered, s)
	}
	if back > 0 {
		warnings = append(warnings, fmt.Sprintf("The clock of the recording went back by %d s; what follows was put after what went before.", back))
	}
	return ordered, warnings
}

// also takes in what another line knows of the same second.
func (s *Sample) also(other *Sample) {
	if other.BPM > 0 {
		s.BPM = other.BPM
	}
	if other.Speed != Unknown {
		s.Speed = other.Speed
	}
	if other.Steps != Unknown {
		s.Steps = other.Steps
	}
}

// strays says whether a line stands for a moment at a time far off: the next one
// goes on where the last one was.
func strays(rest []Sample, last int) bool {
	return len(rest) > 1 && int(rest[0].At)-last > Hold &&
		int(rest[1].At) > last && rest[1].At < rest[0].At && int(rest[1].At)-last <= longestBreak
}

// jumpsBack says whether a line before its forerunner is where the clock jumped,
// rather than a line that stands in the wrong place.
func jumpsBack(rest []Sample, last int) bool {
	n := 0
	for i := range rest {
		if int(rest[i].At) > last {
			break
		}
		if i > 0 && rest[i].At < rest[i-1].At {
			return false
		}
		if n++; n > outOfOrder {
			return true
		}
	}
	return n == len(rest) && n > 1
}

// repeats says whether lines that go back in time say once more what was said: a
// look at the first few tells.
func repeats(rest, ordered []Sample, shift int) bool {
	same, n := 0, 0
	for _, s := range rest[:min(len(rest), looked)] {
		at := int(s.At) + shift
		if at > int(ordered[len(ordered)-1].At) {
			break
		}
		n++
		k, found := slices.BinarySearchFunc(ordered, at, func(s Sample, at int) int { return int(s.At) - at })
		if found && ordered[k].BPM == s.BPM {
			same++
		}
	}
	return 10*same >= 9*n
}

// longestStretch is the stretch with the most samples of those that lie more than
// an hour apart.
func longestStretch(samples []Sample) (longest []Sample, apart bool) {
	from := 0
	for i := range samples {
		if i+1 < len(samples) && samples[i+1].At-samples[i].At <= longestBreak {
			continue
		}
		if i+1-from > len(longest) {
			longest = samples[from : i+1]
		}
		from = i + 1
	}
	return longest, len(longest) < len(samples)
}
