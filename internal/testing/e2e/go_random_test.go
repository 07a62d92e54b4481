package e2e

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// How many sequences are tried, and the number that they grow from.
const (
	fewSequences = 12 // HALFHOUR_SEQUENCES says otherwise
	firstSeed    = 1  // HALFHOUR_SEED says otherwise
)

// number is a number from the environment.
func numberOf(t *testing.T, name string, otherwise int) int {
	t.Helper()
	value := os.Getenv(name)
	if value == "" {
		return otherwise
	}
	n, err := strconv.Atoi(value)
	require.NoError(t, err, name)
	return n
}

// Whatever people and phones do in whatever order (taps, pauses, blocks left out,
// pages loaded anew, no signal, answers that get lost, two tabs that send, clocks
// that are set), in the end the program has what the phone counted, once: as many
// sessions, their blocks and their settle times, by a model of the same rules.
// HALFHOUR_SEQUENCES=200 tries two hundred.
func TestWhateverHappensPhoneAndProgramAgree(t *testing.T) {
	t.Parallel()
	n, seed := numberOf(t, "HALFHOUR_SEQUENCES", fewSequences), numberOf(t, "HALFHOUR_SEED", firstSeed)
	c := newClub(t, program.Options{})
	t.Run("sequences", func(t *testing.T) {
		for i := range n {
			t.Run(strconv.Itoa(seed+i), func(t *testing.T) {
				t.Parallel()
				own := *c
				own.t = t
				newSequence(&own, t, uint64(seed+i)).run()
			})
		}
	})
}

// sequence is one athlete's phone on a bad day.
type sequence struct {
	*outing

	rng     *rand.Rand
	phase   string
	done    []string // what was done, to be read where it fails
	page    string   // the life of the page
	shifted time.Duration

	warm, cool time.Duration
	deeds      []deed // of the session that is going on
	wanted     []wanted
}

// deed is something that was done in a session.
type deed struct {
	what string
	at   stamp
}

// wanted is a session as the program should have it.
type wanted struct {
	began  time.Time
	done   []int32
	settle []*int32
}

func newSequence(c *club, t *testing.T, seed uint64) *sequence {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 30))
	s := &sequence{rng: rng, phase: []string{"L1", "L3", "R1", "R4", "R6", "B2"}[rng.IntN(6)]}
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("sequence %d, %s: %s", seed, s.phase, strings.Join(s.done, ", "))
		}
	})
	s.outing = c.goOut(t, fmt.Sprintf("Athlete %d", seed), s.phase, false)
	s.ready()
	return s
}

// run goes through one session or two, and compares.
func (s *sequence) run() {
	times := 1 + s.rng.IntN(4)/3
	for i := range times {
		if i > 0 {
			s.say("twenty minutes later")
			s.Freeze(20 * time.Minute)
			s.openGo()
		}
		s.session()
		s.tell()
	}
	s.signal(true)
	s.deliver()
	s.compare()
}

func (s *sequence) say(words string, args ...any) {
	s.done = append(s.done, fmt.Sprintf(words, args...))
}

// usualWarmUp is how long the routine that everybody begins with takes without a roller:
// five minutes of walking, four movements, half a minute of marching, skips.
const usualWarmUp = 530 * time.Second

// session begins one and does things until it is over.
func (s *sequence) session() {
	s.t.Helper()
	s.shows("before")
	s.deeds, s.shifted = nil, 0
	begin := "start"
	s.warm, s.cool = usualWarmUp, 5*time.Minute
	if strings.HasPrefix(s.phase, "B") {
		s.warm, s.cool = 0, 0
	} else if s.rng.IntN(2) == 0 {
		begin, s.warm = "start-cold", 0
	}
	s.deed(begin)
	s.shows("going")
	s.note("start")
	for range 6 + s.rng.IntN(20) {
		if s.march().over {
			break
		}
		s.step()
	}
	s.finish()
}

// note writes down what was done now.
func (s *sequence) note(what string) {
	s.t.Helper()
	now := s.now()
	s.page = now.life
	s.deeds = append(s.deeds, deed{what, now})
	s.say("%s at %s", what, now.wall.Format(time.TimeOnly))
}

