package e2e

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// jot is one event as the phone writes it down; times are in milliseconds.
type jot struct {
	Type   string  `json:"type"`
	Wall   float64 `json:"wall"`
	Mono   float64 `json:"mono"`
	Life   string  `json:"life"`
	Reason string  `json:"reason,omitempty"`
}

// pocket is a phone without a browser: two clocks and what was written down.
type pocket struct {
	wall, mono float64
	life       int
	jots       []jot
}

func (p *pocket) stamp(what string) jot {
	return jot{Type: what, Wall: p.wall, Mono: p.mono, Life: fmt.Sprint("life ", p.life)}
}

// do writes an event down; why is the reason of a stop.
func (p *pocket) do(what string, why ...string) *pocket {
	j := p.stamp(what)
	if len(why) > 0 {
		j.Reason = why[0]
	}
	p.jots = append(p.jots, j)
	return p
}

// pass lets seconds pass on both clocks.
func (p *pocket) pass(seconds float64) *pocket {
	p.wall += 1000 * seconds
	p.mono += 1000 * seconds
	return p
}

// clock sets the clock on the wall, forward or back.
func (p *pocket) clock(seconds float64) *pocket { p.wall += 1000 * seconds; return p }

// reload loads the page anew after so many seconds by the clock on the wall.
func (p *pocket) reload(seconds float64) *pocket {
	p.wall += 1000 * seconds
	p.mono = 7 + float64(p.life)
	p.life++
	return p
}

// stood writes a break from the newest event until now.
func (p *pocket) stood() *pocket {
	j := p.jots[len(p.jots)-1]
	j.Type = "pause"
	p.jots = append(p.jots, j)
	return p.do("resume")
}

// outcome is what session.js makes of it.
type came struct {
	StartedAt, BegunAt, Outcome string
	Blocks                      []struct {
		Done   int  `json:"done_s"`
		Settle *int `json:"settle_s"`
	}
	Marks                  []int
	Taps, Judged, Minutes  int
	Phase                  string
	Index, Left, WalkN     int
	Breath                 *int
	Paused                 bool
	Elapsed, Total, Active float64
}

const noTap = -1

// The plan of the table: a minute to warm up, twice a minute of running and a minute
// and a half of walking, half a minute to cool down. 1,000,000 s stands on the wall at
// the beginning.
const shortPlan = `{warm_s: 60, cool_s: 30, phase: 'X', blocks: [{kind: 'run', planned_s: 60}, {kind: 'walk', planned_s: 90}, {kind: 'run', planned_s: 60}, {kind: 'walk', planned_s: 90}]}`

func carried(t *testing.T, tab *browser.Tab, plan string, p *pocket) came {
	t.Helper()
	events, err := json.Marshal(append([]jot{}, p.jots...))
	require.NoError(t, err)
	now, err := json.Marshal(p.stamp("now"))
	require.NoError(t, err)
	return browser.Eval[came](tab, fmt.Sprintf(`import('/phone/session.js').then(m => {
		const [p, e, n] = [%s, %s, %s]
		const v = m.view(p, e, n)
		return {...m.result(p, e, n), phase: v.phase, index: v.index, left: v.secondsLeft, walkN: v.walkNumber, breath: v.breathAt,
			paused: v.paused, elapsed: v.elapsed, total: v.total, active: m.elapsed(e, n)}
	})`, plan, events, now))
}

