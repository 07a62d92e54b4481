package e2e

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
)

// stamp is a moment as a phone can know it: the clock on the wall, the time since
// the page was loaded, and which page it was.
type stamp struct {
	wall time.Time
	mono time.Duration
	life string
}

// longestGap is how long a page may be gone and the session still go on by itself.
const longestGap = 6 * time.Hour

// to is how much time passed until a later moment, as far as a phone can know, and
// whether nobody can have trained for so long.
func (s stamp) to(later stamp) (passed time.Duration, away bool) {
	passed = later.mono - s.mono
	if later.life != s.life {
		passed = later.wall.Sub(s.wall)
		away = passed > longestGap
	}
	return max(passed, 0), away
}

// stretch is a warm-up, a block or a cool-down.
type stretch struct {
	kind    pathway.Kind
	planned time.Duration
	block   bool
	done    time.Duration
	settle  *time.Duration // of a walk after a run: when the breath was back
}

// march is a guided session as it should go on: the same rules as on the phone,
// carried out step by step where the phone works them out from what happened.
type march struct {
	stretches []stretch
	at        int           // the present stretch
	since     time.Duration // since it began, pauses included
	real      time.Duration // since the session began, pauses included
	first     time.Duration // real, when the first block began; 0: not yet, or at once
	running   bool
	begun     bool
	over      bool
	last      stamp
}

// newMarch is a session that has not begun.
func newMarch(warm time.Duration, plan []pathway.Block, cool time.Duration) *march {
	m := &march{}
	around := func(d time.Duration) {
		if d > 0 {
			m.stretches = append(m.stretches, stretch{kind: pathway.Walk, planned: d})
		}
	}
	around(warm)
	for _, b := range plan {
		m.stretches = append(m.stretches, stretch{kind: b.Kind, planned: time.Duration(b.Planned) * time.Second, block: true})
	}
	around(cool)
	return m
}

// do carries out what was done at a moment.
func (m *march) do(what string, now stamp) {
	m.until(now)
	switch {
	case what == "start" && !m.begun:
		m.begun, m.running = true, true
	case !m.begun || m.over:
	case what == "pause":
		m.running = false
	case what == "resume":
		m.running = true
	case what == "skip":
		m.next(0)
	case what == "breath":
		m.tap()
	case what == "unbreath":
		m.stretches[m.at].settle = nil
	case what == "stop":
		m.over = true
	}
}

// until lets time pass up to a moment.
func (m *march) until(now stamp) {
	if m.begun && !m.over {
		passed, away := m.last.to(now)
		m.since += passed
		m.real += passed
		if m.running && !away {
			m.walk(passed)
		}
	}
	m.last = now
}

// walk goes on for so long.
func (m *march) walk(passed time.Duration) {
	for passed > 0 && !m.over {
		here := &m.stretches[m.at]
		step := min(passed, here.planned-here.done)
		here.done += step
		passed -= step
		if here.done == here.planned {
			m.next(passed)
		}
	}
}

// next begins the next stretch, so long ago.
func (m *march) next(ago time.Duration) {
	m.at++
	m.since = ago
	m.over = m.at == len(m.stretches)
	if m.at == 1 && !m.stretches[0].block {
		m.first = m.real - ago
	}
}

// judged says whether the present stretch is a walk after a run of which something
// was done.
func (m *march) judged() bool {
	if m.over || m.at == 0 {
		return false
	}
	here, before := m.stretches[m.at], m.stretches[m.at-1]
	return here.block && here.kind == pathway.Walk && before.block && before.kind == pathway.Run && whole(before.done) > 0
}

// tap is the breath that is back: the first counts.
func (m *march) tap() {
	if !m.judged() {
		return
	}
	if here := &m.stretches[m.at]; here.settle == nil {
		since := m.since
		here.settle = &since
	}
}

// blocks are what was done of each block and when the breath was back, in whole
// seconds. No breath is back later than the walk was long.
func (m *march) blocks() (done []int32, settle []*int32) {
	for _, s := range m.stretches {
		if !s.block {
			continue
		}
		done = append(done, whole(s.done))
		var at *int32
		if s.settle != nil {
			seconds := min(whole(*s.settle), whole(s.done))
			at = &seconds
		}
		settle = append(settle, at)
	}
	return done, settle
}

// whole rounds to whole seconds.
func whole(d time.Duration) int32 { return int32(d.Round(time.Second) / time.Second) }

// The model itself: what it says of a few sessions is worked out by hand.
func TestTheModelOfASession(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 4, 14, 12, 0, 0, 0, time.UTC)
	in := func(seconds, life int) stamp {
		return stamp{wall: at.Add(time.Duration(seconds) * time.Second), mono: time.Duration(seconds-10000*life) * time.Second, life: strconv.Itoa(life)}
	}
	plan := []pathway.Block{{Kind: pathway.Run, Planned: 60}, {Kind: pathway.Walk, Planned: 240}, {Kind: pathway.Run, Planned: 60}, {Kind: pathway.Walk, Planned: 240}}
	type deed struct {
		what    string
		seconds int
		life    int
	}
	some := func(n int32) *int32 { return &n }
	for _, row := range []struct {
		why    string
		deeds  []deed
		done   []int32
		settle []*int32
	}{
		{"nothing was begun", []deed{{"breath", 5, 0}}, []int32{0, 0, 0, 0}, []*int32{nil, nil, nil, nil}},
		{"all of it, the page loaded anew in between", []deed{{"start", 0, 0}, {"breath", 100, 0}, {"breath", 465, 0}, {"breath", 500, 1}, {"breath", 790, 1}, {"end", 2000, 1}},
			[]int32{60, 240, 60, 240}, []*int32{nil, some(45), nil, some(70)}},
		{"a pause in a walk: the breath comes back meanwhile", []deed{{"start", 0, 0}, {"pause", 440, 0}, {"resume", 540, 0}, {"breath", 550, 0}, {"stop", 600, 0}, {"end", 900, 0}},
			[]int32{60, 80, 0, 0}, []*int32{nil, some(80), nil, nil}},
		{"the warm-up and a run left out: nothing to get the breath back from", []deed{{"start", 0, 0}, {"skip", 10, 0}, {"skip", 10, 0}, {"breath", 20, 0}, {"skip", 40, 0}, {"end", 130, 0}},
			[]int32{0, 30, 60, 30}, []*int32{nil, nil, nil, nil}},
		{"a page that was gone for a night", []deed{{"start", 0, 0}, {"here", 400, 0}, {"here", 40000, 1}, {"end", 40020, 1}},
			[]int32{60, 0, 0, 0}, []*int32{nil, nil, nil, nil}},
	} {
		m := newMarch(6*time.Minute, plan, 5*time.Minute)
		for _, d := range row.deeds {
			m.do(d.what, in(d.seconds, d.life))
		}
		done, settle := m.blocks()
		require.Equal(t, row.done, done, row.why)
		require.Equal(t, row.settle, settle, row.why)
	}
}
