package browser

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// patience is how long one step may take on a busy machine.
const patience = 30 * time.Second

// Screen is what a person looks at.
type Screen struct {
	Width, Height int64
	Touch         bool
	Dark          bool
	NoScript      bool // as with JavaScript turned off
}

// The screens that the project's pages are tried on.
var (
	Phone  = Screen{Width: 390, Height: 844, Touch: true}
	Small  = Screen{Width: 320, Height: 568, Touch: true}
	Desk   = Screen{Width: 1400, Height: 900}
	Laptop = Screen{Width: 1024, Height: 768}
)

// InDark is the same screen of somebody who prefers it dark.
func (s Screen) InDark() Screen { s.Dark = true; return s }

// WithoutScript is the same screen with JavaScript turned off.
func (s Screen) WithoutScript() Screen { s.NoScript = true; return s }

// String names the screen, for names of tests and files.
func (s Screen) String() string {
	name := fmt.Sprint(s.Width)
	if s.Dark {
		name += "-dark"
	}
	if s.NoScript {
		name += "-plain"
	}
	return name
}

// Tab is one person's browser: cookies and storage are its own.
type Tab struct {
	t      testing.TB
	ctx    context.Context
	screen Screen

	mu       sync.Mutex // over what follows; the browser writes to it at any time
	requests map[network.RequestID]*Request
	order    []network.RequestID
	faults   []string
	noted    func(note string) // what a page wrote down for the test; nil: nobody listens
}

// Request is one thing that a page asked for.
type Request struct {
	Method string
	URL    string
	Status int64 // 0: no answer came
	Bytes  int64 // as they came over the line, headers included
	Cached bool
	Kind   string
}

// New opens a tab with nothing in it.
func New(t testing.TB, screen Screen) *Tab {
	t.Helper()
	return open(browserFor(t), t, screen, chromedp.WithNewBrowserContext())
}

// open opens a tab in the browser, or beside the tab, that the context stands for.
func open(in context.Context, t testing.TB, screen Screen, options ...chromedp.ContextOption) *Tab {
	t.Helper()
	tab := &Tab{t: t, requests: map[network.RequestID]*Request{}}
	ctx, cancel := chromedp.NewContext(in, append(options, chromedp.WithListener(tab.hear))...)
	tab.ctx = ctx
	t.Cleanup(func() {
		if t.Failed() {
			tab.tell()
		}
		cancel()
	})
	// The tab lives as long as the context it was opened with, so this step has no
	// time limit of its own.
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	tab.Look(screen)
	return tab
}

// Look changes the screen; what is open stays.
func (b *Tab) Look(screen Screen) {
	b.t.Helper()
	b.screen = screen
	options := []chromedp.EmulateViewportOption{}
	if screen.Touch {
		options = append(options, chromedp.EmulateTouch, chromedp.EmulateMobile, chromedp.EmulateScale(2))
	}
	scheme := "light"
	if screen.Dark {
		scheme = "dark"
	}
	b.do(chromedp.EmulateViewport(screen.Width, screen.Height, options...))
	run(b, func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}},
		})
		return err
	})
	run(b, func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: screen.NoScript})
		return err
	})
}

// hear notes what the browser tells. It runs in the loop of the tab.
func (b *Tab) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		if _, known := b.requests[e.RequestID]; !known {
			b.order = append(b.order, e.RequestID)
		}
		b.requests[e.RequestID] = &Request{Method: e.Request.Method, URL: e.Request.URL, Kind: string(e.Type)}
	case *network.EventResponseReceived:
		if r := b.requests[e.RequestID]; r != nil {
			r.Status = e.Response.Status
		}
	case *network.EventRequestServedFromCache:
		if r := b.requests[e.RequestID]; r != nil {
			r.Cached = true
		}
	case *network.EventLoadingFinished:
		if r := b.requests[e.RequestID]; r != nil {
			r.Bytes = int64(e.EncodedDataLength)
		}
	case *runtime.EventBindingCalled:
		if b.noted != nil {
			b.noted(e.Payload)
		}
	case *runtime.EventExceptionThrown:
		b.faults = append(b.faults, "exception: "+e.ExceptionDetails.Text+" "+described(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			b.faults = append(b.faults, "console: "+spoken(e.Args))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			b.faults = append(b.faults, fmt.Sprintf("browser: %s %s", e.Entry.Text, e.Entry.URL))
		}
	}
}

func described(d *runtime.ExceptionDetails) string {
	if d.Exception == nil {
		return ""
	}
	return d.Exception.Description
}

func spoken(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		words = append(words, strings.Trim(string(a.Value), `"`)+a.Description)
	}
	return strings.Join(words, " ")
}

// Faults are errors and warnings of the console since the last Forget.
func (b *Tab) Faults() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.faults...)
}

// Requests are what pages asked for since the last Forget, in order. A redirect
// counts with the request it led to.
func (b *Tab) Requests() []Request {
	b.mu.Lock()
	defer b.mu.Unlock()
	var all []Request
	for _, id := range b.order {
		all = append(all, *b.requests[id])
	}
	return all
}

// Forget begins the notes of faults and requests anew.
func (b *Tab) Forget() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.requests, b.order, b.faults = map[network.RequestID]*Request{}, nil, nil
}

// tell says where a failed test stood.
func (b *Tab) tell() {
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	where, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		return
	}
	words, _ := chromedp.Run(ctx, chromedp.Text(chromedp.CSS("body"), chromedp.NodeReady))
	b.t.Logf("the browser stood at %s\n%s\nfaults: %q", where, words, b.Faults())
}

// run carries out one step within the time a step may take.
func run(b *Tab, step func(ctx context.Context) error) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	if err := step(ctx); err != nil {
		b.t.Fatal(err)
	}
}

func (b *Tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	run(b, func(ctx context.Context) error { return chromedp.Do(ctx, steps...) })
}

// ask carries out one step that has an answer.
func ask[T any](b *Tab, action chromedp.Action[T]) (answer T) {
	b.t.Helper()
	run(b, func(ctx context.Context) (err error) {
		answer, err = chromedp.Run(ctx, action)
		return err
	})
	return answer
}