func TestASessionFollowsFromItsEvents(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	for _, row := range []struct {
		why     string
		happens func(p *pocket)
		phase   string
		index   int
		left    int
		done    []int
		settle  []int
		marks   []int
		outcome string
	}{
		{"the warm-up comes first", func(p *pocket) { p.pass(10) }, "warm", -1, 50, []int{0, 0, 0, 0}, nil, []int{10, 10, 10, 10, 10}, "missed"},
		{"a minute later it is the first run", func(p *pocket) { p.pass(60) }, "block", 0, 60, []int{0, 0, 0, 0}, nil, []int{60, 60, 60, 60, 60}, "missed"},
		{"all of it, with a tap in each walk", func(p *pocket) { p.pass(160).do("breath").pass(160).do("breath").pass(200) }, "over", -1, 0, []int{60, 90, 60, 90}, []int{40, 50}, []int{60, 120, 210, 270, 360}, "all"},
		{"a page that was never looked at in between is right again", func(p *pocket) { p.pass(300) }, "block", 3, 60, []int{60, 90, 60, 30}, nil, []int{60, 120, 210, 270, 300}, "part"},
		{"while paused nothing runs", func(p *pocket) { p.pass(80).do("pause").pass(500) }, "block", 0, 40, []int{20, 0, 0, 0}, nil, []int{60, 580, 580, 580, 580}, "part"},
		{"after a pause in a run it goes on; the marks know of it", func(p *pocket) { p.pass(80).do("pause").pass(500).do("resume").pass(100) }, "block", 1, 30, []int{60, 60, 0, 0}, nil, []int{60, 620, 680, 680, 680}, "part"},
		{"breath comes back while standing too", func(p *pocket) { p.pass(130).do("pause").pass(30).do("resume").pass(5).do("breath").pass(70) }, "block", 1, 5, []int{60, 85, 0, 0}, []int{45, noTap}, []int{60, 120, 235, 235, 235}, "part"},
		{"but not later than what is done of the walk", func(p *pocket) { p.pass(130).do("pause").pass(30).do("resume").pass(5).do("breath").pass(20) }, "block", 1, 55, []int{60, 35, 0, 0}, []int{35, noTap}, []int{60, 120, 185, 185, 185}, "part"},
		{"nor than the walk lasts", func(p *pocket) { p.pass(130).do("pause").pass(300).do("resume").pass(5).do("breath").pass(200) }, "block", 3, 25, []int{60, 90, 60, 65}, []int{90, noTap}, []int{60, 120, 510, 570, 635}, "part"},
		{"a page loaded anew goes by the wall", func(p *pocket) { p.pass(150).reload(25).pass(5).do("breath").pass(1) }, "block", 1, 29, []int{60, 61, 0, 0}, []int{60, noTap}, []int{60, 120, 181, 181, 181}, "part"},
		{"a clock set back between two lives takes nothing away", func(p *pocket) { p.pass(150).do("here").reload(-3600).do("here").pass(5) }, "block", 1, 55, []int{60, 35, 0, 0}, nil, []int{60, 120, 155, 155, 155}, "part"},
		{"a clock set forward while the page lives changes nothing", func(p *pocket) { p.pass(100).clock(7200).pass(50).do("breath").pass(1) }, "block", 1, 59, []int{60, 31, 0, 0}, []int{30, noTap}, []int{60, 120, 151, 151, 151}, "part"},
		{"nor does one set back", func(p *pocket) { p.pass(100).do("here").clock(-7200).pass(50).do("breath").pass(1) }, "block", 1, 59, []int{60, 31, 0, 0}, []int{30, noTap}, []int{60, 120, 151, 151, 151}, "part"},
		{"a clock set forward counts as time once the page is gone", func(p *pocket) { p.pass(100).do("here").clock(30).reload(10) }, "block", 1, 70, []int{60, 20, 0, 0}, nil, []int{60, 120, 140, 140, 140}, "part"},
		{"six hours gone are time", func(p *pocket) { p.pass(70).do("here").reload(6 * 3600) }, "over", -1, 0, []int{60, 90, 60, 90}, nil, []int{60, 120, 210, 270, 360}, "all"},
		{"longer than that is a break", func(p *pocket) { p.pass(70).do("here").reload(6*3600 + 1).do("here").pass(10) }, "block", 0, 40, []int{20, 0, 0, 0}, nil, []int{60, 21681, 21681, 21681, 21681}, "part"},
		{"many lives", func(p *pocket) {
			p.pass(70).do("here").reload(10).do("here").reload(10).pass(30).do("here").reload(1).do("breath")
		}, "block", 1, 89, []int{60, 1, 0, 0}, []int{1, noTap}, []int{60, 120, 121, 121, 121}, "part"},
		{"whoever stood still goes on where the page was last seen", func(p *pocket) { p.pass(130).do("here").reload(400).stood().pass(10).do("breath") }, "block", 1, 70, []int{60, 20, 0, 0}, []int{20, noTap}, []int{60, 120, 540, 540, 540}, "part"},
		{"the warm-up skipped", func(p *pocket) { p.pass(20).do("skip").pass(10) }, "block", 0, 50, []int{10, 0, 0, 0}, nil, []int{20, 30, 30, 30, 30}, "part"},
		{"a run cut short", func(p *pocket) { p.pass(90).do("skip").pass(40).do("breath").pass(1) }, "block", 1, 49, []int{30, 41, 0, 0}, []int{40, noTap}, []int{60, 90, 131, 131, 131}, "part"},
		{"a run left out: its walk judges nothing", func(p *pocket) { p.pass(60).do("skip").pass(40).do("breath") }, "block", 1, 50, []int{0, 40, 0, 0}, nil, []int{60, 60, 100, 100, 100}, "part"},
		{"skipped while paused", func(p *pocket) { p.pass(80).do("pause").pass(50).do("skip").pass(50).do("resume").pass(10) }, "block", 1, 80, []int{20, 10, 0, 0}, nil, []int{60, 130, 190, 190, 190}, "part"},
		{"twice at once skips two", func(p *pocket) { p.pass(70).do("skip").do("skip").pass(5) }, "block", 2, 55, []int{10, 0, 5, 0}, nil, []int{60, 70, 70, 75, 75}, "part"},
		{"a tap in a run is none", func(p *pocket) { p.pass(100).do("breath").pass(50) }, "block", 1, 60, []int{60, 30, 0, 0}, nil, []int{60, 120, 150, 150, 150}, "part"},
		{"a tap taken back", func(p *pocket) { p.pass(140).do("breath").pass(2).do("unbreath").pass(18) }, "block", 1, 50, []int{60, 40, 0, 0}, nil, []int{60, 120, 160, 160, 160}, "part"},
		{"and given again", func(p *pocket) { p.pass(140).do("breath").pass(2).do("unbreath").pass(18).do("breath") }, "block", 1, 50, []int{60, 40, 0, 0}, []int{40, noTap}, []int{60, 120, 160, 160, 160}, "part"},
		{"the first of two taps counts", func(p *pocket) { p.pass(140).do("breath").pass(20).do("breath") }, "block", 1, 50, []int{60, 40, 0, 0}, []int{20, noTap}, []int{60, 120, 160, 160, 160}, "part"},
		{"stopped in a walk", func(p *pocket) { p.pass(150).do("stop", "tired").pass(900) }, "over", -1, 0, []int{60, 30, 0, 0}, nil, []int{60, 120, 150, 150, 150}, "part"},
		{"after a stop nothing happens", func(p *pocket) { p.pass(150).do("stop", "tired").do("resume").pass(10).do("breath").reload(50) }, "over", -1, 0, []int{60, 30, 0, 0}, nil, []int{60, 120, 150, 150, 150}, "part"},
		{"stopped while paused", func(p *pocket) { p.pass(70).do("pause").pass(60).do("stop", "other") }, "over", -1, 0, []int{10, 0, 0, 0}, nil, []int{60, 130, 130, 130, 130}, "part"},
		{"stopped for pain", func(p *pocket) { p.pass(70).do("stop", "pain") }, "over", -1, 0, []int{10, 0, 0, 0}, nil, []int{60, 70, 70, 70, 70}, "pain"},
		{"stopped for the weather before anything was done", func(p *pocket) { p.pass(20).do("stop", "weather") }, "over", -1, 0, []int{0, 0, 0, 0}, nil, []int{20, 20, 20, 20, 20}, "called_off"},
		{"stopped in the cool-down", func(p *pocket) { p.pass(370).do("stop", "done") }, "over", -1, 0, []int{60, 90, 60, 90}, nil, []int{60, 120, 210, 270, 360}, "all"},
		{"begun twice by a doubled tap", func(p *pocket) { p.do("pause").pass(5).do("start").pass(5) }, "warm", -1, 60, []int{0, 0, 0, 0}, nil, []int{10, 10, 10, 10, 10}, "missed"},
	} {
		p := (&pocket{wall: 1e9, mono: 500}).do("start")
		row.happens(p)
		got := carried(t, tab, shortPlan, p)
		require.Equal(t, row.phase, got.Phase, row.why)
		require.Equal(t, row.index, got.Index, row.why)
		require.Equal(t, row.left, got.Left, row.why)
		require.Equal(t, row.outcome, got.Outcome, row.why)
		require.Equal(t, row.marks, got.Marks, row.why)
		done := 0
		for i, b := range got.Blocks {
			require.Equal(t, row.done[i], b.Done, "%s: block %d", row.why, i)
			done += b.Done
			settle := noTap
			if b.Settle != nil {
				settle = *b.Settle
			}
			want := noTap
			if row.settle != nil && i%2 == 1 {
				want = row.settle[i/2]
			}
			require.Equal(t, want, settle, "%s: breath in block %d", row.why, i)
		}
		require.InDelta(t, done, got.Elapsed, 0.01, row.why)
		require.InDelta(t, 300, got.Total, 0.01, row.why)
		require.Equal(t, "1970-01-12T13:46:40.000Z", got.StartedAt, row.why)
	}
	require.Empty(t, tab.Faults())
}

