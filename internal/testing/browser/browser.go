// Package browser drives a real Chromium against a program under test: a phone's
// or a desk's screen, light or dark, with scripts or without. It notes what the
// page asked of the network and what it complained about.
//
//	func TestMain(m *testing.M) { os.Exit(browser.Main(m)) }
//
//	func TestSomething(t *testing.T) {
//		tab := browser.New(t, browser.Phone)
//		require.Equal(t, 200, tab.Open(address))
//		tab.Press("button.done")
//	}
//
// Nothing leaves the machine: every name but localhost is unknown to the browser.
// Where Chromium is missing, a test is skipped on a developer's machine and fails
// in CI.
package browser

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"
)

// Runner is the part of testing.M that Main needs.
type Runner interface{ Run() int }

// running is the one browser of a package's tests. It starts with the first New.
type running struct {
	start func() (context.Context, error) // once; the same answer afterwards
	end   []context.CancelFunc
}

// current is what Main prepared for New; a test has no other way to hand it over.
var current atomic.Pointer[running]

// Main runs the tests of a package and closes the browser behind them. It returns
// the exit code.
func Main(m Runner) int {
	r := &running{}
	r.start = sync.OnceValues(r.begin)
	current.Store(r)
	defer func() {
		for i := len(r.end) - 1; i >= 0; i-- {
			r.end[i]()
		}
	}()
	return m.Run()
}

// errMissing says that the machine has no Chromium.
var errMissing = errors.New("no Chromium on this machine: install it (Debian: apt install chromium) to run the tests in a browser")

// find is the Chromium to use.
func find() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errMissing
}

// begin starts the browser.
func (r *running) begin() (context.Context, error) {
	path, err := find()
	if err != nil {
		return nil, err
	}
	allocator, endAllocator := chromedp.NewExecAllocator(context.Background(), options(path)...)
	ctx, endBrowser := chromedp.NewContext(allocator)
	r.end = append(r.end, endAllocator, endBrowser)
	return ctx, chromedp.Do(ctx)
}

// options are how every browser is started.
func options(path string) []chromedp.ExecAllocatorOption {
	all := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("hide-scrollbars", true),
		chromedp.Flag("font-render-hinting", "none"),
		chromedp.Flag("host-resolver-rules", "MAP * ~NOTFOUND , EXCLUDE 127.0.0.1 , EXCLUDE localhost"))
	if os.Geteuid() == 0 {
		all = append(all, chromedp.NoSandbox) // Chromium's own sandbox refuses root
	}
	return all
}

// browserFor is the browser for a test, or the end of the test.
func browserFor(t testing.TB) context.Context {
	t.Helper()
	r := current.Load()
	if r == nil {
		t.Fatal("browser.New needs browser.Main in TestMain")
	}
	ctx, err := r.start()
	needed(t, err)
	return ctx
}

// needed ends the test where there is no browser: a developer's machine may lack
// one.
func needed(t testing.TB, err error) {
	t.Helper()
	switch {
	case errors.Is(err, errMissing) && os.Getenv("CI") == "":
		t.Skip(err)
	case err != nil:
		t.Fatal(err)
	}
}
