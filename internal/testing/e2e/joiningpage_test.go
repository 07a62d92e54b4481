package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// newcomer is somebody of the demo who is coming in.
type newcomer struct {
	at   string // the coach's page of them
	link string // for one sign-in
}

// newcomers are those of the demo, by what the roster says of them.
func (d *demo) newcomers(t *testing.T, desk *browser.Tab) map[string]newcomer {
	t.Helper()
	found := map[string]newcomer{}
	for kind, words := range map[string]string{"answered": "Answered", "clearing": "Waits for a doctor", "invited": "Invited"} {
		desk.Open(reach(d.Program, "/roster"))
		n := newcomer{at: browser.Eval[string](desk, `[...document.querySelectorAll('[aria-labelledby=coming] tbody tr')].find(r => r.innerText.includes(`+"`"+words+"`"+`))?.querySelector('th a').getAttribute('href') ?? ''`)}
		require.NotEmpty(t, n.at, kind)
		desk.Open(reach(d.Program, n.at))
		require.EqualValues(t, 200, desk.Press(`form[action$="/link"] button`))
		n.link = desk.Attribute("#address", "value")
		found[kind] = n
	}
	return found
}

// comingIn are the coach's pages about newcomers.
func (d *demo) comingIn(all map[string]newcomer) []look {
	return []look{
		d.address("invited", all["invited"].at), d.address("answered", all["answered"].at), d.address("clearing", all["clearing"].at),
		d.address("review", all["answered"].at+"/review"), d.address("review-clearing", all["clearing"].at+"/review"), d.address("review-invited", all["invited"].at+"/review"),
		d.address("together-consent", all["invited"].at+"/joining/consent"), d.address("together-paper", all["clearing"].at+"/joining/paper"),
		{"clearance-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, all["clearing"].at+"/review"))
			browser.Eval[bool](tab, "(document.querySelectorAll('[required]').forEach(f => f.required = false), true)")
			return tab.Press("section[aria-labelledby=clearance] button")
		}},
		{"new-paper", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/athletes/new"))
			tab.Touch("label:has(#answers-paper)")
			tab.Fill("#name", "Bo")
			return tab.Press("main form .end button")
		}},
	}
}

// joiningPhone are the pages of newcomers on their phones.
func (d *demo) joiningPhone(all map[string]newcomer) []look {
	in := func(name, link string) look {
		return look{name, 200, func(t *testing.T, tab *browser.Tab) int64 {
			signInByLink(t, tab, link)
			return tab.Open(reach(d.Program, "/today"))
		}}
	}
	looks := []look{in("invited-today", all["invited"].link), d.address("consent", "/joining"),
		{"consent-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press(".send button") }},
		in("clearing-today", all["clearing"].link), d.address("clearing", "/joining"), d.address("paper", "/joining/paper"),
		in("answered-today", all["answered"].link), d.address("answered", "/joining"), d.address("walk", "/joining/walk"),
		{"walk-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press(".send button") }},
		d.address("agreed", "/joining/consent"),
	}
	for _, id := range []string{"you", "health", "heart", "pregnancy", "injury", "bones", "training", "beginning"} {
		looks = append(looks, d.address("section-"+id, "/joining/"+id))
	}
	return append(looks, look{"section-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 {
		tab.Open(reach(d.Program, "/joining/beginning"))
		browser.Eval[bool](tab, "(document.querySelectorAll('main [checked]').forEach(f => f.checked = false), true)")
		return tab.Press(".send button")
	}})
}
