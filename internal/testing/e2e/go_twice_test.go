package e2e

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// The answer gets lost, and the browser is killed while it waits for it: the session
// is sent again and stored once.
func TestKilledWhileItSends(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", true)
	o.ready()
	o.Restart()
	o.openGo()
	o.deed("start-cold")
	o.Pass(100*second, browser.Slow)
	o.deed("breath")
	o.Kill() // at once, whatever is on the disk by then
	require.Equal(t, "ask", o.openGo())
	o.goOn()
	tapped := browser.Eval[bool](o.Tab, "!document.querySelector('[data-settled]').hidden")
	o.Pass(50*second, browser.Slow)
	o.wire.Lose("/log", 100)
	o.stop("done")
	o.answer(4)
	for o.logs() == 0 { // until the first one has reached the program
		o.Until("true")
	}
	o.Kill()
	o.wire.Lose("/log", 0)
	o.openGo()
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, []int32{60, 90, 0}, all[0].Done[:3])
	if tapped {
		require.EqualValues(t, 40, *all[0].settledAt(1))
	}
	t.Logf("the tap was on the disk: %v", tapped)
	require.GreaterOrEqual(t, o.logs(), 2, "it was sent more than once")
}

// logs is how many times a session reached the program.
func (o *outing) logs() (n int) {
	for _, r := range o.wire.Asked() {
		if r.Method == http.MethodPost && r.Path == "/log" {
			n++
		}
	}
	return n
}

// The same session goes on in two tabs, and both tell how it was: it is stored once.
func TestTwoTabsTellOfOneSession(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	o.ready()
	o.deed("start-cold")
	o.Pass(70*second, browser.Slow)
	first := o.Tab
	o.Beside()
	require.Equal(t, "ask", o.openGo())
	o.goOn()
	o.Pass(30*second, browser.Slow)
	require.Equal(t, "3:20", o.Text("[data-left]"))
	second := o.Tab
	for _, tab := range []*browser.Tab{first, second} {
		o.Front(tab)
		require.Equal(t, "3:20", o.Text("[data-left]"))
		o.stop("tired")
		o.shows("after")
	}
	for _, tab := range []*browser.Tab{first, second} {
		o.Front(tab)
		o.answer(4)
	}
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, []int32{60, 40, 0}, all[0].Done[:3])
	require.Empty(t, o.events())
	o.Reload()
	o.shows("before")
}
