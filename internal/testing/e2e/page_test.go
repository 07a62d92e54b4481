package e2e

import (
	"fmt"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// demo is the club of invented people, in which everything that can be said of
// anybody is there to be seen.
type demo struct {
	*program.Program
	email, password string
	link            string // of one athlete, for one sign-in
}

func newDemo(t *testing.T, args ...string) *demo {
	t.Helper()
	d := &demo{Program: program.Start(t, program.Options{Args: append([]string{"--demo"}, args...)})}
	m := regexp.MustCompile(`signs in with (\S+) and the password "([^"]+)"`).FindStringSubmatch(d.Said())
	require.NotNil(t, m, d.Said())
	d.email, d.password = m[1], m[2]
	m = regexp.MustCompile(`(http://\S+/in/\S+)`).FindStringSubmatch(d.Said())
	require.NotNil(t, m, d.Said())
	d.link = m[1]
	return d
}

// coach is a browser with the coach of the demo signed in.
func (d *demo) coach(t *testing.T) *browser.Tab {
	t.Helper()
	tab := browser.New(t, browser.Desk)
	require.EqualValues(t, 200, tab.Open(reach(d.Program, "/sign-in")))
	tab.Fill("#email", d.email)
	tab.Fill("#password", d.password)
	require.EqualValues(t, 200, tab.Press("form.card button"))
	require.Equal(t, "/roster", tab.Path())
	return tab
}

// look is one page to look at.
type look struct {
	name   string
	status int64
	open   func(t *testing.T, tab *browser.Tab) int64
}

// address is a page with an address of its own.
func (d *demo) address(name, path string) look {
	return look{name, 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(reach(d.Program, path)) }}
}

// Every page, by light and in the dark, on a phone and on a desk: nobody meets a
// barrier, nothing is wider than the screen from 320 pixels on, the browser has
// nothing to complain about. With HALFHOUR_SCREENS each is saved as a picture.
func TestEveryPage(t *testing.T) {
	t.Parallel()
	d := newDemo(t)
	nobody, phone, desk, second := browser.New(t, browser.Phone), browser.New(t, browser.Phone), d.coach(t), d.coach(t)
	tour{"nobody", nobody, d.nobody()}.walk(t)
	tour{"nobody", nobody, d.forgotten()}.walk(t)
	people, newcomers, known := d.people(t, desk), d.newcomers(t, desk), d.known(t, desk)
	tours := []tour{
		{"coach", second, slices.Concat(d.portraits(people), d.heartDesk(people), d.comingIn(newcomers))},
		{"coach", desk, slices.Concat(d.coachs(people["athlete-steady"]), d.letterDesk(), d.weekDesk(people["athlete-steady"]), d.liftDesk(t, desk))},
		{"health", d.coach(t), d.healthDesk(known)},
		{"athlete", phone, d.athlete()},
		{"newcomer", browser.New(t, browser.Phone), d.joiningPhone(newcomers)},
		{"back", browser.New(t, browser.Phone), d.healthPhone(known)},
	}
	t.Run("signed in", func(t *testing.T) {
		for _, way := range tours {
			t.Run(way.who, func(t *testing.T) {
				if os.Getenv("HALFHOUR_SCREENS") == "" { // pictures are taken in order
					t.Parallel()
				}
				way.walk(t)
			})
		}
	})
	tour{"late", nobody, []look{{"link-used", 410, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(d.link) }}}}.walk(t)
}

// tour is pages that are looked at one after the other.
type tour struct {
	who   string
	tab   *browser.Tab
	looks []look
}

func (w tour) walk(t *testing.T) {
	for _, l := range w.looks {
		t.Run(w.who+"/"+l.name, func(t *testing.T) {
			w.tab.Forget()
			require.Equal(t, l.status, l.open(t, w.tab), w.tab.Path())
			if l.status == 200 {
				require.Empty(t, w.tab.Faults())
			}
			inspect(t, w.tab, w.who+"-"+l.name)
		})
	}
}

