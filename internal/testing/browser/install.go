package browser

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Hindrances are why the browser would not let the page that is open be installed
// as an app, by the browser's own names; none: it would.
func (b *Tab) Hindrances() (why []string) {
	b.t.Helper()
	run(b, func(ctx context.Context) error {
		manifest, err := chromedp.Call(ctx, page.GetAppManifest, page.GetAppManifestParams{})
		if err != nil {
			return err
		}
		for _, fault := range manifest.Errors {
			why = append(why, fault.Message)
		}
		found, err := chromedp.Call(ctx, page.GetInstallabilityErrors, cdp.Empty{})
		if err != nil {
			return err
		}
		for _, fault := range found.InstallabilityErrors {
			why = append(why, fault.ErrorID)
		}
		return nil
	})
	return why
}
