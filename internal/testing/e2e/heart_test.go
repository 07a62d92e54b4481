package e2e

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// watch writes down a session of the phase as a watch would, a line a second, into
// a file: a heart that follows runs and walks with a lag of 40 s up and 50 s down,
// as first-order kinetics have it. The later it is worn, the more is missing at the
// start.
func watch(t *testing.T, phase string, late int) string {
	t.Helper()
	p := pathway.Default()
	rate, n := 92.0, 0
	var b bytes.Buffer
	b.WriteString("seconds,bpm\n")
	for _, block := range p.Blocks(p.Find(phase)) {
		goal, lag := 100.0, 50.0
		if block.Kind == pathway.Run {
			goal, lag = 158, 40
		}
		for range block.Planned {
			rate += (goal - rate) / lag
			if n >= late {
				fmt.Fprintf(&b, "%d,%d\n", n-late, int(math.Round(rate+1.5*math.Sin(float64(n)/4))))
			}
			n++
		}
	}
	file := filepath.Join(t.TempDir(), "session.csv")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	return file
}

// send chooses the file on the page that is open and sends the form.
func send(tab *browser.Tab, file string) int64 {
	tab.Choose("#file", file)
	return tab.Press("form[enctype] button")
}

// An athlete's heart from one end to the other without JavaScript: a talk test sets
// the ceiling, a session is logged and its recording added, the coach sees it, the
// same file is recognised, another asks first, and all of it goes again.
func TestARecordingFromThePhoneToTheDesk(t *testing.T) {
	t.Parallel()
	desk, phone := browser.Desk.WithoutScript(), browser.Phone.WithoutScript()
	p := program.Start(t, program.Options{})
	coach := beginClub(t, p, desk)
	link := takeIn(t, coach, p, "Ines Okafor", "L2")
	ines := browser.New(t, phone)
	signInByLink(t, ines, link)

	require.EqualValues(t, 200, ines.Open(reach(p, "/heart")))
	require.Contains(t, ines.Text("main"), "Not known yet")
	require.EqualValues(t, 200, ines.Press("main a.btn"))
	testTalking(t, ines)
	require.Contains(t, ines.Text("main"), "129 beats a minute")
	fits(t, ines, phone)

	require.EqualValues(t, 200, ines.Open(reach(p, "/log")))
	for _, choice := range []string{"done-all", "effort-4", "talk-sentence", "breath-early", "pain-none"} {
		ines.Touch("label:has(#" + choice + ")")
	}
	require.EqualValues(t, 200, ines.Press("form.after .send button"))
	require.EqualValues(t, 200, ines.Press(".notice a"))
	at := ines.Path()
	first := watch(t, "L2", 0)
	require.EqualValues(t, 200, send(ines, first))
	require.Contains(t, ines.Text("main"), "All six walks settled.")
	require.Equal(t, 6, ines.Count("table.walks tbody tr"))
	require.Contains(t, ines.Text("main"), "An easy ceiling of 129, from a talk test.")
	fits(t, ines, phone)

	seenByCoach(t, coach, p, at)
	require.EqualValues(t, 200, ines.Open(reach(p, at)))
	replaced(t, ines, first)
	removed(t, ines, coach, p, at)
	fits(t, coach, desk)
}

// testTalking goes through the talk test that is open: comfortable up to 129.
func testTalking(t *testing.T, tab *browser.Tab) {
	t.Helper()
	require.Equal(t, "Guided talk test", tab.Text("h1"))
	tab.Touch("label:has([name=well])")
	require.EqualValues(t, 200, tab.Press("main form button"))
	for i, stage := range []struct{ rate, talk string }{{"96", "chat"}, {"112", "chat"}, {"129", "chat"}, {"141", "sentence"}} {
		require.Contains(t, tab.Text("main"), fmt.Sprintf("Stage %d of 6", i+1))
		require.Zero(t, tab.Count("[data-start]:not([hidden] *)"), "without scripts there is no clock")
		tab.Fill("#rate", stage.rate)
		tab.Touch("label:has(#talk-" + stage.talk + ")")
		require.EqualValues(t, 200, tab.Press("main form button.act"))
	}
	require.Equal(t, "Your easy ceiling: 129", tab.Text("h1"))
	require.EqualValues(t, 200, tab.Press("main form button.act"))
	require.Equal(t, "/heart?said=talk-tested", tab.Path())
}