// march is the session by the model, as it stands now.
func (s *sequence) march() *march {
	s.t.Helper()
	m := newMarch(s.warm, planOf(s.t, s.phase), s.cool)
	for _, d := range s.deeds {
		m.do(d.what, d.at)
	}
	m.until(s.now())
	return m
}

// step does one thing that can be done now.
func (s *sequence) step() {
	s.t.Helper()
	m := s.march()
	can := []func(){s.pass, s.pass, s.pass, s.reload, s.clock, func() { s.flip() }}
	if m.judged() && m.running && m.stretches[m.at].settle == nil {
		can = append(can, s.tap, s.tap, s.tap)
	}
	if m.running {
		can = append(can, func() { s.press("pause") }, func() { s.skip(m) })
	} else {
		can = []func(){s.pass, s.reload, s.clock, func() { s.press("resume") }, func() { s.press("resume") }}
	}
	can[s.rng.IntN(len(can))]()
}

func (s *sequence) press(what string) {
	s.t.Helper()
	s.deed(what)
	s.note(what)
	s.written(what)
}

// pass lets time go by, in front, slowed down or frozen.
func (s *sequence) pass() {
	d := time.Duration(5+s.rng.IntN(150)) * second
	grain := []time.Duration{browser.Slow, browser.Drowsy, d}[s.rng.IntN(3)]
	if d < 20*second {
		grain = browser.Awake
	}
	s.say("%s pass by %s", d, grain)
	s.Pass(d, grain)
}

// tap taps that the breath is back, and takes it back now and then.
func (s *sequence) tap() {
	s.press("breath")
	if s.rng.IntN(5) == 0 {
		s.Pass(2*second, browser.Awake)
		if s.march().judged() {
			s.press("unbreath")
		}
	}
}

// skip leaves out the rest of a block, of the warm-up or of the cool-down.
func (s *sequence) skip(m *march) {
	s.t.Helper()
	if m.stretches[m.at].block {
		s.deed("ask-skip")
		s.deed("skip")
	} else {
		s.deed("leave")
	}
	s.note("skip")
	s.written("skip")
}

// flip takes the signal away or gives it back.
func (s *sequence) flip() {
	on := s.rng.IntN(2) == 0
	s.say("signal %v", on)
	s.signal(on)
}

// clock sets the clock of the phone.
func (s *sequence) clock() {
	by := time.Duration(s.rng.IntN(2*600)-600) * second
	if s.shifted+by < -10*time.Minute || s.shifted+by > 20*time.Minute {
		by = -by // so that a session does not begin before another one, nor tomorrow
	}
	s.shifted += by
	s.say("clock set by %s", by)
	s.SetClock(by)
}

// reload loads the page anew, and goes on as the athlete may say.
func (s *sequence) reload() {
	s.t.Helper()
	s.say("loaded anew")
	s.Reload()
	screen := s.showing()
	events := s.events()
	last := events[len(events)-1]
	seen := stamp{wall: time.UnixMilli(int64(last.Wall)), mono: time.Duration(last.Mono * float64(time.Millisecond)), life: s.page}
	s.deeds = append(s.deeds, deed{"here", seen})
	s.page = s.now().life
	if screen == "after" {
		return
	}
	if s.rng.IntN(2) == 0 {
		s.Pass(time.Duration(s.rng.IntN(60))*second, browser.Slow) // while it asks
	}
	s.answerWhere(seen)
}

// answerWhere answers where the athlete was: the clock went on, or stood still.
func (s *sequence) answerWhere(seen stamp) {
	s.t.Helper()
	still := "[data-do=stood-still]:not([hidden])"
	if s.Count(still) > 0 && s.rng.IntN(2) == 0 {
		s.deed("stood-still")
		s.deeds = append(s.deeds, deed{"pause", seen})
		s.note("resume")
		s.shows("going")
		return
	}
	s.deed("go-on")
	s.Until("document.querySelector('[data-screen=ask]').hidden")
	s.note("here") // the page says so: from now on its own time counts
}