// inspect looks at the page that is open on every screen: as it came for the
// picture, and with all that can be unfolded for barriers and width.
func inspect(t *testing.T, tab *browser.Tab, name string) {
	t.Helper()
	if folder := os.Getenv("HALFHOUR_SCREENS"); folder != "" {
		for _, screen := range []browser.Screen{browser.Phone, browser.Phone.InDark(), browser.Desk, browser.Desk.InDark()} {
			tab.Look(screen)
			tab.Picture(filepath.Join(folder, fmt.Sprintf("%s-%s.png", name, screen)))
		}
	}
	browser.Eval[int](tab, "[...document.querySelectorAll('details')].map(d => d.open = true).length")
	for _, screen := range []browser.Screen{browser.Small, browser.Phone, browser.Laptop, browser.Desk} {
		tab.Look(screen)
		if width := tab.Width(); width > screen.Width {
			t.Errorf("%s is %d wide on a screen of %d: %s", tab.Path(), width, screen.Width, widest(tab, screen))
		}
	}
	largeText(t, tab)
	for _, look := range []struct {
		screen browser.Screen
		rules  []string
	}{
		{browser.Desk, nil}, {browser.Phone, nil},
		{browser.Phone.InDark(), []string{"color-contrast", "link-in-text-block"}}, // in the dark only colours are others
	} {
		tab.Look(look.screen)
		for _, barrier := range tab.Axe(look.rules...) {
			if barrier.Serious() {
				t.Errorf("%s on %s: %s", tab.Path(), look.screen, barrier)
			}
		}
	}
}

// largeText doubles the size of the letters on a phone's page: nothing may stick out.
func largeText(t *testing.T, tab *browser.Tab) {
	t.Helper()
	if !browser.Eval[bool](tab, "document.body.classList.contains('phone')") {
		return
	}
	tab.Look(browser.Phone)
	browser.Eval[any](tab, "(document.documentElement.style.fontSize = '200%', 0)")
	if width := tab.Width(); width > browser.Phone.Width {
		t.Errorf("%s with letters twice as large is %d wide on a screen of %d: %s", tab.Path(), width, browser.Phone.Width, widest(tab, browser.Phone))
	}
	browser.Eval[any](tab, "(document.documentElement.style.fontSize = '', 0)")
}

// widest names what sticks out of the screen, but for what scrolls inside a box of
// its own.
func widest(tab *browser.Tab, screen browser.Screen) string {
	return browser.Eval[string](tab, fmt.Sprintf(`(() => {
		const boxed = e => { for (let p = e.parentElement; p; p = p.parentElement) if (/auto|scroll|hidden|clip/.test(getComputedStyle(p).overflowX) && p !== document.body) return true; return false }
		return [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > %d && !boxed(e))
			.slice(0, 6).map(e => e.tagName.toLowerCase() + '.' + (e.getAttribute('class') || '') + ' ' + Math.round(e.getBoundingClientRect().right)).join(', ')
	})()`, screen.Width))
}

// nobody are the pages of somebody who is not signed in.
func (d *demo) nobody() []look {
	return []look{
		d.address("sign-in", "/sign-in"),
		{"sign-in-wrong", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/sign-in"))
			tab.Fill("#email", d.email)
			tab.Fill("#password", "not the one")
			return tab.Press("form.card button")
		}},
		d.address("landing", d.link),
		{"nothing-here", 404, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(reach(d.Program, "/nowhere")) }},
		{"set-up-over", 404, func(_ *testing.T, tab *browser.Tab) int64 {
			return tab.Open(reach(d.Program, "/set-up/"+strings.Repeat("a", 43)))
		}},
	}
}

// athlete are the pages of an athlete, in an order in which each can be reached.
func (d *demo) athlete() []look {
	looks := []look{
		{"today", 200, func(t *testing.T, tab *browser.Tab) int64 {
			signInByLink(t, tab, d.link)
			return tab.Open(reach(d.Program, "/today"))
		}},
		d.address("weather", "/weather"), d.address("warm-up", "/warm-up"), d.address("cool-down", "/cool-down"),
		{"weather-wrong", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/weather"))
			tab.Fill("#temperature", "77")
			return tab.Press("form[action='/weather'] button")
		}},
		{"today-hot", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/weather"))
			tab.Fill("#temperature", "33")
			tab.Fill("#humidity", "55")
			return tab.Press("form[action='/weather'] button")
		}},
		d.address("log-planned", "/log"),
		d.address("log-extra", "/log?kind=extra"),
		d.address("log-strength", "/log?kind=strength"),
		d.address("log-other", "/log?kind=other"),
		{"log-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/log"))
			return tab.Press("form.after .send button")
		}},
		d.address("sessions", "/sessions"),
		{"correct", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(d.newest(tab)) }},
		{"conflict", 409, func(_ *testing.T, tab *browser.Tab) int64 { return d.conflict(tab) }},
		{"delete", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(d.newest(tab) + "/delete") }},
		d.address("away", "/away"),
	}
	looks = append(looks, d.weekPhone()...)
	looks = append(looks, []look{
		d.address("me", "/me"),
		d.address("me-erase", "/me/erase"),
		{"me-asked", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("main form button") }},
		{"me-kept", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Press("main section.stop button") }},
	}...)
	looks = append(append(looks, d.lifts()...), d.hearts()...)
	return append(looks,
		look{"stopped", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/log?kind=other"))
			tab.Fill("#minutes", "10")
			tab.Touch("label:has(#effort-2)")
			tab.Touch("label:has(#pain-none)")
			tab.Touch("#signs summary")
			tab.Touch("label:has([name=signs])")
			return tab.Press("form.after .send button")
		}},
		d.address("today-stopped", "/today"),
	)
}

