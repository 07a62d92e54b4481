package e2e

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// ahead lets a test move both clocks of a page on.
const ahead = `(() => {
	let by = 0
	for (const [clock, name] of [[Date, 'now'], [performance, 'now']]) {
		const real = clock[name].bind(clock)
		clock[name] = () => real() + by
	}
	window.moveOn = seconds => { by += 1000 * seconds }
})()`

// walker is a phone with Go in it, of the athlete of a club.
type walker struct {
	*browser.Tab
	t  *testing.T
	at string // of the program
}

// shows waits until Go shows a screen.
func (w *walker) shows(screen string) { w.t.Helper(); w.Wait("[data-screen=" + screen + "]") }

// taps presses a button of the screen that is shown.
func (w *walker) taps(deed string) {
	w.t.Helper()
	w.Touch("[data-screen]:not([hidden]) [data-do=" + deed + "]")
}

// reads waits until a part of the page says something.
func (w *walker) reads(selector, words string) {
	w.t.Helper()
	browser.Eval[bool](w.Tab, fmt.Sprintf(`new Promise((done, failed) => {
		const late = setTimeout(() => failed(new Error(%[1]q + ' says ' + document.querySelector(%[1]q)?.innerText)), 10000)
		const look = () => {
			if (!document.querySelector(%[1]q)?.innerText.replace(/\s+/g, ' ').includes(%[2]q)) return setTimeout(look, 30)
			clearTimeout(late)
			done(true)
		}
		look()
	})`, selector, words))
}

// moves both clocks on.
func (w *walker) moves(seconds int) {
	w.t.Helper()
	browser.Eval[bool](w.Tab, fmt.Sprintf("(moveOn(%d), true)", seconds))
}

func (w *walker) opensGo(screen string) {
	w.t.Helper()
	require.EqualValues(w.t, 200, w.Open(w.at+"/go"))
	w.shows(screen)
}

// newWalker signs an athlete of a new club in.
func newWalker(t *testing.T, phase string) (*walker, *club) {
	t.Helper()
	c := newClub(t, program.Options{})
	_, link := c.add("Ines Okafor", phase)
	w := &walker{Tab: browser.New(t, browser.Phone), t: t, at: c.Address}
	w.Before(ahead)
	signInByLink(t, w.Tab, link)
	return w, c
}

// Every screen of Go, by light and in the dark, narrow and with text twice as large:
// nobody meets a barrier, nothing is wider than the screen.
func TestEveryScreenOfGo(t *testing.T) {
	t.Parallel()
	w, _ := newWalker(t, "L3")
	look := func(name string) {
		t.Helper()
		inspect(t, w.Tab, "go-"+name)
		for _, screen := range []browser.Screen{browser.Small, browser.Phone} {
			w.Look(screen)
			browser.Eval[bool](w.Tab, "(document.documentElement.style.fontSize = '200%', true)")
			if width := w.Width(); width > screen.Width {
				t.Errorf("%s is %d wide on %d with large text: %s", name, width, screen.Width, widest(w.Tab, screen))
			}
			browser.Eval[bool](w.Tab, "(document.documentElement.style.fontSize = '', true)")
		}
		w.Look(browser.Phone)
	}
	w.opensGo("before")
	require.Equal(t, "Run 2 minutes, walk 3, six times", w.Text("h1"))
	look("before")
	w.taps("start")
	w.reads("[data-now]", "Warm up")
	look("warm-up")
	w.moves(60)
	w.taps("leave")
	w.reads("[data-now]", "Run")
	require.Equal(t, "Run 1 of 6", w.Text("[data-where]"))
	look("run")
	w.moves(150)
	w.reads("[data-now]", "Walk")
	look("walk")
	w.taps("breath")
	w.reads("[data-settled]", "Breath back after")
	look("breath")
	w.moves(700)
	w.reads("[data-where]", "3 of 6")
	w.taps("pause")
	w.reads("[data-now]", "Paused")
	look("paused")
	w.taps("resume")
	w.taps("ask-skip")
	w.Wait("[data-panel=skip]")
	look("skip")
	w.taps("fold")
	w.taps("ask-stop")
	w.Wait("[data-panel=stop]")
	look("stop")
	w.opensGo("ask")
	look("ask")
	w.taps("go-on")
	w.taps("ask-stop")
	w.Touch("[data-reason=pain]")
	w.shows("after")
	require.True(t, browser.Eval[bool](w.Tab, "document.querySelector('#done-pain').checked && document.querySelector('#pain-some').checked"))
	look("after")
	w.Touch(".send button")
	w.reads(".summary", "where it hurt")
	look("after-faults")
	w.Fill("[name='pain[0].score']", "7")
	w.Touch(".send button")
	w.reads("h1", "No running for now")
	w.reads("[data-sent]", "Sent.")
	look("alarm")
	require.Empty(t, w.Faults())
	w.opensGo("none")
	require.Contains(t, w.Text("[data-why]"), "Running is paused")
	look("none")
}

