package web_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/web"
)

func TestAssetsShareOneHash(t *testing.T) {
	style, font := web.Asset("site.css"), web.Asset("fonts/fraunces.woff2")
	require.Regexp(t, `^/static/[0-9a-f]{12}/site\.css$`, style)
	require.Equal(t, strings.TrimSuffix(style, "site.css")+"fonts/fraunces.woff2", font)
}

func TestAnyChangeChangesTheHash(t *testing.T) {
	seen := map[string]bool{}
	for _, files := range []fstest.MapFS{
		{"a": {Data: []byte("b")}},
		{"a": {Data: []byte("c")}},
		{"b": {Data: []byte("b")}},
		{"a": {Data: []byte("b")}, "b": {}},
	} {
		hash, err := web.Hash(files)
		require.NoError(t, err)
		require.False(t, seen[hash])
		seen[hash] = true
	}
}

// The style sheet loads only files that are there, by relative addresses.
func TestTheStyleFindsItsFonts(t *testing.T) {
	style, err := fs.ReadFile(web.Static(), "site.css")
	require.NoError(t, err)
	loads := regexp.MustCompile(`url\(([^)]*)\)`).FindAllStringSubmatch(string(style), -1)
	require.Len(t, loads, 6)
	for _, l := range loads {
		font, err := fs.ReadFile(web.Static(), l[1])
		require.NoError(t, err)
		require.Equal(t, "wOF2", string(font[:4]), l[1])
	}
	require.NotContains(t, string(style), "@import")
}

// Fonts travel with their licences.
func TestLicencesTravelWithTheFonts(t *testing.T) {
	for _, name := range []string{"fonts/OFL-fraunces.txt", "fonts/OFL-atkinson.txt"} {
		text, err := fs.ReadFile(web.Static(), name)
		require.NoError(t, err)
		require.Contains(t, string(text), "SIL OPEN FONT LICENSE Version 1.1")
	}
}
