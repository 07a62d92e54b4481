package rule

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// points are how many points of levels 1 and 2 each section of the OWASP Application
// Security Verification Standard 5.0.0 has; they come first in each and are counted
// from 1 (its CSV file, found).
const points = `1.1:2 1.2:9 1.3:11 1.4:3 1.5:2 2.1:3 2.2:3 2.3:4 2.4:1 3.2:2 3.3:4 3.4:6 3.5:5 3.7:2 4.1:3 4.2:1 4.3:2 4.4:4
5.1:1 5.2:3 5.3:2 5.4:3 6.1:3 6.2:12 6.3:4 6.4:4 6.5:5 6.6:3 6.8:4 7.1:3 7.2:4 7.3:2 7.4:5 7.5:2 7.6:2 8.1:2 8.2:3 8.3:1 8.4:1
9.1:3 9.2:4 10.1:2 10.2:2 10.3:4 10.4:11 10.5:5 10.6:2 10.7:3 11.1:2 11.2:3 11.3:3 11.4:4 11.5:1 11.6:1 12.1:3 12.2:2 12.3:4
13.1:1 13.2:5 13.3:2 13.4:5 14.1:2 14.2:4 14.3:3 15.1:3 15.2:3 15.3:7 16.1:1 16.2:5 16.3:4 16.4:3 16.5:3 17.1:1 17.2:4 17.3:2`

// allPoints are the points one by one, in order.
func allPoints(t *testing.T) (all []string) {
	t.Helper()
	for _, section := range strings.Fields(points) {
		name, count, _ := strings.Cut(section, ":")
		n, err := strconv.Atoi(count)
		require.NoError(t, err)
		for i := range n {
			all = append(all, fmt.Sprintf("%s.%d", name, i+1))
		}
	}
	return all
}

// security is the page that answers the points.
func security(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../../deploy/asvs.md")
	require.NoError(t, err)
	return string(text)
}

// answered are the points that the page answers: in rows of tables and, where they
// do not apply, in groups.
func answered(t *testing.T, all []string) (found []string) {
	t.Helper()
	for line := range strings.Lines(security(t)) {
		if m := regexp.MustCompile(`^\| (\d+\.\d+\.\d+) \| [^|]+ \| [^|]+ \|$`).FindStringSubmatch(strings.TrimSpace(line)); m != nil {
			found = append(found, m[1])
		}
		group, is := strings.CutPrefix(line, "Does not apply: ")
		if !is {
			continue
		}
		group, why, _ := strings.Cut(group, ": ")
		require.NotEmpty(t, strings.TrimSpace(why), line)
		for item := range strings.SplitSeq(group, ", ") {
			first, last, several := strings.Cut(item, "-")
			if !several {
				last = first
			}
			from, to := slices.Index(all, first), slices.Index(all, last)
			require.True(t, from >= 0 && to >= from, "%s is no range of points", item)
			found = append(found, all[from:to+1]...)
		}
	}
	return found
}

func TestEveryPointOfTheSecurityListHasItsAnswer(t *testing.T) {
	all := allPoints(t)
	require.Len(t, all, 253)
	require.ElementsMatch(t, all, answered(t, all), "each once")
}

// What is short of a point is said on top of the page too.
func TestWhatIsNotMetIsSaidFirst(t *testing.T) {
	_, after, found := strings.Cut(security(t), "## Not met, or in part\n")
	require.True(t, found)
	first, rest, _ := strings.Cut(after, "\n## ")
	said := regexp.MustCompile(`\d+\.\d+\.\d+`).FindAllString(first, -1)
	var short []string
	for line := range strings.Lines(rest) {
		if m := regexp.MustCompile(`(?i)^\| (\S+) \|.*\*\*(partly|not met)`).FindStringSubmatch(line); m != nil {
			short = append(short, m[1])
		}
	}
	require.ElementsMatch(t, short, said)
}

// Every test that the page names is there.
func TestEveryTestOfTheSecurityListExists(t *testing.T) {
	there := map[string]bool{}
	for _, p := range packages(t) {
		for _, name := range append(p.TestGoFiles, p.XTestGoFiles...) {
			file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil {
					there[path.Base(p.ImportPath)+"."+f.Name.Name] = true
				}
			}
		}
	}
	named := regexp.MustCompile("`([a-z0-9]+\\.(?:Test|Fuzz)\\w+)`").FindAllStringSubmatch(security(t), -1)
	require.Greater(t, len(named), 100, "the page was not read")
	for _, m := range named {
		require.True(t, there[m[1]], "deploy/asvs.md names %s, which is nowhere", m[1])
	}
}