// seenByCoach looks at the trace from the desk.
func seenByCoach(t *testing.T, coach *browser.Tab, p *program.Program, at string) {
	t.Helper()
	require.EqualValues(t, 200, coach.Open(reach(p, "/roster")))
	athlete := coach.Attribute("main a[href^='/athletes/']:not([href$='/new'])", "href")
	require.EqualValues(t, 200, coach.Open(reach(p, athlete)))
	require.Equal(t, 1, coach.Count("svg.tc"))
	require.Equal(t, 1, coach.Sheets(), "printed on one sheet")
	require.Contains(t, coach.Text("[aria-labelledby=newest]"), "All six walks settled.")
	require.Contains(t, coach.Text("[aria-labelledby=heart-card]"), "Easy ceiling 129.")
	require.EqualValues(t, 200, coach.Open(reach(p, athlete+at)))
	require.Contains(t, coach.Text("main"), "Ines Okafor")
	require.Equal(t, 6, coach.Count("table.walks tbody tr"))
	require.Empty(t, coach.Faults())
}

// replaced sends the same file again, then another one.
func replaced(t *testing.T, ines *browser.Tab, first string) {
	t.Helper()
	open := func() { ines.Touch("details:has(#file) > summary") }
	open()
	require.EqualValues(t, 200, send(ines, first))
	require.Contains(t, ines.Text(".notice"), "here already")
	second := watch(t, "L2", 20)
	open()
	require.EqualValues(t, 409, send(ines, second))
	require.Contains(t, ines.Text("#refused"), "Shall the new one take its place?")
	ines.Touch("label:has([name=replace])")
	require.EqualValues(t, 200, send(ines, second))
	require.Contains(t, ines.Text(".notice"), "attached")
	require.Contains(t, ines.Text("main"), "the recording begins")
}

// removed takes the recording away again.
func removed(t *testing.T, ines, coach *browser.Tab, p *program.Program, at string) {
	t.Helper()
	ines.Touch("details:has(form[action$='/remove']) > summary")
	require.EqualValues(t, 200, ines.Press("form[action$='/remove'] button"))
	require.Contains(t, ines.Text(".notice"), "removed")
	require.Zero(t, ines.Count("svg.tc"))
	require.EqualValues(t, 200, ines.Open(reach(p, "/sessions")))
	require.Contains(t, ines.Text("main"), "Add a recording")
	require.EqualValues(t, 200, coach.Open(reach(p, strings.TrimSuffix(coach.Path(), at))))
	require.Zero(t, coach.Count("svg.tc"))
}

// What is too large is told on the form, by a browser that sent all of it.
func TestAFileThatIsTooLargeIsToldOnTheForm(t *testing.T) {
	t.Parallel()
	p := program.Start(t, program.Options{})
	coach := beginClub(t, p, browser.Desk)
	ines := browser.New(t, browser.Phone)
	signInByLink(t, ines, takeIn(t, coach, p, "Ines Okafor", "L2"))
	logAll(t, ines, p, 1)
	require.EqualValues(t, 200, ines.Press(".notice a"))
	file := filepath.Join(t.TempDir(), "film.fit")
	require.NoError(t, os.WriteFile(file, make([]byte, 13<<20), 0o600))
	require.EqualValues(t, 413, send(ines, file))
	require.Contains(t, ines.Text("#file-wrong"), "larger than 12 MiB")
	require.NoError(t, os.WriteFile(file, []byte("not a recording at all"), 0o600))
	require.EqualValues(t, 422, send(ines, file))
	require.NotEmpty(t, ines.Text("#file-wrong"))
}

