package web_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/web"
)

// vendored is a package of others, as vendor.lock.json has it.
type vendored struct {
	Package, Version, Licence, Integrity string
	Files                                []struct{ Path, SHA256 string }
}

func lock(t *testing.T) (all []vendored) {
	t.Helper()
	text, err := os.ReadFile("vendor.lock.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &all))
	return all
}

// Files of others are what was published: nobody mends them here.
func TestFilesOfOthersAreAsTheLockSays(t *testing.T) {
	expected := map[string]bool{}
	for _, p := range lock(t) {
		require.Regexp(t, `^sha512-[A-Za-z0-9+/]{86}==$`, p.Integrity)
		for _, file := range p.Files {
			content, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(file.Path)))
			require.NoError(t, err)
			digest := sha256.Sum256(content)
			require.Equal(t, file.SHA256, hex.EncodeToString(digest[:]), file.Path)
			expected[strings.TrimPrefix(file.Path, "web/")] = true
		}
	}
	found := map[string]bool{}
	require.NoError(t, fs.WalkDir(os.DirFS("."), "static/vendor", func(name string, entry fs.DirEntry, err error) error {
		if err == nil && !entry.IsDir() {
			found[name] = true
		}
		return err
	}))
	require.Equal(t, expected, found)
}

// What is wanted is what is there: a version raised in the list alone is not yet in.
func TestTheLockFollowsTheList(t *testing.T) {
	text, err := os.ReadFile("vendor.json")
	require.NoError(t, err)
	var list []struct {
		Package, Version, Licence string
		Files                     []string
	}
	require.NoError(t, json.Unmarshal(text, &list))
	all := lock(t)
	require.Len(t, all, len(list))
	for i, w := range list {
		require.Equal(t, []string{w.Package, w.Version, w.Licence}, []string{all[i].Package, all[i].Version, all[i].Licence})
		require.Len(t, all[i].Files, len(w.Files))
	}
}

// Each package is named with its licence, which is served beside it.
func TestFilesOfOthersAreNamed(t *testing.T) {
	text, err := os.ReadFile("../THIRD_PARTY.md")
	require.NoError(t, err)
	for _, p := range lock(t) {
		require.Contains(t, string(text), fmt.Sprintf("| %s %s, `web/static/vendor/%s` | %s (`LICENSE` beside it) |", p.Package, p.Version, p.Package, p.Licence))
		licence, err := fs.ReadFile(web.Static(), "vendor/"+p.Package+"/LICENSE")
		require.NoError(t, err)
		require.Contains(t, string(licence), "Copyright")
		_, err = fs.Stat(web.Static(), "vendor/"+p.Package+"/index.js")
		require.NoError(t, err)
	}
}
