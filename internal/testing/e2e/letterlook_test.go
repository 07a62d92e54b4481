package e2e

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/browser"
)

// style is what mail programs leave out that keep no styles of a letter's head.
var style = regexp.MustCompile(`(?s)<style>.*?</style>`)

// mailProgram shows the letters that are kept as files, as mail programs do: without
// scripts, and under /plain/ without what stands in the head.
func mailProgram(t *testing.T) string {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name, plain := strings.CutPrefix(r.URL.Path, "/plain")
		page, err := os.ReadFile(filepath.Join("../../../testdata/letters", filepath.Base(name)))
		if err != nil {
			http.NotFound(w, r)
			return
		}
		if plain {
			page = style.ReplaceAll(page, nil)
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write(page)
	}))
	t.Cleanup(server.Close)
	return strings.Replace(server.URL, "127.0.0.1", "localhost", 1)
}

// Every letter that is kept as a file, by light and in the dark, on a phone and on a desk, with the
// styles of its head and without: nothing is wider than the screen, and nobody meets a
// barrier. With HALFHOUR_SCREENS each is saved as a picture.
func TestEveryPageOfALetter(t *testing.T) {
	t.Parallel()
	at := mailProgram(t)
	letters, err := filepath.Glob("../../../testdata/letters/*.html")
	require.NoError(t, err)
	require.NotEmpty(t, letters)
	tab := browser.New(t, browser.Phone)
	for _, file := range letters {
		name := filepath.Base(file)
		ways := []string{"/"}
		if os.Getenv("HALFHOUR_SCREENS") != "" || name == "reasons-late.html" { // everything stands in that one
			ways = append(ways, "/plain/")
		}
		for _, way := range ways {
			t.Run(strings.Trim(way+name, "/"), func(t *testing.T) {
				tab.Forget()
				require.EqualValues(t, 200, tab.Open(at+way+name))
				require.Empty(t, tab.Faults())
				require.Len(t, tab.Requests(), 1, "a letter loads nothing")
				readable(t, tab, "letter"+strings.ReplaceAll(way, "/", "-")+strings.TrimSuffix(name, ".html"))
			})
		}
	}
}

// readable looks at the letter that is open: a mail program has no wider screens with
// other rules, so a few are enough.
func readable(t *testing.T, tab *browser.Tab, name string) {
	t.Helper()
	for _, screen := range []browser.Screen{browser.Small, browser.Desk, browser.Phone, browser.Phone.InDark(), browser.Desk.InDark()} {
		tab.Look(screen)
		require.LessOrEqual(t, tab.Width(), screen.Width, "on %s: %s", screen, widest(tab, screen))
		if folder := os.Getenv("HALFHOUR_SCREENS"); folder != "" && screen.Width != browser.Small.Width {
			tab.Picture(filepath.Join(folder, fmt.Sprintf("%s-%s.png", name, screen)))
		}
		var rules []string
		switch screen {
		case browser.Phone:
		case browser.Phone.InDark():
			rules = []string{"color-contrast", "link-in-text-block"} // in the dark only colours are others
		default:
			continue
		}
		require.Empty(t, tab.Axe(rules...), "on %s", screen)
	}
}
