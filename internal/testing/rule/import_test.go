package rule

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// listed is what the Go tool says of a package.
type listed struct {
	ImportPath   string
	Dir          string
	GoFiles      []string
	TestGoFiles  []string
	XTestGoFiles []string
	Imports      []string
	TestImports  []string
	XTestImports []string
}

// packages are all packages of the module, as the Go tool sees them.
func packages(t *testing.T) []listed {
	t.Helper()
	command := exec.CommandContext(t.Context(), "go", "list", "-json=ImportPath,Dir,GoFiles,TestGoFiles,XTestGoFiles,Imports,TestImports,XTestImports", Module+"/...")
	var told bytes.Buffer
	command.Stderr = &told
	out, err := command.Output()
	require.NoError(t, err, told.String())
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		all = append(all, p)
	}
	require.Greater(t, len(all), 15, "the module was not seen")
	return all
}

func TestArrowsPointInwards(t *testing.T) {
	table := Table()
	for _, p := range packages(t) {
		own := strings.TrimPrefix(p.ImportPath, Module+"/")
		group := Place(table, own)
		if group == nil {
			t.Errorf("%s has no place in the import table of internal/testing/rule yet", own)
			continue
		}
		for _, path := range p.Imports {
			if why := group.Wrong(table, path); why != "" {
				t.Errorf("%s imports %s, which %s", own, path, why)
			}
		}
	}
}

// Tests may lean on more, but the database and the router stay where they are:
// a test that reaches round its own package proves nothing of it.
func TestTestsKeepTheDatabaseAndTheRouterInTheirPlaces(t *testing.T) {
	only := map[string][]string{
		"github.com/jackc/pgx/v5":              {"internal/jobs", "internal/postgres", "internal/localpg", "internal/testing/..."},
		"github.com/golang-migrate/migrate/v4": {"internal/postgres"},
		"github.com/go-chi/chi/v5":             {"internal/httpd"},
		"github.com/chromedp":                  {"internal/testing/..."},
		"github.com/go-webauthn":               {"internal/passkey"},
		"github.com/riverqueue/river":          {"internal/jobs"},
		"github.com/arran4/golang-ical":        {"internal/ical"},
	}
	for _, p := range packages(t) {
		own := strings.TrimPrefix(p.ImportPath, Module+"/")
		for _, path := range append(p.TestImports, p.XTestImports...) {
			for module, homes := range only {
				if path != module && !strings.HasPrefix(path, module+"/") {
					continue
				}
				at := false
				for _, home := range homes {
					at = at || below(own, home)
				}
				if !at {
					t.Errorf("the tests of %s import %s", own, path)
				}
			}
		}
	}
}

// The table itself is tried: a rule that cannot be broken guards nothing.
func TestTheTableSeesWhatItShould(t *testing.T) {
	table := Table()
	for _, c := range []struct {
		from, to string
		fine     bool
		why      string
	}{
		{"internal/readiness", Module + "/internal/load", true, "the engine stands on its neighbours"},
		{"internal/readiness", Module + "/internal/roster", false, "nothing pure knows what is kept"},
		{"internal/readiness", "log/slog", false, "values in, values out"},
		{"internal/readiness", "github.com/stretchr/testify/require", false, "the standard library only"},
		{"internal/entry", Module + "/internal/decide", false, "use cases do not know each other"},
		{"internal/entry", Module + "/internal/roster", true, "use cases speak the vocabulary"},
		{"internal/entry", Module + "/internal/postgres", false, "use cases declare a store, they do not choose it"},
		{"internal/httpd", Module + "/internal/postgres", false, "adapters meet in cmd"},
		{"internal/httpd", "github.com/jackc/pgx/v5", false, "SQL is elsewhere"},
		{"internal/postgres", "github.com/jackc/pgx/v5/pgxpool", true, "SQL is here"},
		{"internal/postgres", "github.com/go-chi/chi/v5", false, "routes are elsewhere"},
		{"internal/httpd", Module + "/internal/ical", true, "a calendar is handed out as a page is"},
		{"internal/httpd", "github.com/arran4/golang-ical", false, "how it is written is elsewhere"},
		{"cmd/halfhour", "github.com/jackc/pgx/v5", false, "cmd joins, it does not query"},
		{"cmd/halfhour", Module + "/internal/testing/fake", false, "fakes are for tests"},
		{"internal/testing/fake", Module + "/internal/roster", true, "tests may see everything"},
		{"web/page", Module + "/internal/entry", false, "pages show values, they do not act"},
		{"internal/day", Module + "/internal/unheard", false, "a new package needs a place"},
	} {
		group := Place(table, c.from)
		require.NotNil(t, group, c.from)
		require.Equal(t, c.fine, group.Wrong(table, c.to) == "", "%s → %s: %s", c.from, c.to, c.why)
	}
	require.Nil(t, Place(table, "internal/unheard"))
	require.Nil(t, Place(table, "internal/daylight"), "a name that only begins alike")
}