// Before its start a session has nothing; what is to come is laid ahead from now on.
func TestWhatComesIsLaidAhead(t *testing.T) {
	t.Parallel()
	tab := modules(t)
	require.Equal(t, "before", carried(t, tab, shortPlan, &pocket{}).Phase)
	ahead := func(p *pocket) string {
		events, err := json.Marshal(p.jots)
		require.NoError(t, err)
		now, err := json.Marshal(p.stamp("now"))
		require.NoError(t, err)
		return browser.Eval[string](tab, fmt.Sprintf(`import('/phone/session.js').then(m => m.ahead(%s, %s, %s).map(c => c.in + ' ' + c.cue).join(', '))`, shortPlan, events, now))
	}
	p := (&pocket{wall: 1e9}).do("start")
	require.Equal(t, "30 soon, 60 run, 90 soon, 120 walk, 180 soon, 210 run, 240 soon, 270 walk, 330 soon, 360 cool, 390 end", ahead(p),
		"the cool-down is too short to be announced")
	require.Equal(t, "10 walk, 70 soon, 100 run, 130 soon, 160 walk, 220 soon, 250 cool, 280 end", ahead(p.pass(110)))
	require.Empty(t, ahead(p.do("pause").pass(20)), "nothing comes while paused")
	require.Equal(t, "10 walk, 70 soon, 100 run, 130 soon, 160 walk, 220 soon, 250 cool, 280 end", ahead(p.do("resume")))
	require.Empty(t, ahead(p.do("stop", "done")))
}