// fakeStrap is a strap that a page can choose and that says what the test tells it;
// with it a clock that the test sets ahead, and a note of what the phone did.
const fakeStrap = `(() => {
	const measurement = new EventTarget()
	measurement.startNotifications = async () => measurement
	const device = new EventTarget()
	device.name = 'A strap'
	device.gatt = { connect: async () => ({ getPrimaryService: async () => ({ getCharacteristic: async () => measurement }) }) }
	Object.defineProperty(navigator, 'bluetooth', { value: { requestDevice: async () => device } })
	window.beat = bytes => {
		measurement.value = new DataView(new Uint8Array(bytes).buffer)
		measurement.dispatchEvent(new Event('characteristicvaluechanged'))
	}
	window.silence = () => device.dispatchEvent(new Event('gattserverdisconnected'))
	const fetch = window.fetch, now = performance.now.bind(performance)
	window.fetch = (...all) => window.offline ? Promise.reject(new TypeError('offline')) : fetch(...all)
	window.ahead = 0
	performance.now = () => now() + window.ahead
	window.felt = []
	Object.defineProperty(navigator, 'vibrate', { value: times => felt.push('a shake') })
	Object.defineProperty(navigator, 'wakeLock', { value: { request: async what => felt.push(what) } })
})()`

// With scripts the clock counts, the strap fills in the heart rate, and it stays
// connected from stage to stage.
func TestTheTalkTestWithAStrap(t *testing.T) {
	t.Parallel()
	p := program.Start(t, program.Options{})
	coach := beginClub(t, p, browser.Desk)
	ines := browser.New(t, browser.Phone)
	ines.Before(fakeStrap)
	signInByLink(t, ines, takeIn(t, coach, p, "Ines Okafor", "L2"))
	require.EqualValues(t, 200, ines.Open(reach(p, "/talk-test")))
	ines.Touch("label:has([name=well])")
	ines.Touch("main form button.act")
	ines.Wait("#rate")
	require.Equal(t, "/talk-test", ines.Path())

	ines.Touch("[data-start]")
	require.Regexp(t, `^1 min 5\d$|^2 min 00$`, ines.Text("[data-left]"))
	browser.Eval[any](ines, "ahead = 121000, 0")
	says(t, ines, "[data-said]", "Two minutes are over. Read aloud now.")
	require.Equal(t, []string{"screen", "a shake"}, browser.Eval[[]string](ines, "felt"))
	ines.Touch("[data-connect]")
	heard := func(words string) { t.Helper(); says(t, ines, "[data-heard]", words) }
	heard("A strap is connected.")
	browser.Eval[any](ines, "beat([6, 110]), beat([6, 120]), beat([4, 0]), 0")
	heard("does not feel a beat")
	require.Equal(t, "115", browser.Eval[string](ines, "document.getElementById('rate').value"), "a dropout is no heart rate")

	browser.Eval[any](ines, "offline = true, 0")
	ines.Touch("label:has(#talk-chat)")
	ines.Touch("main form button.act")
	ines.Wait("[data-unsent]:not([hidden])")
	require.Equal(t, "115", browser.Eval[string](ines, "document.getElementById('rate').value"), "nothing is lost without a signal")
	browser.Eval[any](ines, "offline = false, 0")
	ines.Touch("main form button.act")
	ines.Wait("[name='rate[0]'] ~ .field #rate")
	require.Contains(t, ines.Text("main"), "Stage 2 of 6")
	heard("The strap is connected.")
	browser.Eval[any](ines, "beat([6, 150]), 0")
	heard("Now 150")
	ines.Fill("#rate", "140")
	browser.Eval[any](ines, "document.getElementById('rate').dispatchEvent(new Event('input')), beat([6, 155]), silence(), 0")
	heard("has gone silent")
	require.Equal(t, "140", browser.Eval[string](ines, "document.getElementById('rate').value"), "what was typed stays")

	ines.Touch("label:has(#talk-words)")
	ines.Touch("main form button.act")
	ines.Wait("form button[value=keep]")
	require.Equal(t, "Your easy ceiling: 115", ines.Text("h1"))
	require.EqualValues(t, 200, ines.Press("form button[value=keep]"))
	require.Equal(t, "/heart?said=talk-tested", ines.Path())
	require.Contains(t, ines.Text("main"), "115 beats a minute")
	require.Empty(t, ines.Faults())
}

// says waits until the element holds the words.
func says(t *testing.T, tab *browser.Tab, selector, words string) {
	t.Helper()
	require.True(t, browser.Eval[bool](tab, fmt.Sprintf(`new Promise(done => {
		const look = () => document.querySelector(%q).textContent.includes(%q) ? done(true) : setTimeout(look, 10)
		look()
	})`, selector, words)))
}
