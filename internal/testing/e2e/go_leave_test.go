package e2e

import (
	"net/url"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// traces is all text that lies in the phone: its databases and its caches.
const traces = `(async () => {
	let all = ''
	for (const { name } of await indexedDB.databases()) {
		const db = await new Promise((told, failed) => { const o = indexedDB.open(name); o.onsuccess = () => told(o.result); o.onerror = failed })
		for (const list of db.objectStoreNames) {
			all += JSON.stringify(await new Promise(told => { const q = db.transaction(list).objectStore(list).getAll(); q.onsuccess = () => told(q.result) }))
		}
		db.close()
	}
	for (const name of await caches.keys()) {
		const cache = await caches.open(name)
		for (const request of await cache.keys()) if (!request.url.includes('/static/')) all += await (await cache.match(request, { ignoreVary: true })).text()
	}
	return all + JSON.stringify(localStorage) + JSON.stringify(sessionStorage)
})()`

// empty says that nothing at all is kept.
const empty = `Promise.all([indexedDB.databases(), caches.keys()]).then(([dbs, names]) => dbs.length + names.length === 0)`

// comeIn signs in by a link on the same phone.
func (o *outing) comeIn(link string) {
	o.t.Helper()
	to, err := url.Parse(link)
	require.NoError(o.t, err)
	require.EqualValues(o.t, 200, o.Open(o.wire.Address+to.Path))
	require.EqualValues(o.t, 200, o.Press("main form button"))
	require.Equal(o.t, "/today", o.Path())
}

// Signing out asks where something is not sent yet, needs a signal, and then leaves
// nothing on the phone. Whoever signs in next sees nothing of the one before, and
// has everything without a signal too.
func TestSigningOutLeavesNothingOnThePhone(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	_, other := o.newcomer("Bao Nguyen", "B2")
	o.ready()
	o.Open(o.wire.Address + "/today")
	o.ready()
	require.Contains(t, browser.Eval[string](o.Tab, traces), "Ines", "the week is on the phone")
	o.signal(false)
	o.deed("start-cold")
	o.Pass(70*second, browser.Slow)
	o.Open(o.wire.Address + "/today")
	leave := func() { t.Helper(); o.hit("footer", "form[action='/sign-out'] button") }
	leave()
	o.Until("document.querySelector('#leaving')?.textContent.includes('not sent yet')")
	o.Touch("#leaving button:last-of-type")
	require.Equal(t, "ask", o.openGo(), "it is still there")
	o.goOn()
	o.stop("tired")
	o.answer(3)
	o.signal(true)
	o.sent()

	o.signal(false)
	leave()
	o.Until("document.querySelector('#leaving')?.textContent.includes('needs a signal')")
	require.Equal(t, "Sign out", o.Text("footer form button"))
	o.signal(true)
	leave()
	o.Until("location.pathname === '/sign-in'")
	o.Until(empty)
	o.comeIn(other)
	o.ready()
	require.Contains(t, o.Text("h1"), "Walk 20 minutes")
	o.Open(o.wire.Address + "/today")
	left := browser.Eval[string](o.Tab, traces)
	require.NotContains(t, left, "Ines")
	require.Contains(t, left, "Bao")
	o.signal(false)
	require.Equal(t, "before", o.openGo())
	require.Contains(t, o.Text("h1"), "Walk 20 minutes")
	require.EqualValues(t, 200, o.Open(o.wire.Address+"/today"))
	require.Contains(t, o.Text("main"), "Walk 20 minutes")
	require.NotContains(t, o.Text("body"), "Ines")
	require.Len(t, o.stored(), 1)
}

// Somebody else signs in on the same phone while one session of the first waits
// there and another one is going on. Nothing is sent in the wrong name, the other
// sees nothing of what was done, and all of it is there once its owner is back.
func TestSomebodyElseOnTheSamePhone(t *testing.T) {
	t.Parallel()
	o := goOut(t, "L1", false)
	_, other := o.newcomer("Bao Nguyen", "B2")
	o.ready()
	o.signal(false)
	o.deed("start-cold")
	o.Pass(400*second, browser.Slow)
	o.stop("tired")
	o.answer(3)
	o.Pass(time.Hour, time.Hour)
	o.openGo()
	o.deed("start-cold")
	o.Pass(30*second, browser.Slow)
	o.Open(o.wire.Address + "/sessions") // so that Go is not just sending anything
	o.wire.Cut(false)                    // the browser has not noticed it yet
	o.comeIn(other)
	o.Offline(false)
	o.Until("document.querySelector('[data-outbox]').textContent.includes('somebody else')")
	require.NotContains(t, o.Text("body"), "Go on with")
	require.Equal(t, "before", o.openGo())
	o.Until("document.querySelector('#title').textContent.includes('Walk 20 minutes')")
	o.Until("document.querySelector('[data-outbox]').textContent.includes('somebody else')")
	require.NotContains(t, o.Text("body"), "Run 1")
	require.NotContains(t, o.Text("body"), "Ines")
	require.Zero(t, o.count("select count(*) from session"))

	page := o.coach.Get(o.at).Form(`form[action$="/link"]`).Send()
	o.comeIn(page.Attr("#address", "value"))
	o.sent()
	all := o.stored()
	require.Len(t, all, 1)
	require.Equal(t, []int32{60, 240, 60, 40}, all[0].Done[:4])
	require.Equal(t, "ask", o.openGo(), "and the other one may go on")
	require.Contains(t, o.Text("[data-gone]"), "run 1")
}
