package page_test

import (
	"bytes"
	"context"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/a-h/templ"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/web"
)

// folder is where the gallery is written for looking at it:
//
//	go test ./web/page -run Gallery -gallery some/folder
var folder = flag.String("gallery", "", "write every page as a file into this folder")

func render(t testing.TB, c templ.Component) string {
	t.Helper()
	var page bytes.Buffer
	require.NoError(t, c.Render(context.Background(), &page))
	return page.String()
}

// Every page renders, and with -gallery all are written with the files they load.
func TestGallery(t *testing.T) {
	for name, component := range gallery() {
		html := render(t, component)
		require.True(t, strings.HasSuffix(html, "</html>"), "%s is whole", name)
		if *folder != "" {
			write(t, name+".html", []byte(strings.ReplaceAll(html, `"/static/`, `"static/`)))
		}
	}
	if *folder == "" {
		return
	}
	require.NoError(t, fs.WalkDir(web.Static(), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(web.Static(), name)
		write(t, strings.TrimPrefix(web.Asset(name), "/"), content)
		return err
	}))
}

func write(t *testing.T, name string, content []byte) {
	t.Helper()
	path := filepath.Join(*folder, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, content, 0o644))
}
