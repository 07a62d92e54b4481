package browser

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// clockSource takes the place of a page's clocks, partsSource that of what a phone
// is made of. Both are functions.
var (
	//go:embed fake/clock.js
	clockSource string
	//go:embed fake/phone.js
	partsSource string
)

// Grains of a page's timers: in front, and as a browser slows down what nobody
// looks at.
const (
	Awake  = 250 * time.Millisecond
	Slow   = time.Second
	Drowsy = 5 * time.Second
)

// Note is something that a page asked of the phone, when it was asked.
type Note struct {
	Kind string  `json:"kind"` // opened, awake, dark, shake, say, tone, no tone, choose or connect
	What string  `json:"what"` // the words, the pattern, the pitch, the path
	Life string  `json:"life"` // of the page, each time that it is loaded
	Wall float64 `json:"wall"` // milliseconds of the clock on the wall
	Mono float64 `json:"mono"` // milliseconds since the page was loaded
}

// Device is one person's phone. Its clock stands still until the test moves it, its
// parts write down what they were asked for, and it may lose its signal.
type Device struct {
	*Tab // the page in front

	t       testing.TB
	screen  Screen
	profile *profile // nil: in the browser that all tests share
	zone    string
	wall    time.Time
	tabs    []*Tab
	scripts map[*Tab]page.ScriptIdentifier // that begin the clock in a new page
	offline bool

	mu    sync.Mutex // over notes; the browser writes to them at any time
	notes []Note
}

// NewDevice is a phone with nothing on it yet, in a time zone, at a time.
func NewDevice(t testing.TB, screen Screen, zone string, at time.Time) *Device {
	t.Helper()
	p := &Device{t: t, screen: screen, zone: zone, wall: at, scripts: map[*Tab]page.ScriptIdentifier{}}
	p.Tab = New(t, screen)
	p.take(p.Tab)
	return p
}

// Beside opens another tab on the same phone and brings it to the front.
func (p *Device) Beside() *Tab {
	p.t.Helper()
	tab := open(p.ctx, p.t, p.screen)
	p.take(tab)
	p.Tab = tab
	return tab
}

// Front brings one of the phone's tabs to the front.
func (p *Device) Front(tab *Tab) { p.Tab = tab }

// take gives a tab the phone's clock and parts.
func (p *Device) take(tab *Tab) {
	p.t.Helper()
	tab.mu.Lock()
	tab.noted = p.note
	tab.mu.Unlock()
	run(tab, func(ctx context.Context) error {
		if _, err := chromedp.Call(ctx, runtime.AddBinding, runtime.AddBindingParams{Name: "testNote"}); err != nil {
			return err
		}
		_, err := chromedp.Call(ctx, emulation.SetTimezoneOverride, emulation.SetTimezoneOverrideParams{TimezoneID: p.zone})
		return err
	})
	p.tabs = append(p.tabs, tab)
	p.arm(tab)
	tab.Before("(" + partsSource + ")()")
	p.connect(tab)
}

// note keeps what a page wrote down.
func (p *Device) note(written string) {
	var n Note
	if err := json.Unmarshal([]byte(written), &n); err != nil {
		n.Kind, n.What = "unread", written
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.notes = append(p.notes, n)
}

// Notes are what was asked of the phone so far, of these kinds or of all.
func (p *Device) Notes(kinds ...string) []Note {
	p.mu.Lock()
	defer p.mu.Unlock()
	var all []Note
	for _, n := range p.notes {
		wanted := len(kinds) == 0
		for _, kind := range kinds {
			wanted = wanted || n.Kind == kind
		}
		if wanted {
			all = append(all, n)
		}
	}
	return all
}

// arm lets the next page of a tab begin at the time that it is now.
func (p *Device) arm(tab *Tab) {
	p.t.Helper()
	run(tab, func(ctx context.Context) error {
		if old, there := p.scripts[tab]; there {
			if _, err := chromedp.Call(ctx, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: old}); err != nil {
				return err
			}
		}
		added, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: fmt.Sprintf("(%s)(%d)", clockSource, p.wall.UnixMilli()),
		})
		p.scripts[tab] = added.Identifier
		return err
	})
}

// Time is what the phone's clock shows.
func (p *Device) Time() time.Time { return p.wall }

// Pass lets time go by. The timers of the pages run, never closer to each other
// than the grain.
func (p *Device) Pass(d, grain time.Duration) {
	p.t.Helper()
	p.wall = p.wall.Add(d)
	for _, tab := range p.tabs {
		Eval[any](tab, fmt.Sprintf("window.testClock ? testClock.pass(%d, %d).then(() => 0) : 0", d.Milliseconds(), grain.Milliseconds()))
		p.arm(tab)
	}
}

// Freeze lets time go by while the pages stand still, as when the phone is locked;
// they notice afterwards.
func (p *Device) Freeze(d time.Duration) { p.t.Helper(); p.Pass(d, d) }

// SetClock changes the clock on the wall, as somebody does who sets it. The time
// that a page counts for itself is not touched.
func (p *Device) SetClock(by time.Duration) {
	p.t.Helper()
	p.wall = p.wall.Add(by)
	for _, tab := range p.tabs {
		Eval[any](tab, fmt.Sprintf("(window.testClock?.shift(%d), 0)", by.Milliseconds()))
		p.arm(tab)
	}
}

// Reload loads the page in front anew.
func (p *Device) Reload() {
	p.t.Helper()
	p.do(chromedp.Reload())
}

// Offline tells the phone's pages that the signal is lost, or there again. The line
// itself is the test's to cut (package line): the browser's own way of cutting it
// does not reach service workers.
func (p *Device) Offline(on bool) {
	p.t.Helper()
	p.offline = on
	for _, tab := range p.tabs {
		p.connect(tab)
	}
}

// connect tells a tab of the signal that the phone has.
func (p *Device) connect(tab *Tab) {
	p.t.Helper()
	run(tab, func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{
			Offline: p.offline, DownloadThroughput: -1, UploadThroughput: -1,
		})
		return err
	})
}

// Until waits until an expression is true in the page, by the test's own clock.
func (b *Tab) Until(expression string) {
	b.t.Helper()
	until := time.Now().Add(patience)
	for !Eval[bool](b, "Promise.resolve("+expression+").then(Boolean)") {
		if time.Now().After(until) {
			b.t.Fatalf("it never came true: %s", expression)
		}
		wait(b.ctx, 10*time.Millisecond)
	}
}

// wait waits a moment, or less where the context ends.
func wait(ctx context.Context, d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}
