package e2e

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// follow opens the first link of the list of sessions that says these words.
func (d *demo) follow(tab *browser.Tab, words string) int64 {
	tab.Open(reach(d.Program, "/sessions"))
	href := browser.Eval[string](tab, `[...document.querySelectorAll('main li a')].find(a => a.textContent.startsWith('`+words+`')).getAttribute('href')`)
	return tab.Open(reach(d.Program, href))
}

// nonsense is a file that is no recording.
func nonsense(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "letter.fit")
	require.NoError(t, os.WriteFile(file, []byte("Dear all,"), 0o600))
	return file
}

// stage goes to a stage of the talk test that is open, comfortable so far. With
// scripts the pages are exchanged in place.
func stage(tab *browser.Tab, n int) int64 {
	tab.Touch("label:has([name=well])")
	tab.Touch("main form button.act")
	for i := range n - 1 {
		tab.Wait("#rate")
		tab.Fill("#rate", []string{"98", "113", "127", "138"}[i])
		tab.Touch("label:has(#talk-chat)")
		tab.Touch("main form button.act")
		tab.Wait("[name='rate[" + string(rune('0'+i)) + "]'] ~ .field #rate")
	}
	tab.Wait("#rate")
	return 200
}

// hearts are the athlete's pages about heart rate.
func (d *demo) hearts() []look {
	return []look{
		{"recording", 200, func(_ *testing.T, tab *browser.Tab) int64 { return d.follow(tab, "Heart rate") }},
		{"recording-add", 200, func(_ *testing.T, tab *browser.Tab) int64 { return d.follow(tab, "Add a recording") }},
		{"recording-wrong", 422, func(t *testing.T, tab *browser.Tab) int64 {
			d.follow(tab, "Add a recording")
			return send(tab, nonsense(t))
		}},
		d.address("heart", "/heart"),
		d.address("talk", "/talk-test"),
		{"talk-stage", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/talk-test"))
			return stage(tab, 3)
		}},
		{"talk-result", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/talk-test"))
			stage(tab, 3)
			tab.Fill("#rate", "137")
			tab.Touch("label:has(#talk-sentence)")
			tab.Touch("main form button.act")
			tab.Wait("button[value=keep]")
			return 200
		}},
	}
}

// heartDesk are the coach's pages about the heart rate of somebody.
func (d *demo) heartDesk(people map[string]string) []look {
	traced := func(tab *browser.Tab) string {
		for _, look := range d.portraits(people) {
			if look.open(nil, tab); tab.Count("svg.tc") > 0 {
				return people[look.name]
			}
		}
		return ""
	}
	looks := []look{{"recording", 200, func(t *testing.T, tab *browser.Tab) int64 {
		require.NotEmpty(t, traced(tab), "somebody's newest session has a recording")
		require.Equal(t, 1, tab.Sheets(), "a page with a trace is printed on one sheet")
		return tab.Open(reach(d.Program, tab.Attribute(".big .links a[href$='/recording']", "href")))
	}}}
	one := people["athlete-steady"]
	return append(looks,
		d.address("heart", one+"/heart"), d.address("talk", one+"/talk-test"),
		look{"heart-wrong", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, one+"/heart"))
			tab.Touch("details:has(#max-bpm) > summary")
			tab.Fill("#max-bpm", "400")
			return tab.Press("form:has(#max-bpm) button")
		}},
	)
}
