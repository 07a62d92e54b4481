package httpd

import (
	"bytes"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"time"

	"github.com/go-chi/chi/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web"
)

// assets are the files that pages load. All are served under one hash of their
// whole content, so that a browser may keep them for ever, and files may name
// each other by relative paths; any change gives every file a new address.
type assets struct {
	files map[string][]byte
	base  string // such as /static/3f2a9c1db4e0
}

// readAssets takes the files in.
func readAssets(files fs.FS) (*assets, error) {
	hash, err := web.Hash(files)
	if err != nil {
		return nil, fmt.Errorf("read the files of the pages: %w", err)
	}
	a := &assets{files: map[string][]byte{}, base: "/static/" + hash}
	err = fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		a.files[name], err = fs.ReadFile(files, name)
		return err
	})
	return a, err
}

// asset serves one file. Under another hash, asked for by a page from before an
// update, it is served as well, but not to be kept.
func (s *server) asset(w http.ResponseWriter, r *http.Request) error {
	name := chi.URLParam(r, "*")
	content, ok := s.assets.files[name]
	if !ok {
		return fault.New(fault.NotFound, "")
	}
	keep := "no-cache"
	if "/static/"+chi.URLParam(r, "hash") == s.assets.base {
		keep = "public, max-age=31536000, immutable"
	}
	w.Header().Set("Cache-Control", keep)
	w.Header().Set("Content-Type", contentType(name))
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	return nil
}

// contentType does not ask the machine, whose table may lack half of these.
func contentType(name string) string {
	switch path.Ext(name) {
	case ".css":
		return "text/css; charset=utf-8"
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".svg":
		return "image/svg+xml; charset=utf-8"
	case ".png":
		return "image/png"
	case ".ico":
		return "image/x-icon"
	case ".woff2":
		return "font/woff2"
	case ".webmanifest":
		return "application/manifest+json"
	case ".json":
		return "application/json"
	}
	return "text/plain; charset=utf-8"
}