// finish brings the session to its end, if it is not there yet.
func (s *sequence) finish() {
	s.t.Helper()
	m := s.march()
	switch {
	case m.over:
	case m.running && s.rng.IntN(3) == 0:
		left := time.Duration(0)
		for _, stretch := range m.stretches[m.at:] {
			left += stretch.planned - stretch.done
		}
		s.say("to the end")
		s.Pass(left+second, browser.Drowsy)
	case s.at(m) == "cool":
		if !m.running {
			s.press("resume")
		}
		s.skip(m)
	default:
		s.stop([]string{"done", "tired", "other"}[s.rng.IntN(3)])
		s.note("stop")
	}
	s.shows("after")
	m = s.march()
	done, settle := m.blocks()
	s.wanted = append(s.wanted, wanted{began: s.deeds[0].at.wall.Add(m.first), done: done, settle: settle})
}

// at is where a session stands: warm, block or cool.
func (s *sequence) at(m *march) string {
	switch {
	case m.stretches[m.at].block:
		return "block"
	case m.at == 0:
		return "warm"
	}
	return "cool"
}

// tell answers the form, with what may go wrong when it is sent.
func (s *sequence) tell() {
	s.t.Helper()
	way := s.rng.IntN(5)
	s.say("told, way %d", way)
	switch way {
	case 0: // the answers get lost
		s.signal(true)
		s.wire.Lose("/log", 1+s.rng.IntN(3))
		s.answer(4)
	case 1: // two tabs send
		s.signal(false)
		s.answer(4)
		first := s.Tab
		s.Beside()
		s.Open(s.wire.Address + "/go")
		s.shows("before")
		s.signal(true)
		s.Front(first)
	case 2: // the page is loaded anew while it sends
		s.signal(true)
		s.answer(4)
		s.Reload()
	case 3: // half of it typed, and loaded anew
		s.shows("after")
		s.Touch("#after label:has(#pain-none)")
		s.Until(everything + "('sessions').then(all => all[0].draft)")
		s.Reload()
		s.answer(5)
	default:
		s.flip()
		s.answer(4)
	}
}

// deliver waits until everything is sent, and lets time go by in between: what went
// wrong is tried again after a while.
func (s *sequence) deliver() {
	s.t.Helper()
	for range 40 {
		for range 20 {
			if s.waiting() == 0 {
				return
			}
		}
		s.Pass(30*second, browser.Slow)
	}
	s.t.Fatalf("it was never sent: %v", s.wire.Asked())
}

// compare looks at what the program has.
func (s *sequence) compare() {
	t := s.t
	t.Helper()
	all := s.stored()
	require.Len(t, all, len(s.wanted))
	plan := planOf(t, s.phase)
	for i, want := range s.wanted {
		got := all[i]
		require.WithinDuration(t, want.began, got.StartedAt, time.Minute, "session %d", i)
		if total(want.done) == 0 { // stored as missed, or with its blocks, of which nothing was done
			require.True(t, got.Outcome != nil && *got.Outcome == "missed" || len(got.Done) > 0, "session %d", i)
			require.Zero(t, total(got.Done))
			continue
		}
		require.Equal(t, s.phase, *got.Phase)
		require.Len(t, got.Done, len(plan))
		for b := range plan {
			require.EqualValues(t, plan[b].Planned, got.Planned[b])
			require.InDelta(t, want.done[b], got.Done[b], 1, "session %d, block %d done: %v for %v", i, b, got.Done, want.done)
			tapped := got.settledAt(b)
			require.Equal(t, want.settle[b] == nil, tapped == nil, "session %d, block %d settled", i, b)
			if tapped != nil {
				require.InDelta(t, *want.settle[b], *tapped, 1, "session %d, block %d settled", i, b)
			}
		}
	}
	require.Empty(t, s.events(), "nothing is left of it on the phone")
	s.quiet()
}

func total(done []int32) (sum int32) {
	for _, d := range done {
		sum += d
	}
	return sum
}
