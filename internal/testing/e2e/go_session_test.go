package e2e

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

const second = time.Second

// A whole session with the warm-up, without a signal from its start to its end: the
// breath is tapped in every walk, the page is loaded anew twice, and the browser is
// killed and started again. With the signal there is one session, as it was.
func TestAWholeSessionWithoutASignal(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L3", true)
	o.ready()
	o.Restart() // so that the sign-in is on the disk
	o.signal(false)
	require.Equal(t, "before", o.openGo())
	began := o.Time()
	o.deed("start")
	o.shows("going")
	require.Equal(t, "Warm up", o.Text("[data-now]"))
	require.Contains(t, o.Text("[data-steps] [aria-current]"), "Easy walk, 5 min")
	o.Pass(5*time.Minute+10*second, browser.Drowsy)
	require.Contains(t, o.Text("[data-steps] [aria-current]"), "Leg swings")
	o.Pass(usualWarmUp-5*time.Minute-10*second, browser.Drowsy)
	taps := []int32{40, 52, 61, 75, 88, 30}
	for i, tap := range taps {
		require.Equal(t, "Run", o.Text("[data-now]"), "run %d", i+1)
		o.Pass(47*second, browser.Slow)
		if i == 1 {
			o.Reload()
			o.goOn()
		}
		o.Pass(73*second, browser.Slow)
		require.Equal(t, "Walk", o.Text("[data-now]"), "walk %d", i+1)
		o.Pass(time.Duration(tap-10)*second, browser.Slow)
		if i == 3 {
			o.Freeze(4 * second)
			o.Reload()
			o.Pass(2*second, browser.Awake) // while it asks
			o.goOn()
			o.Pass(4*second, browser.Awake)
		} else {
			o.Pass(10*second, browser.Awake)
		}
		o.deed("breath")
		o.written("breath")
		o.Pass(time.Duration(100-tap)*second, browser.Slow)
		if i == 4 {
			o.Kill()
			o.Pass(30*second, browser.Slow)
			require.Equal(t, "ask", o.openGo())
			o.goOn()
			o.Pass(50*second, browser.Slow)
		} else {
			o.Pass(80*second, browser.Slow)
		}
	}
	require.Equal(t, "Cool down", o.Text("[data-now]"))
	o.Pass(5*time.Minute, browser.Drowsy)
	o.shows("after")
	require.True(t, browser.Eval[bool](o.Tab, "document.querySelector('#done-all').checked"))
	require.Contains(t, o.Text("[data-summary]"), "6 of 6 runs in full")
	o.answer(4)
	require.Contains(t, o.Text("[data-sent]"), "sent when there is a signal")
	require.Empty(t, o.stored())
	require.Equal(t, 1, o.waiting())

	o.signal(true)
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	one := all[0]
	require.Equal(t, "L3", *one.Phase)
	require.EqualValues(t, 4, *one.Effort)
	require.Equal(t, "sentence", one.Talk)
	require.Equal(t, began.Add(usualWarmUp).Truncate(time.Minute).UTC(), one.StartedAt.UTC())
	for i, tap := range taps {
		require.EqualValues(t, 120, one.Done[2*i], "run %d", i+1)
		require.EqualValues(t, 180, one.Done[2*i+1], "walk %d", i+1)
		require.NotNil(t, one.Settle[2*i+1], "walk %d", i+1)
		require.InDelta(t, tap, *one.Settle[2*i+1], 1, "walk %d", i+1)
	}
	o.Reload()
	require.Equal(t, "before", o.showing())
	require.Zero(t, o.waiting())
	require.Len(t, o.stored(), 1)
	o.quiet()
}

// Two pauses, a run that is left out, and a stop with its reason: what was done is
// counted to the second, and the form says what happened.
func TestPausesASkipAndAStop(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.deed("start")
	o.shows("going")
	o.Pass(100*second, browser.Slow)
	o.deed("leave") // the rest of the warm-up
	o.Pass(60*second, browser.Slow)
	require.Equal(t, "Walk", o.Text("[data-now]"))
	o.Pass(90*second, browser.Slow)
	o.deed("pause")
	require.Equal(t, "Paused", o.Text("[data-now]"))
	o.Pass(200*second, browser.Slow)
	require.Equal(t, "2:30", o.Text("[data-left]"))
	o.deed("resume")
	o.Pass(150*second, browser.Slow)
	require.Equal(t, "Run", o.Text("[data-now]"))
	o.Pass(25*second, browser.Awake)
	o.deed("ask-skip")
	o.deed("skip")
	require.Equal(t, "Walk 2 of 6", o.Text("[data-where]"))
	o.Pass(40*second, browser.Awake)
	o.deed("breath")
	o.Pass(200*second, browser.Slow)
	o.Pass(31*second, browser.Slow) // of the third run
	o.deed("pause")
	o.Pass(12*second, browser.Slow)
	o.deed("resume")
	o.Pass(4*second, browser.Awake)
	o.stop("tired")
	o.shows("after")
	require.True(t, browser.Eval[bool](o.Tab, "document.querySelector('#done-part').checked"))
	require.Equal(t, "Stopped early: too tired.", browser.Eval[string](o.Tab, "document.querySelector('#note').value"), "the coach reads why")
	o.answer(7)
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, []int32{60, 240, 25, 240, 35, 0, 0, 0, 0, 0, 0, 0}, all[0].Done)
	for i, settle := range all[0].Settle {
		require.Equal(t, i == 3, settle != nil, "block %d", i)
	}
	require.EqualValues(t, 40, *all[0].Settle[3])
	require.Nil(t, all[0].Outcome, "the engine works it out from the blocks")
	o.quiet()
}

// Stopping because it hurts asks where, and says at once that running pauses.
func TestAStopForPain(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.deed("start-cold")
	o.Pass(80*second, browser.Slow)
	o.stop("pain")
	o.shows("after")
	require.True(t, browser.Eval[bool](o.Tab, "document.querySelector('#done-pain').checked && document.querySelector('#pain-some').checked"))
	o.Touch("#after .send button")
	require.Contains(t, o.Text("#after .summary"), "where it hurt")
	browser.Eval[any](o.Tab, `(f => { f.value = '4'; f.checked = true; return 0 })(document.querySelector("[name='pain[0].score'][value='4'], [name='pain[0].score']"))`)
	o.answer(3)
	require.Equal(t, 1, o.Count("[data-alarm=paused]:not([hidden])"))
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, "stopped_for_pain", *all[0].Outcome)
	require.Equal(t, []int32{60, 20}, all[0].Done[:2])
	require.Equal(t, 1, o.count("select count(*) from session where pain_score[1] = 4"))
}

// What was begun by mistake is removed, after being asked once, and nobody hears of it.
func TestASessionBegunByMistakeIsRemoved(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.signal(false)
	o.deed("start")
	o.Pass(20*second, browser.Slow)
	o.stop("other")
	o.shows("after")
	o.deed("forget")
	require.Equal(t, "after", o.showing(), "it asks first")
	o.Touch("[data-do=forget]")
	o.shows("before")
	o.Until("document.querySelector('[data-seen]').textContent.includes('No signal: as it stood')")
	require.Zero(t, o.waiting())
	require.Empty(t, o.events())
	o.signal(true)
	o.Reload()
	o.shows("before")
	require.Empty(t, o.Text("[data-seen]"))
	require.Empty(t, o.stored())
	o.quiet()
}
