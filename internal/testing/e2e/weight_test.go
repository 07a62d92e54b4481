package e2e

import (
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
	"halfhour.app/halfhour/internal/testing/program"
)

// heaviest is what a roster of a hundred may weigh with everything it loads, as
// it comes over the line, in bytes.
const heaviest = 60_000

// A roster of a hundred athletes in full training, with names that need every
// font, opened by a browser that has nothing of it yet: it weighs little, asks
// nobody else for anything, and runs nothing but its own files.
func TestTheRosterIsLightAndKeepsToItself(t *testing.T) {
	t.Parallel()
	c := newClub(t, program.Options{})
	c.crowd(100)
	roster := c.coach.Get("/roster")
	require.Equal(t, 100, len(roster.All("article.row, main table tbody tr")))
	require.GreaterOrEqual(t, len(roster.All("article.row")), 30, "a hard morning")
	policy := roster.Header.Get("Content-Security-Policy")
	require.Contains(t, policy, "default-src 'self'")
	require.NotContains(t, policy, "unsafe")

	tab := browser.New(t, browser.Desk)
	signInAsCoach(t, tab, c.Program) // leads to the roster
	total, paths := weigh(t, tab, c.Address)
	t.Logf("the roster of a hundred: %d bytes", total)
	require.LessOrEqual(t, total, int64(heaviest))
	for _, needed := range []string{"atkinson.woff2", "atkinson-accents.woff2", "atkinson-extended.woff2", "fraunces.woff2", "site.css", "/roster"} {
		require.Contains(t, paths, needed)
	}
	require.Empty(t, tab.Faults())
	require.Zero(t, tab.Count("script:not([src]), style, [style], [onclick], [onload]"), "nothing inline")
	require.Zero(t, tab.Count("script[src]:not([type=module]):not([defer]):not([async])"), "no script holds the page up")
	require.False(t, browser.Eval[bool](tab, `(() => {
		const s = document.createElement('script')
		s.textContent = 'window.slippedIn = true'
		document.body.append(s)
		return window.slippedIn === true
	})()`), "a script that slipped into the page does not run")
}

// weigh adds up what the roster that is open loaded, and looks at where it came
// from. Files that came with the sign-in page before count: they are the roster's.
func weigh(t *testing.T, tab *browser.Tab, origin string) (total int64, paths string) {
	t.Helper()
	counted := map[string]bool{}
	for _, r := range tab.Requests() {
		require.True(t, strings.HasPrefix(r.URL, origin+"/"), "a request left the site: %s", r.URL)
		u, err := url.Parse(r.URL)
		require.NoError(t, err)
		if counted[r.URL] || r.Kind == "Document" && u.Path != "/roster" {
			continue // the second time it is the browser's own copy
		}
		counted[r.URL] = true
		t.Logf("%7d %3d %-10s %s", r.Bytes, r.Status, r.Kind, u.Path)
		require.Positive(t, r.Bytes, r.URL)
		total += r.Bytes
		paths += u.Path + " "
	}
	return total, paths
}

func signInAsCoach(t *testing.T, tab *browser.Tab, p *program.Program) {
	t.Helper()
	require.EqualValues(t, 200, tab.Open(reach(p, "/sign-in")))
	tab.Fill("#email", email)
	tab.Fill("#password", password)
	require.EqualValues(t, 200, tab.Press("form.card button"))
	require.Equal(t, "/roster", tab.Path())
}
