package e2e

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// openGo opens Go and gives the screen that it shows.
func (o *outing) openGo() string {
	o.t.Helper()
	require.EqualValues(o.t, 200, o.Open(o.wire.Address+"/go"))
	return o.showing()
}

// ready opens Go with a signal and waits until it would open without one. That the
// worker has this page already is not asked: one that came while the worker took over
// is its own only from the next time on.
func (o *outing) ready() {
	o.t.Helper()
	require.Equal(o.t, "before", o.openGo())
	o.Until("navigator.serviceWorker.getRegistration().then(r => r?.active?.state === 'activated' && caches.match('/go'))")
}

// showing is the screen of Go that is shown, as soon as there is one.
func (o *outing) showing() string {
	o.t.Helper()
	o.Until("document.querySelector('[data-screen]:not([hidden])')")
	return o.Attribute("[data-screen]:not([hidden])", "data-screen")
}

// shows waits until a screen is shown.
func (o *outing) shows(screen string) {
	o.t.Helper()
	o.Until(fmt.Sprintf("document.querySelector('[data-screen=%s]:not([hidden])')", screen))
}

// deed presses a button of Go.
func (o *outing) deed(name string) {
	o.t.Helper()
	o.hit("[data-screen]:not([hidden])", "[data-do="+name+"]:not([hidden])")
}

// stop stops the session for a reason.
func (o *outing) stop(reason string) {
	o.t.Helper()
	o.deed("ask-stop")
	o.hit("[data-panel=stop]", "[data-reason="+reason+"]")
}

// hit presses a button in a part of the page. A finger misses what moves away under
// it, when news come in, and tries again.
func (o *outing) hit(in, button string) {
	o.t.Helper()
	browser.Eval[any](o.Tab, "(testPhone.miss(), 0)")
	hit := fmt.Sprintf("testPhone.hit(%q)", strings.ReplaceAll(button, ":not([hidden])", ""))
	var missed error
	for range 3 {
		missed = o.TryTouch(in + " " + button)
		// A touch is told to the page a moment later.
		for until := time.Now().Add(3 * second); time.Now().Before(until); {
			if browser.Eval[bool](o.Tab, hit) {
				return
			}
		}
	}
	require.Fail(o.t, "the button could not be hit", "%s: %v", button, missed)
}

// goOn goes on with the session that the page came back to.
func (o *outing) goOn() {
	o.t.Helper()
	o.shows("ask")
	o.deed("go-on")
	o.shows("going")
}

// happened is one event that the phone wrote down.
type happened struct {
	Type string  `json:"type"`
	Wall float64 `json:"wall"`
	Mono float64 `json:"mono"`
	Life string  `json:"life"`
}

// everything reads a store of the phone's database. The page made it before.
const everything = `(list => new Promise((told, failed) => {
	const open = indexedDB.open('halfhour')
	open.onerror = failed
	open.onsuccess = () => {
		const db = open.result
		const all = db.transaction(list).objectStore(list).getAll()
		all.onerror = failed
		all.onsuccess = () => { db.close(); told(all.result) }
	}
}))`

// events are what the phone wrote down of the session that is going on.
func (o *outing) events() (all []happened) {
	o.t.Helper()
	text := browser.Eval[string](o.Tab, everything+"('events').then(JSON.stringify)")
	require.NoError(o.t, json.Unmarshal([]byte(text), &all))
	return all
}

// waiting is how many sessions lie in the phone, to be sent.
func (o *outing) waiting() int {
	o.t.Helper()
	return browser.Eval[int](o.Tab, everything+"('outbox').then(all => all.length)")
}

// written waits until the newest event of a type lies in the phone's database.
func (o *outing) written(kind string) {
	o.t.Helper()
	o.Until(fmt.Sprintf(everything+"('events').then(all => all.some(e => e.type === %q && e.mono === performance.now()))", kind))
}

// now is the moment as the page in front knows it.
func (o *outing) now() stamp {
	o.t.Helper()
	m := browser.Eval[happened](o.Tab, "({...testClock.now(), life: testPhone.life})")
	return stamp{wall: time.UnixMilli(int64(m.Wall)), mono: time.Duration(m.Mono * float64(time.Millisecond)), life: m.Life}
}

// answer fills in the form after a session and stores it on the phone.
func (o *outing) answer(effort int) {
	o.t.Helper()
	o.shows("after")
	choices := []string{fmt.Sprintf("effort-%d", effort), "talk-sentence"}
	if !browser.Eval[bool](o.Tab, "document.querySelector('#pain-some').checked") {
		choices = append(choices, "pain-none")
	}
	if browser.Eval[bool](o.Tab, "!document.querySelector('#breath').hidden") {
		choices = append(choices, "breath-half")
	}
	for _, choice := range choices {
		label := "#after label:has(#" + choice + ")"
		if browser.Eval[bool](o.Tab, fmt.Sprintf("document.querySelector(%q).checkVisibility()", label)) { // of a session that was not done little is asked
			o.Touch(label)
		}
	}
	o.Touch("#after .send button")
	o.shows("sent")
}

// sent waits until nothing lies in the phone any more.
func (o *outing) sent() {
	o.t.Helper()
	o.Until(everything + "('outbox').then(all => all.length === 0)")
}
