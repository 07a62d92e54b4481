package e2e

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// known are people of the demo who train, by what the pages of health say of them.
func (d *demo) known(t *testing.T, desk *browser.Tab) map[string]newcomer {
	t.Helper()
	found := map[string]newcomer{}
	for kind, name := range map[string]string{"ill": "Tadhg Morisaki", "mended": "Xiomara Dekker", "returned": "Ravi Sundqvist", "tablets": "Dafydd Osei"} {
		desk.Open(reach(d.Program, "/roster"))
		n := newcomer{at: browser.Eval[string](desk, `[...document.querySelectorAll('th a, h3 a')].find(a => a.innerText.includes('`+name+`'))?.getAttribute('href') ?? ''`)}
		require.NotEmpty(t, n.at, name)
		desk.Open(reach(d.Program, n.at))
		require.EqualValues(t, 200, desk.Press(`form[action$="/link"] button`))
		n.link = desk.Attribute("#address", "value")
		found[kind] = n
	}
	return found
}

// healthDesk are the coach's pages about the health of people who train.
func (d *demo) healthDesk(all map[string]newcomer) []look {
	return []look{
		d.address("mended", all["mended"].at), d.address("mended-review", all["mended"].at+"/review"), d.address("mended-health", all["mended"].at+"/health"),
		d.address("mended-kept", all["mended"].at+"/kept"), d.address("tablets", all["tablets"].at), d.address("tablets-review", all["tablets"].at+"/review"),
		d.address("returned-health", all["returned"].at+"/health"), d.address("returned-clear", all["returned"].at+"?choice=cleared"),
		d.address("ill", all["ill"].at), d.address("ill-away", all["ill"].at+"/leave"),
	}
}

// healthPhone are the pages of people who are ill or come back, on their phones.
func (d *demo) healthPhone(all map[string]newcomer) []look {
	in := func(name, link string) look {
		return look{name, 200, func(t *testing.T, tab *browser.Tab) int64 {
			signInByLink(t, tab, link)
			return tab.Open(reach(d.Program, "/today"))
		}}
	}
	return []look{
		in("mended-today", all["mended"].link), d.address("mended-health", "/health"), d.address("mended-me", "/me"), d.address("mended-agreed", "/joining/consent"),
		d.address("mended-section", "/joining/injury"),
		in("returned-today", all["returned"].link), d.address("returned-health", "/health"), d.address("returned-consent", "/joining/health"),
		{"returned-agreed", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			for _, kind := range []string{"keeping", "health", "adult"} {
				tab.Touch("#" + kind + " label")
			}
			return tab.Press(".send button")
		}},
		in("tablets-today", all["tablets"].link), d.address("tablets-health", "/health"), d.address("tablets-me", "/me"),
		in("ill-today", all["ill"].link), d.address("ill-away", "/away"),
		{"ill-back", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press(`form[action$="/back"] button`) }},
		d.address("ill-tomorrow", "/today"),
	}
}

// forgotten are the pages of somebody who has no way in any more, up to the letter.
func (d *demo) forgotten() []look {
	ask := func(address string) func(*testing.T, *browser.Tab) int64 {
		return func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/sign-in/forgotten"))
			browser.Eval[string](tab, "document.querySelector('main [name=email]').type = 'text'") // so that the browser lets anything through
			tab.Fill("main [name=email]", address)
			return tab.Press("form.card button")
		}
	}
	return []look{d.address("forgotten", "/sign-in/forgotten"), {"forgotten-wrong", 422, ask("marta@")}, {"forgotten-sent", 200, ask(d.email)}}
}

// letterDesk are the owner's pages about the letter that came of it.
func (d *demo) letterDesk() []look {
	return []look{
		{"mail", 200, func(t *testing.T, tab *browser.Tab) (status int64) {
			require.Eventually(t, func() bool {
				status = tab.Open(reach(d.Program, "/mail"))
				return browser.Eval[int](tab, "document.querySelectorAll('main li a, main td a, main th a').length") > 0
			}, time.Minute, 100*time.Millisecond)
			return status
		}},
		{"letter", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			return tab.Open(reach(d.Program, tab.Attribute("main li a, main td a, main th a", "href")))
		}},
	}
}
