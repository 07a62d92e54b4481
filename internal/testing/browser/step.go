package browser

import (
	"context"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Open goes to an address and gives the status of the page that came.
func (b *Tab) Open(address string) int64 {
	b.t.Helper()
	response := ask(b, chromedp.NavigateResponse(address))
	if response == nil {
		b.t.Fatalf("no answer from %s", address)
	}
	return response.Status
}

// Press taps or clicks an element that leads to another page, and gives that
// page's status.
func (b *Tab) Press(selector string) (status int64) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		response, err := chromedp.RunResponse(ctx, b.press(selector))
		if err != nil {
			return fmt.Errorf("pressing %s: %w", selector, err)
		}
		if response != nil {
			status = response.Status
		}
		return nil
	})
	return status
}

// Touch taps or clicks an element that stays on the page.
func (b *Tab) Touch(selector string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error { return b.touch(ctx, selector) })
}

// TryTouch is Touch for a part of a page that may change at that moment, of which the
// driver may then wait for an answer without end: it waits a third as long, and the
// caller has to ask the page whether it was touched.
func (b *Tab) TryTouch(selector string) error {
	ctx, cancel := context.WithTimeout(b.ctx, patience/3)
	defer cancel()
	return b.touch(ctx, selector)
}

func (b *Tab) touch(ctx context.Context, selector string) error {
	if err := chromedp.Do(ctx, b.press(selector)); err != nil {
		return fmt.Errorf("touching %s: %w", selector, err)
	}
	return nil
}

func (b *Tab) press(selector string) chromedp.Action[chromedp.Void] {
	if b.screen.Touch {
		return chromedp.Tap(chromedp.CSS(selector), chromedp.NodeVisible)
	}
	return chromedp.Click(chromedp.CSS(selector), chromedp.NodeVisible)
}

// Fill types into a field in place of what is there.
func (b *Tab) Fill(selector, text string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		if err := chromedp.Do(ctx, chromedp.SetValue(chromedp.CSS(selector), text, chromedp.NodeReady)); err != nil {
			return fmt.Errorf("filling %s: %w", selector, err)
		}
		return nil
	})
}

// Choose picks a file of this machine in a field for files.
func (b *Tab) Choose(selector, file string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		if err := chromedp.Do(ctx, chromedp.SetUploadFiles(chromedp.CSS(selector), []string{file}, chromedp.NodeReady)); err != nil {
			return fmt.Errorf("choosing a file in %s: %w", selector, err)
		}
		return nil
	})
}

// Before runs a script in every page that is opened from now on, before its own.
func (b *Tab) Before(script string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		return err
	})
}

// Wait waits until the element is there to be seen.
func (b *Tab) Wait(selector string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		if err := chromedp.Do(ctx, chromedp.WaitVisible(chromedp.CSS(selector))); err != nil {
			return fmt.Errorf("waiting for %s: %w", selector, err)
		}
		return nil
	})
}

// Count is how many elements there are of a selector.
func (b *Tab) Count(selector string) int {
	b.t.Helper()
	return Eval[int](b, fmt.Sprintf("document.querySelectorAll(%q).length", selector))
}

// Text is what can be read in the first element of the selector, with single spaces.
func (b *Tab) Text(selector string) string {
	b.t.Helper()
	text := Eval[string](b, fmt.Sprintf("(e => e ? e.innerText : '')(document.querySelector(%q))", selector))
	return strings.Join(strings.Fields(text), " ")
}

// Attribute is an attribute of the first element of the selector; empty where
// there is none.
func (b *Tab) Attribute(selector, name string) string {
	b.t.Helper()
	return Eval[string](b, fmt.Sprintf("(e => e && e.getAttribute(%q) || '')(document.querySelector(%q))", name, selector))
}

// Path is the path and query of the page that is open.
func (b *Tab) Path() string {
	b.t.Helper()
	u, err := url.Parse(ask(b, chromedp.Location()))
	if err != nil {
		b.t.Fatal(err)
	}
	return u.RequestURI()
}

// Title is the title of the page that is open.
func (b *Tab) Title() string { b.t.Helper(); return ask(b, chromedp.Title()) }

// Width is how wide the page that is open wants to be, in CSS pixels.
func (b *Tab) Width() int64 {
	b.t.Helper()
	return Eval[int64](b, "Math.max(document.documentElement.scrollWidth, document.body.scrollWidth)")
}

// Eval gives the value of an expression in the page; a promise is waited for.
func Eval[T any](b *Tab, expression string) T {
	b.t.Helper()
	return ask(b, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Sheets is how many sheets of paper the page takes when it is printed.
func (b *Tab) Sheets() (n int) {
	b.t.Helper()
	own := true // the page's style says which paper
	run(b, func(ctx context.Context) error {
		printed, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &own})
		if err != nil {
			return fmt.Errorf("printing: %w", err)
		}
		n = len(sheet.FindAll(printed.Data, -1))
		return nil
	})
	return n
}

// sheet is where a PDF says that a page begins.
var sheet = regexp.MustCompile(`/Type\s*/Page\b`)

// Picture saves the whole page as a PNG.
func (b *Tab) Picture(file string) {
	b.t.Helper()
	png := ask(b, chromedp.FullScreenshot(100))
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(file, png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}
