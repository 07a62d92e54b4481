package browser

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/line"
)

const pocket = "Europe/Lisbon"

// gadget is a page that counts by timers, keeps a number for good, and answers
// without a signal.
func gadget(t *testing.T) (address string, wire *line.Line) {
	t.Helper()
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprint(w, `<!doctype html><html lang=en><meta name=viewport content="width=device-width"><title>Gadget</title><link rel=icon href=data:,><main><h1>Gadget</h1>
			<button>Do it</button></main><script>
			var quarters = 0, seconds = 0, frames = 0, signals = []
			setInterval(() => quarters++, 250); setInterval(() => seconds++, 1000)
			requestAnimationFrame(function again() { frames++; requestAnimationFrame(again) })
			const gone = setInterval(() => { throw new Error('stopped timers do not run') }, 10); clearInterval(gone)
			for (const s of ['online', 'offline']) addEventListener(s, () => signals.push(s))
			const store = (mode, work) => new Promise((done, failed) => {
				const open = indexedDB.open('kept', 1)
				open.onupgradeneeded = () => open.result.createObjectStore('n')
				open.onsuccess = () => { const tx = open.result.transaction('n', mode); const r = work(tx.objectStore('n')); tx.oncomplete = () => done(r.result); tx.onerror = failed }
			})
			document.querySelector('button').addEventListener('click', async () => {
				await navigator.wakeLock.request('screen')
				navigator.vibrate([100, 50, 100])
				speechSynthesis.speak(new SpeechSynthesisUtterance('walk'))
				const audio = new AudioContext(), tone = audio.createOscillator(), never = audio.createOscillator()
				await audio.resume()
				tone.frequency.value = 440
				tone.start(audio.currentTime + 2); never.start(audio.currentTime + 2); never.stop()
				setTimeout(() => audio.suspend(), 3000)
				window.done = true
			})
			navigator.serviceWorker.register('/sw.js')
			</script></html>`)
	})
	mux.HandleFunc("GET /sw.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		fmt.Fprint(w, `oninstall = e => e.waitUntil(caches.open('v').then(c => c.add('/')).then(() => skipWaiting()))
			onactivate = e => e.waitUntil(clients.claim())
			onfetch = e => e.respondWith(fetch(e.request).catch(() => caches.match('/')))`)
	})
	mux.HandleFunc("GET /number", func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "7") })
	mux.HandleFunc("GET /set", func(w http.ResponseWriter, _ *http.Request) {
		http.SetCookie(w, &http.Cookie{Name: "who", Value: "Ines", Path: "/", MaxAge: 3600})
	})
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	wire = line.To(t, server.URL)
	return wire.Address, wire
}

func TestAPhonesClockStandsStillUntilItIsMoved(t *testing.T) {
	p := NewDevice(t, Phone, pocket, time.Date(2026, 4, 14, 7, 10, 0, 0, time.UTC))
	at, _ := gadget(t)
	require.EqualValues(t, 200, p.Open(at+"/"))
	wall := func() string { return Eval[string](p.Tab, "new Date().toISOString()") }
	require.Equal(t, "2026-04-14T07:10:00.000Z", wall())
	require.Equal(t, int64(8), Eval[int64](p.Tab, "new Date().getHours()"), "in Lisbon it is summer")
	require.True(t, Eval[bool](p.Tab, "new Date() instanceof Date && new Date(0).getTime() === 0 && Date.UTC(1970, 0) === 0"))
	p.Pass(10*time.Second, 0)
	require.Equal(t, "2026-04-14T07:10:10.000Z", wall())
	require.Equal(t, []int64{40, 10, 625}, Eval[[]int64](p.Tab, "[quarters, seconds, frames]"))
	require.InDelta(t, 10_100, Eval[float64](p.Tab, "performance.now()"), 0)
	p.Pass(10*time.Second, Slow)
	require.Equal(t, []int64{50, 20}, Eval[[]int64](p.Tab, "[quarters, seconds]"), "slowed down")
	p.Freeze(time.Minute)
	require.Equal(t, []int64{51, 21}, Eval[[]int64](p.Tab, "[quarters, seconds]"), "frozen, then once")
	p.SetClock(-5 * time.Minute)
	require.Equal(t, "2026-04-14T07:06:20.000Z", wall())
	require.InDelta(t, 80_100, Eval[float64](p.Tab, "performance.now()"), 0, "time that passed is not touched")
	p.Reload()
	require.Equal(t, "2026-04-14T07:06:20.000Z", wall())
	require.InDelta(t, 100, Eval[float64](p.Tab, "performance.now()"), 0, "a new page counts anew")
	p.Pass(time.Second, Awake)
	require.Equal(t, p.Time().UTC().Format("2006-01-02T15:04:05.000Z"), wall())
	require.Empty(t, p.Axe("button-name"), "tools of the test have their own time")
	require.Equal(t, "2026-04-14T07:06:21.000Z", wall())
	require.Empty(t, p.Faults())
}

func TestPartsOfAPhoneWriteDownWhatTheyWereAskedFor(t *testing.T) {
	p := NewDevice(t, Phone, pocket, time.Date(2026, 4, 14, 7, 10, 0, 0, time.UTC))
	at, _ := gadget(t)
	p.Open(at + "/")
	p.Touch("button")
	p.Until("window.done")
	p.Pass(5*time.Second, 0)
	var told []string
	for _, n := range p.Notes() {
		told = append(told, fmt.Sprintf("%s %s %.1f", n.Kind, n.What, n.Mono/1000))
	}
	require.Equal(t, []string{"opened / 0.1", "awake screen 0.1", "shake 100 50 100 0.1", "say walk 0.1", "tone 440 2.1"}, told)
	require.True(t, Eval[bool](p.Tab, "testPhone.awake()"))
	Eval[any](p.Tab, "testPhone.hide()")
	require.False(t, Eval[bool](p.Tab, "testPhone.awake()"), "a hidden page cannot hold the screen")
	require.Len(t, p.Notes("dark"), 1)
}

func TestAPhoneLosesItsSignal(t *testing.T) {
	p := NewDevice(t, Phone, pocket, time.Now())
	at, wire := gadget(t)
	p.Open(at + "/")
	p.Until("navigator.serviceWorker.controller")
	number := "fetch('/number').then(r => r.text(), () => 'nothing')"
	require.Equal(t, "7", Eval[string](p.Tab, number))
	wire.Cut(true)
	p.Offline(true)
	require.False(t, Eval[bool](p.Tab, "navigator.onLine"))
	require.NotEqual(t, "7", Eval[string](p.Tab, number), "the worker has no signal either")
	p.Reload()
	require.Equal(t, "Gadget", p.Text("h1"), "the worker answers")
	require.False(t, Eval[bool](p.Tab, "navigator.onLine"))
	wire.Cut(false)
	p.Offline(false)
	require.Equal(t, []string{"online"}, Eval[[]string](p.Tab, "signals"))
	require.Equal(t, "7", Eval[string](p.Tab, number))
}

func TestAPhoneIsKilledAndKeepsWhatItStored(t *testing.T) {
	p := OwnDevice(t, Phone, pocket, time.Date(2026, 4, 14, 7, 10, 0, 0, time.UTC))
	at, wire := gadget(t)
	p.Open(at + "/set")
	p.Restart()
	p.Open(at + "/")
	require.Contains(t, Eval[string](p.Tab, "document.cookie"), "who=Ines")
	p.Until("navigator.serviceWorker.controller")
	Eval[any](p.Tab, "store('readwrite', n => n.put(41, 'a')).then(() => 0)")
	p.Pass(time.Minute, Slow)
	p.Kill()
	wire.Cut(true)
	require.EqualValues(t, 200, p.Open(at+"/"))
	require.Equal(t, int64(41), Eval[int64](p.Tab, "store('readonly', n => n.get('a'))"))
	require.Equal(t, "2026-04-14T07:11:00.000Z", Eval[string](p.Tab, "new Date().toISOString()"))
	require.Contains(t, Eval[string](p.Tab, "document.cookie"), "who=Ines")
	require.Len(t, p.Notes("opened"), 3)
}

func TestTabsOfAPhoneShareWhatItKeeps(t *testing.T) {
	p := NewDevice(t, Phone, pocket, time.Now())
	at, _ := gadget(t)
	p.Open(at + "/")
	first := p.Tab
	Eval[any](p.Tab, "store('readwrite', n => n.put(41, 'a')).then(() => 0)")
	p.Beside()
	p.Open(at + "/")
	require.Equal(t, int64(41), Eval[int64](p.Tab, "store('readonly', n => n.get('a'))"))
	p.Pass(time.Minute, Slow)
	require.Equal(t, int64(60), Eval[int64](p.Tab, "seconds"))
	p.Front(first)
	require.Equal(t, int64(60), Eval[int64](p.Tab, "seconds"))
}
