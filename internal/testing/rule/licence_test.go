package rule

import (
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Everything of others that is linked into the program is named with its licence.
func TestWhatOthersMadeIsNamed(t *testing.T) {
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", Module+"/cmd/halfhour").Output()
	require.NoError(t, err)
	modules := map[string]bool{}
	for _, path := range strings.Fields(string(out)) {
		modules[path] = path != Module
	}
	text, err := os.ReadFile("../../../THIRD_PARTY.md")
	require.NoError(t, err)
	table, _, found := strings.Cut(string(text), "## Served with it")
	require.True(t, found)
	for path, others := range modules {
		if others && !strings.Contains(table, "| `"+path+"` |") {
			t.Errorf("THIRD_PARTY.md does not name %s", path)
		}
	}
	for _, line := range strings.Split(table, "\n") {
		if path, ok := strings.CutPrefix(line, "| `"); ok {
			path, _, _ = strings.Cut(path, "`")
			require.True(t, modules[path], "THIRD_PARTY.md names %s, which is in the program no more", path)
		}
	}
}
