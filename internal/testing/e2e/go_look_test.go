package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// Where there is no signal, and where something waits to be sent, every page is as
// good as elsewhere: no barriers, nothing wider than the narrowest screen, also with
// text twice as large, by light and in the dark. With HALFHOUR_SCREENS each is
// saved as a picture.
func TestEveryPageWithoutASignal(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L3", false)
	o.ready()
	require.EqualValues(t, 200, o.Open(o.wire.Address+"/today"))
	o.Until("caches.match('/today')")
	o.signal(false)
	o.looked("today", func() { o.Open(o.wire.Address + "/today") })
	o.looked("no-signal", func() { o.Open(o.wire.Address + "/sessions") })
	o.looked("before", func() { o.openGo() })
	o.deed("start-cold")
	o.Pass(100*second, browser.Slow)
	o.looked("run", nil)
	o.Pass(65*second, browser.Slow)
	o.looked("walk", nil)
	o.deed("breath")
	o.looked("tapped", nil)
	o.deed("pause")
	o.looked("paused", nil)
	o.looked("ask", func() { o.Reload(); o.shows("ask") })
	o.deed("go-on")
	o.stop("weather")
	o.shows("after")
	o.looked("after", nil)
	o.answer(4)
	o.looked("stored", nil)
	o.looked("waiting", func() { o.openGo() })
	o.looked("today-waiting", func() {
		o.Open(o.wire.Address + "/today")
		o.Until("!document.querySelector('[data-outbox]').hidden")
	})
	o.quiet()
}

// looked looks at a page on the narrowest screens; open opens it, or is nil where it
// is open.
func (o *outing) looked(name string, open func()) {
	t := o.t
	t.Helper()
	if open != nil {
		open()
	}
	o.Until("document.querySelector('main')")
	for _, screen := range []browser.Screen{browser.Small, browser.Phone, browser.Small.InDark(), browser.Phone.InDark()} {
		o.Look(screen)
		if folder := os.Getenv("HALFHOUR_SCREENS"); folder != "" {
			o.Picture(filepath.Join(folder, fmt.Sprintf("go-offline-%s-%s.png", name, screen)))
		}
		for _, size := range []string{"200%", ""} {
			browser.Eval[any](o.Tab, fmt.Sprintf("(document.documentElement.style.fontSize = %q, 0)", size))
			if width := o.Width(); width > screen.Width {
				t.Errorf("%s is %d wide on %d (%s): %s", name, width, screen.Width, size, widest(o.Tab, screen))
			}
		}
	}
	o.Look(browser.Phone)
	for _, barrier := range o.Axe() {
		if barrier.Serious() {
			t.Errorf("%s: %s", name, barrier)
		}
	}
	require.Zero(t, browser.Eval[int](o.Tab, "document.getAnimations().filter(a => a.effect.getComputedTiming().duration > 1).length"), "%s: who wants less motion gets none", name)
}

// Without JavaScript Go says what it needs and leads to what works without.
func TestGoWithoutJavaScript(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", "L3")
	ines := browser.New(t, browser.Phone.WithoutScript())
	signInByLink(t, ines, link)
	require.Positive(t, ines.Count("main a[href='/go']"))
	require.EqualValues(t, 200, ines.Open(c.Address+"/go"))
	require.Contains(t, ines.Text("main"), "needs JavaScript")
	require.Zero(t, ines.Count("main button:not([hidden] *)"), "nothing that does nothing")
	require.EqualValues(t, 200, ines.Press("noscript a, main a.btn"))
	require.Equal(t, "/log?kind=planned", ines.Path())
	fits(t, ines, browser.Phone)
}