// newest is the address of the form that corrects the athlete's newest session.
func (d *demo) newest(tab *browser.Tab) string {
	tab.Open(reach(d.Program, "/sessions"))
	return reach(d.Program, tab.Attribute("main li a", "href"))
}

// conflict corrects the newest session twice from the same form.
func (d *demo) conflict(tab *browser.Tab) int64 {
	at := d.newest(tab)
	for _, note := range []string{"with the dog", "in the rain"} {
		tab.Open(at)
		tab.Fill("[name=version]", "1")
		tab.Fill("#note", note)
		if status := tab.Press("form.after .send button"); status != 200 {
			return status
		}
	}
	return 0
}

// people are athletes' pages, one of each kind that the roster tells apart and all
// whom it asks to decide about, by what they are called here.
func (d *demo) people(t *testing.T, tab *browser.Tab) map[string]string {
	t.Helper()
	tab.Open(reach(d.Program, "/roster"))
	people := map[string]string{}
	for kind, selector := range map[string]string{
		"steady": "table.steady th a", "quiet": "section[aria-labelledby=quiet] th a", "away": "section[aria-labelledby=away] th a",
	} {
		people["athlete-"+kind] = tab.Attribute(selector, "href")
	}
	for i, href := range browser.Eval[[]string](tab, `[...document.querySelectorAll('article.row h3 a')].map(a => a.getAttribute('href'))`) {
		people[fmt.Sprintf("athlete-decide-%d", i+1)] = href
	}
	require.GreaterOrEqual(t, len(people), 6)
	for name, href := range people {
		require.NotEmpty(t, href, name)
	}
	return people
}

// portraits are the pages of these athletes.
func (d *demo) portraits(people map[string]string) (looks []look) {
	for _, name := range slices.Sorted(maps.Keys(people)) {
		looks = append(looks, d.address(name, people[name]))
	}
	return looks
}

// coachs are the other pages of a coach, those about somebody for one athlete.
func (d *demo) coachs(one string) []look {
	return append([]look{
		d.address("roster", "/roster"), d.address("roster-mine", "/roster?whose=mine"), d.address("roster-found", "/roster?find="+url.QueryEscape("a")), d.address("roster-none", "/roster?find=zzz"),
		d.address("pathway", "/pathway"), d.address("routine", "/warm-up/edit"), d.address("weather-club", "/club/weather"), d.address("club", "/club"), d.address("letters", "/mail"), d.address("member", "/club/coaches/1"), d.address("member-other", "/club/coaches/2"), d.address("new", "/athletes/new"), d.address("edit", one+"/edit"),
		d.address("enter", one+"/log"), d.address("all-sessions", one+"/sessions"), d.address("leave", one+"/leave"),
	}, d.deeds(one)...)
}

// deeds are pages that come after something was done.
func (d *demo) deeds(athlete string) []look {
	return []look{
		d.address("kept", athlete+"/kept"),
		{"erase-wrong", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, athlete+"/kept"))
			tab.Touch("details:has(#name) > summary")
			tab.Fill("#name", "somebody else")
			return tab.Press("details:has(#name) button")
		}},
		{"new-empty", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/athletes/new"))
			tab.Fill("#name", "  ")
			tab.Fill("#birth_year", "1700")
			return tab.Press("main form .end button")
		}},
		{"added", 200, func(t *testing.T, tab *browser.Tab) int64 {
			takeIn(t, tab, d.Program, "<b>Ola</b> & \"Ruud\" van den Längstenhausen-Schmidtmaier", "B1")
			return 200
		}},
		{"no-reason", 422, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, athlete))
			tab.Touch(".decision summary")
			tab.Touch(".decision label:has(#choice-pause)")
			return tab.Press(".decision button.wide")
		}},
		{"decided", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/roster"))
			return tab.Press("article.row form button")
		}},
		{"together", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/roster"))
			return tab.Press("form.all button")
		}},
		{"invited", 200, func(_ *testing.T, tab *browser.Tab) int64 {
			tab.Open(reach(d.Program, "/club"))
			return tab.Press(`form[action="/club/invitations"] button`)
		}},
		{"join", 200, func(_ *testing.T, tab *browser.Tab) int64 { return tab.Open(tab.Attribute("#address", "value")) }},
	}
}
