package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// decide lets the coach decide about the athlete.
func (o *outing) decide(pairs ...string) {
	o.t.Helper()
	page := o.coach.Get(o.at).Form(`form[action$="/decide"]`).Set(pairs...).Send()
	require.Equal(o.t, 200, page.Status, page)
}

// The coach moves the athlete up while the phone has no signal. The session that
// was begun before is stored with its own phase, the phone says what changed, and
// the next one is the new one.
func TestTheCoachDecidesWhileThePhoneHasNoSignal(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.signal(false)
	o.deed("start-cold")
	o.Pass(300*second, browser.Slow)
	o.decide("choice", "move_up", "reason", "seen running at the club", "word", "Well run; the runs grow a little.")
	o.Pass(100*second, browser.Slow)
	o.stop("done")
	o.answer(3)
	o.signal(true)
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, "L1", *all[0].Phase)
	require.Equal(t, "rwrwrwrwrwrw", all[0].Kinds)
	require.EqualValues(t, 60, all[0].Planned[0])
	o.Until("document.querySelector('[data-outbox]').textContent.includes('Your coach changed your next sessions')")
	require.Contains(t, o.Text("[data-outbox]"), "run 1 min 30, walk 3 min 30, six times")
	o.Reload()
	o.shows("before")
	o.Until("document.querySelector('#title').textContent.startsWith('Run 1\\u00a0min\\u00a030')")
	o.Until("document.querySelector('[data-outbox]').textContent.includes('changed')")
	o.Touch("[data-outbox] button")
	o.Until("document.querySelector('[data-outbox]').hidden")
	o.Until("document.querySelector('[data-word]').textContent.includes('the runs grow a little')")
	o.deed("start-cold")
	o.Pass(91*second, browser.Slow)
	require.Equal(t, "Walk", o.Text("[data-now]"))
	o.quiet()
}

// Where the coach paused running meanwhile, Go says so and begins nothing.
func TestGoBeginsNothingWhileRunningIsPaused(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.decide("choice", "pause", "reason", "a sore shin", "word", "Rest it.")
	o.Reload()
	o.shows("none")
	require.Zero(t, o.Count("[data-do=start]:not([hidden] *)"))
	o.signal(false)
	o.Reload()
	o.shows("none")
	require.Contains(t, o.Text("h1"), "No running for now")
}
