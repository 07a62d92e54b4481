package browser

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// profile is a browser of one's own: its folder outlives the process.
type profile struct {
	t      testing.TB
	folder string
	ctx    context.Context
	end    []context.CancelFunc
}

// OwnDevice is a phone whose browser runs by itself, so that it can be killed and
// started again with everything that it had stored.
func OwnDevice(t testing.TB, screen Screen, zone string, at time.Time) *Device {
	t.Helper()
	folder, err := os.MkdirTemp("", "halfhour-phone-")
	if err != nil {
		t.Fatal(err)
	}
	f := &profile{t: t, folder: folder}
	p := &Device{t: t, screen: screen, zone: zone, wall: at, profile: f}
	t.Cleanup(func() {
		f.close()
		if err := os.RemoveAll(folder); err != nil {
			t.Log(err)
		}
	})
	p.begin()
	return p
}

// begin starts the phone's browser with one tab.
func (p *Device) begin() {
	p.t.Helper()
	f := p.profile
	path, err := find()
	needed(f.t, err)
	f.start(path)
	p.tabs, p.scripts = nil, map[*Tab]page.ScriptIdentifier{}
	p.Tab = open(f.ctx, f.t, p.screen)
	p.take(p.Tab)
}

// start starts the browser in its folder.
func (f *profile) start(path string) {
	f.t.Helper()
	for _, left := range []string{"SingletonLock", "SingletonSocket", "SingletonCookie"} {
		// What a killed browser leaves; a missing file is as good.
		_ = os.Remove(filepath.Join(f.folder, left))
	}
	allocator, endAllocator := chromedp.NewExecAllocator(context.Background(), append(options(path),
		chromedp.UserDataDir(f.folder), chromedp.Flag("hide-crash-restore-bubble", true))...)
	ctx, endBrowser := chromedp.NewContext(allocator)
	f.ctx, f.end = ctx, []context.CancelFunc{endAllocator, endBrowser}
	if err := chromedp.Do(ctx); err != nil {
		f.t.Fatal(err)
	}
}

// close ends the browser, if there is one.
func (f *profile) close() {
	for i := len(f.end) - 1; i >= 0; i-- {
		f.end[i]()
	}
	f.end = nil
}

// Kill ends the phone's browser at once and without a word, and starts it again.
func (p *Device) Kill() {
	p.t.Helper()
	if err := chromedp.FromContext(p.profile.ctx).Browser.Process().Kill(); err != nil {
		p.t.Fatal(err)
	}
	p.profile.close()
	p.begin()
}

// Restart ends the phone's browser in good order, so that its cookies are written
// down, which Chromium does every half minute only, and starts it again.
func (p *Device) Restart() {
	p.t.Helper()
	if err := chromedp.Cancel(p.profile.ctx); err != nil {
		p.t.Fatal(err)
	}
	p.profile.close()
	p.begin()
}
