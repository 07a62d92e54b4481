package e2e

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// The pages about letters, looked at as every page is.
func TestEveryPageAboutLetters(t *testing.T) {
	t.Parallel()
	d := newDemo(t)
	tour{"letters", d.coach(t), d.wishDesk()}.walk(t)
}

// wishDesk are a coach's pages about letters, and what the address in one leads to.
func (d *demo) wishDesk() []look {
	const first = "[aria-labelledby=past] li:first-child a"
	return []look{
		d.address("letters", "/letter"),
		{"letter-now", 200, func(t *testing.T, tab *browser.Tab) (status int64) {
			require.EqualValues(t, 200, tab.Open(reach(d.Program, "/letter")))
			require.EqualValues(t, 200, tab.Press("#now button"))
			require.Eventually(t, func() bool {
				status = tab.Open(reach(d.Program, "/letter"))
				return browser.Eval[int](tab, "document.querySelectorAll('"+first+"').length") > 0
			}, time.Minute, 100*time.Millisecond)
			return status
		}},
		{"letter-sent", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			return tab.Open(reach(d.Program, tab.Attribute(first, "href")))
		}},
		{"stop", 200, func(t *testing.T, tab *browser.Tab) int64 {
			require.EqualValues(t, 200, tab.Open(reach(d.Program, "/letter/preview")))
			return tab.Open(tab.Attribute("a[href*='/letters/stop/']", "href"))
		}},
		{"stopped", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("main form button") }},
		{"stop-back", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("main form button") }},
	}
}