// goes runs a little of a session and stops it.
func (w *walker) goes() {
	w.t.Helper()
	w.opensGo("before")
	w.taps("start-cold")
	w.shows("going")
	w.moves(150)
	w.reads("[data-now]", "Walk")
	w.taps("ask-stop")
	w.Touch("[data-reason=tired]")
	w.shows("after")
	w.Touch("label:has(#effort-4)")
	w.Touch("label:has(#pain-none)")
}

// What the server does not take is shown with a way to correct it, and nothing of it is
// lost on the way.
func TestWhatIsWrongIsCorrectedOnThePhone(t *testing.T) {
	t.Parallel()
	w, c := newWalker(t, "L3")
	w.goes()
	w.Fill("#note", strings.Repeat("word ", 500))
	w.Touch(".send button")
	w.reads("[data-sent]", "not taken yet")
	require.Zero(t, c.count("select count(*) from session"))
	w.Open(w.at + "/today")
	w.reads("[data-outbox]", "was not taken yet")
	w.Press("[data-outbox] a.btn")
	w.shows("after")
	w.reads(".summary", "2,000")
	require.True(t, browser.Eval[bool](w.Tab, "document.querySelector('#effort-4').checked && document.querySelector('#done-part').checked"))
	w.Fill("#note", "short")
	w.Touch(".send button")
	w.reads("[data-sent]", "Sent.")
	require.Equal(t, 1, c.count("select count(*) from session where note = 'short' and effort = 4"))
}

// A second session at the same time is a question, not a second row.
func TestASecondSessionAtTheSameTimeIsAsked(t *testing.T) {
	t.Parallel()
	w, c := newWalker(t, "L3")
	for _, said := range []string{"Sent.", "not taken yet"} {
		w.goes()
		w.Fill("#clock", "00:01") // as if both had begun then
		w.Touch(".send button")
		w.reads("[data-sent]", said)
	}
	w.reads("[data-outbox]", "was not taken yet")
	require.Equal(t, 1, c.count("select count(*) from session"))
	require.Contains(t, w.Text("[data-outbox]"), "Look at what is there")
}

// What was typed into the form is there again after the page was loaded anew.
func TestTheFormIsKeptWhileItIsFilledIn(t *testing.T) {
	t.Parallel()
	w, _ := newWalker(t, "L3")
	w.goes()
	browser.Eval[bool](w.Tab, "(note.value = 'by the river', note.dispatchEvent(new Event('input', {bubbles: true})), true)")
	browser.Eval[bool](w.Tab, fmt.Sprintf(`(async () => {
		const written = s => s.draft?.some(([name, value]) => name === 'note' && value === 'by the river')
		while (!(await %s('sessions')).some(written)) {}
		return true
	})()`, everything))
	w.opensGo("after")
	require.Equal(t, "by the river", browser.Eval[string](w.Tab, "note.value"))
	require.True(t, browser.Eval[bool](w.Tab, "document.querySelector('#effort-4').checked"))
}

// A phone that stood still, or a session that ended while the page was gone, is told of
// as it was.
func TestWhatHappenedWhileThePageWasGone(t *testing.T) {
	t.Parallel()
	w, _ := newWalker(t, "L3")
	w.opensGo("before")
	w.taps("start-cold")
	w.shows("going")
	w.moves(130)
	w.reads("[data-where]", "Walk 1 of 6")
	gone := strings.Replace(ahead, "let by = 0", "let by = 400_000", 1)
	w.Before(gone)
	w.opensGo("ask")
	require.Contains(t, w.Text("[data-gone]"), "in walk 1; the clock has run on to")
	w.taps("stood-still")
	w.reads("[data-where]", "Walk 1 of 6")
	w.moves(20)
	w.taps("breath")
	w.reads("[data-settled]", "Breath back after")
}
