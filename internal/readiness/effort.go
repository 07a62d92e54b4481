package readiness

import "slices"

// standIn is the effort times two where the athlete never gave one (rule 8.1).
const standIn = 2 * 4

// fillEffort fills a missing effort with the athlete's median of the same kind,
// else of all kinds, else 4 (rule 8.1).
func (c *chart) fillEffort() {
	missing := false
	for i := range c.sessions {
		d := &c.sessions[i]
		effort, known := d.Effort.Get()
		d.twiceEffort, d.filled = int32(2*effort), !known
		missing = missing || !known
	}
	if !missing {
		return
	}
	var byKind [Other + 1]histogram
	var all histogram
	for i := range c.sessions {
		if d := &c.sessions[i]; !d.filled {
			byKind[d.Kind].add(d.twiceEffort)
			all.add(d.twiceEffort)
		}
	}
	for i := range c.sessions {
		d := &c.sessions[i]
		if !d.filled {
			continue
		}
		d.twiceEffort = standIn
		if m, ok := all.median(); ok {
			d.twiceEffort = m
		}
		if m, ok := byKind[d.Kind].median(); ok {
			d.twiceEffort = m
		}
	}
}

// histogram counts efforts from 0 to 10.
type histogram struct {
	n     int
	count [11]int
}

func (h *histogram) add(twiceEffort int32) {
	h.n++
	h.count[twiceEffort/2]++
}

// median is twice the median; of an even count twice the mean of the middle two.
func (h *histogram) median() (int32, bool) {
	if h.n == 0 {
		return 0, false
	}
	return h.at((h.n-1)/2) + h.at(h.n/2), true
}

// at is the k-th effort in order, from 0.
func (h *histogram) at(k int) int32 {
	seen := 0
	return int32(slices.IndexFunc(h.count[:], func(n int) bool { seen += n; return seen > k }))
}
