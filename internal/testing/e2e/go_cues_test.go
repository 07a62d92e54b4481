package e2e

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/testing/browser"
)

// cue is something that a session calls out, in whole seconds since it began.
type cue struct {
	at   int
	soon bool // half a minute before an end
}

// cuesOf are those of a session with its warm-up and cool-down.
func cuesOf(m *march) (all []cue) {
	end := 0
	for _, s := range m.stretches {
		end += int(whole(s.planned))
		if s.planned >= 45*time.Second { // a shorter one is announced when it begins
			all = append(all, cue{end - 30, true})
		}
		all = append(all, cue{end, false})
	}
	return all
}

// since are the moments of the phone's notes of a kind, in seconds since began.
func (o *outing) since(began time.Time, kind string) (all []float64) {
	for _, n := range o.Notes(kind) {
		all = append(all, (n.Wall-float64(began.UnixMilli()))/1000)
	}
	return all
}

// near are the moments that lie less than a second behind at.
func near(all []float64, at int) (found []float64) {
	for _, s := range all {
		if s > float64(at)-0.3 && s < float64(at)+1.5 {
			found = append(found, s)
		}
	}
	return found
}

// Every change and every half minute before an end is sounded, spoken and shaken
// once, also where the page is loaded anew in between or stands still in a pocket.
func TestEveryChangeIsCalledOnce(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	began := o.Time()
	o.deed("start")
	o.shows("going")
	pass := func(seconds int) { o.Pass(time.Duration(seconds)*second, browser.Awake) }
	pass(570) // 40 s into the first run
	again := []float64{}
	for _, after := range []int{10, 120} { // in the first walk; half a minute before an end lies ahead
		pass(after)
		o.Reload()
		again = append(again, o.Time().Sub(began).Seconds())
		o.goOn()
	}
	pass(10)
	o.Freeze(200 * second) // locked, over two changes
	pass(530 + 30*60 + 5*60 - 570 - 130 - 10 - 200 + 2)
	o.shows("after")
	tones, words, shakes := o.since(began, "tone"), o.since(began, "say"), o.since(began, "shake")
	require.Empty(t, o.Notes("no tone"), "every sound is heard")
	sounded := 0
	for _, c := range cuesOf(newMarch(usualWarmUp, planOf(t, "L1"), 5*time.Minute)) {
		name := fmt.Sprintf("%d s (%v)", c.at, c.soon)
		heard := near(tones, c.at)
		require.NotEmpty(t, heard, name)
		require.InDelta(t, c.at, heard[0], 0.3, name)
		want := 1
		if !c.soon {
			want = 3 // three tones that rise or fall
		}
		if c.at == 530+30*60 {
			want = 2 // the cool-down
		}
		require.Len(t, heard, want, name)
		sounded += want
		if c.at > 710 && c.at < 915 {
			continue // the page stood still: it has no timers to speak with
		}
		require.Len(t, near(words, c.at), 1, name)
		require.Len(t, near(shakes, c.at), 1, name)
	}
	require.Len(t, tones, sounded, "and nothing else is")
	for _, at := range again {
		require.LessOrEqual(t, len(near(words, int(at))), 1, "going on may be said once")
	}
	o.quiet()
}

// What is switched off stays silent, also after the page was loaded anew; the rest
// goes on.
func TestWhatIsSwitchedOffStaysSilent(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	off := func(name string) {
		o.Touch("[data-screen]:not([hidden]) label:has([name=" + name + "])")
	}
	off("sound")
	off("voice")
	off("shake")
	o.deed("start-cold")
	o.Pass(90*second, browser.Awake)
	o.Reload()
	o.goOn()
	o.Pass(300*second, browser.Awake)
	require.Empty(t, o.Notes("tone", "no tone", "say", "shake"))
	o.Touch("details.rest summary")
	off("voice")
	o.Pass(300*second, browser.Awake)
	require.NotEmpty(t, o.Notes("say"))
	require.Empty(t, o.Notes("tone", "no tone", "shake"))
}

// planOf are the blocks of a phase of the default pathway.
func planOf(t *testing.T, phase string) []pathway.Block {
	t.Helper()
	p := pathway.Default()
	rung := p.Find(phase)
	require.NotEqual(t, pathway.NoRung, rung)
	return p.Blocks(rung)
}

// The screen is kept on while a session goes on, and again when the page comes
// back; where it cannot be, that is said.
func TestTheScreenStaysOn(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	awake := func() bool { return browser.Eval[bool](o.Tab, "testPhone.awake()") }
	require.False(t, awake())
	o.deed("start-cold")
	o.Until("testPhone.awake()")
	browser.Eval[any](o.Tab, "testPhone.hide()")
	require.False(t, awake())
	o.Freeze(20 * second)
	browser.Eval[any](o.Tab, "testPhone.show()")
	o.Until("testPhone.awake()")
	require.Equal(t, "0:40", o.Text("[data-left]"), "time went on")
	browser.Eval[any](o.Tab, "(testPhone.hide(), testPhone.sleepless(false), testPhone.show())")
	o.Until("document.querySelector('[data-awake]').textContent.includes('does not keep the screen on')")
	browser.Eval[any](o.Tab, "(testPhone.sleepless(true), testPhone.hide(), testPhone.show())")
	o.Until("testPhone.awake()")
	o.stop("weather")
	o.shows("after")
	o.Until("!testPhone.awake()")
}
