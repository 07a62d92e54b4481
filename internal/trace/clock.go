package trace

import "fmt"

// Clock faults: ours.
const (
	longestBreak = 3600 // seconds after which what follows is another recording
	strays       = 3    // lines out of order that are no jump of the clock
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
// that holds a heart rate; single lines out of order are left out.
func inOrder(samples []Sample) (ordered []Sample, warnings []string) {
	ordered = make([]Sample, 0, len(samples))
	shift, back := int32(0), 0
	for i := range samples {
		s := samples[i]
		s.At += shift
		if len(ordered) == 0 {
			ordered = append(ordered, s)
			continue
		}
		last := &ordered[len(ordered)-1]
		switch {
		case s.At > last.At:
			ordered = append(ordered, s)
		case s.At == last.At:
			if s.BPM > 0 || last.BPM <= 0 {
				*last = s
			}
		case jumpsBack(samples[i:], last.At-shift) && !repeats(samples[i:], ordered, shift):
			by := last.At + 1 - s.At
			shift += by
			back += int(by)
			s.At += by
			ordered = append(ordered, s)
		}
	}
	if back > 0 {
		warnings = append(warnings, fmt.Sprintf("The clock of the recording went back by %d s; what follows was put after what went before.", back))
	}
	return ordered, warnings
}

// jumpsBack says whether a line before its forerunner is where the clock jumped,
// rather than a line that stands in the wrong place.
func jumpsBack(rest []Sample, last int32) bool {
	n := 0
	for i := range rest {
		if rest[i].At > last {
			break
		}
		if i > 0 && rest[i].At < rest[i-1].At {
			return false
		}
		if n++; n > strays {
			return true
		}
	}
	return n == len(rest) && n > 1
}

// repeats says whether lines that go back in time say once more what was said.
func repeats(rest, ordered []Sample, shift int32) bool {
	same, n := 0, 0
	for i := range rest {
		at, last := rest[i].At+shift, len(ordered)-1
		if at > ordered[last].At {
			break
		}
		for last > 0 && ordered[last].At > at {
			last--
		}
		n++
		if ordered[last].At == at && ordered[last].BPM == rest[i].BPM {
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
