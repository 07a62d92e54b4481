package httpd

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// workerFile is the service worker among the files of the pages.
const workerFile = "phone/sw.js"

// shell is what a phone keeps for where there is no signal, for everybody the same.
type shell struct {
	Version string   `json:"version"`
	Base    string   `json:"base"`  // what the addresses of the files begin with
	Files   []string `json:"files"` // their addresses
}

// worker serves the service worker, with what it keeps. It is asked for again and
// again: a new version of any file makes a new worker.
func (s *server) worker(w http.ResponseWriter, r *http.Request) error {
	own, ok := s.assets.files[workerFile]
	if !ok {
		return fault.New(fault.NotFound, "")
	}
	kept, err := json.Marshal(s.assets.shell())
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", contentType(workerFile))
	h.Set("Cache-Control", "no-cache")
	h.Set("Service-Worker-Allowed", "/")
	h.Set("ETag", `W/"`+path.Base(s.assets.base)+`"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(fmt.Appendf(nil, "const shell = %s\n%s", kept, own)))
	return nil
}

// shell is every file that a page of the phone may load. Those of a desk are among
// them where pages of a phone share them; licences and pictures are not.
func (a *assets) shell() shell {
	v := shell{Version: path.Base(a.base), Base: a.base + "/"}
	for name := range a.files {
		switch path.Ext(name) {
		case ".css", ".js", ".woff2", ".svg":
			if name != workerFile {
				v.Files = append(v.Files, v.Base+name)
			}
		}
	}
	slices.Sort(v.Files)
	return v
}

// manifest is how a phone installs the app (Web Application Manifest of the W3C).
type manifest struct {
	ID         string         `json:"id"`
	Name       string         `json:"name"`
	ShortName  string         `json:"short_name"`
	About      string         `json:"description"`
	Lang       string         `json:"lang"`
	Start      string         `json:"start_url"`
	Scope      string         `json:"scope"`
	Display    string         `json:"display"`
	Background string         `json:"background_color"`
	Theme      string         `json:"theme_color"`
	Icons      []manifestIcon `json:"icons"`
}

type manifestIcon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose,omitempty"`
}

// manifestFile serves the manifest.
func (s *server) manifestFile(w http.ResponseWriter, _ *http.Request) error {
	const paper = "#f7f4ec"
	at := s.assets.base + "/"
	v := manifest{
		ID: "/", Name: "Halfhour", ShortName: "Halfhour", About: "From walking to thirty minutes of running, with a coach.", Lang: "en",
		Start: "/", Scope: "/", Display: "standalone", Background: paper, Theme: paper,
		Icons: []manifestIcon{
			{Src: at + "icons/192.png", Sizes: "192x192", Type: "image/png"},
			{Src: at + "icons/512.png", Sizes: "512x512", Type: "image/png"},
			{Src: at + "icons/maskable-512.png", Sizes: "512x512", Type: "image/png", Purpose: "maskable"},
			{Src: at + "icon.svg", Sizes: "any", Type: contentType("icon.svg")},
		},
	}
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", contentType(part.ManifestAt))
	w.Header().Set("Cache-Control", "no-cache")
	_, _ = w.Write(text) // whoever went away needs none
	return nil
}

// noSignal is what a phone shows in place of a page that it does not keep.
func (s *server) noSignal(w http.ResponseWriter, r *http.Request) error {
	return s.page(w, r, http.StatusOK, page.NoSignalPage(page.NoSignal{
		Plain: part.Plain{Title: "No signal"}, Today: part.TodayAt, Go: "/go",
	}))
}
