package httpd

import (
	"bytes"
	"encoding/json"
	"image/png"
	"net/http"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/web"
)

func TestTheWorkerKeepsWhatPagesLoad(t *testing.T) {
	s := newSite(t)
	a := s.nobody().get("/sw.js")
	require.Equal(t, http.StatusOK, a.StatusCode)
	require.Equal(t, []string{"text/javascript; charset=utf-8", "no-cache", "/"},
		[]string{a.Header.Get("Content-Type"), a.Header.Get("Cache-Control"), a.Header.Get("Service-Worker-Allowed")})
	line, own, found := strings.Cut(a.body, "\n")
	require.True(t, found)
	require.Contains(t, own, "addEventListener('fetch'")
	line, found = strings.CutPrefix(line, "const shell = ")
	require.True(t, found)
	var kept shell
	require.NoError(t, json.Unmarshal([]byte(line), &kept))
	require.Equal(t, "/static/"+kept.Version+"/", kept.Base)
	for _, file := range kept.Files {
		got := s.nobody().get(file)
		require.Equal(t, http.StatusOK, got.StatusCode, file)
		require.Contains(t, got.Header.Get("Cache-Control"), "immutable", file)
	}
	for _, name := range []string{"site.css", "halfhour.js", "strap.js", "phone/keep.js", "phone/leave.js", "vendor/idb/index.js", "fonts/atkinson.woff2", "icon.svg"} {
		require.Contains(t, kept.Files, web.Asset(name))
	}
	require.NotContains(t, kept.Files, web.Asset("phone/sw.js"), "the worker is fetched by the browser itself")
	require.NotContains(t, strings.Join(kept.Files, " "), "LICENSE")
}

// A phone asks for the worker at every visit: what it has already is not sent again.
func TestTheWorkerIsSentOnce(t *testing.T) {
	s := newSite(t)
	tag := s.nobody().get("/sw.js").Header.Get("ETag")
	require.NotEmpty(t, tag)
	require.Equal(t, http.StatusNotModified, s.nobody().do(with("/sw.js", "If-None-Match", tag)).StatusCode)
	require.Equal(t, http.StatusOK, s.nobody().do(with("/sw.js", "If-None-Match", `W/"another"`)).StatusCode)
}

func TestTheAppCanBeInstalled(t *testing.T) {
	k := newTrack(t)
	at := attr(k.phone.get("/today").one("link[rel=manifest]"), "href")
	a := k.nobody().get(at) // browsers ask for it without a cookie
	require.Equal(t, []string{"application/manifest+json", "no-cache"}, []string{a.Header.Get("Content-Type"), a.Header.Get("Cache-Control")})
	var v manifest
	require.NoError(t, json.Unmarshal([]byte(a.body), &v))
	require.Equal(t, []string{"/", "/", "standalone", "Halfhour"}, []string{v.Start, v.Scope, v.Display, v.Name})
	purposes := map[string]string{}
	for _, icon := range v.Icons {
		got := k.nobody().get(icon.Src)
		require.Equal(t, http.StatusOK, got.StatusCode, icon.Src)
		require.Equal(t, icon.Type, got.Header.Get("Content-Type"))
		if icon.Type == "image/png" {
			picture, err := png.DecodeConfig(bytes.NewReader([]byte(got.body)))
			require.NoError(t, err)
			require.Equal(t, icon.Sizes, strconv.Itoa(picture.Width)+"x"+strconv.Itoa(picture.Height))
			purposes[icon.Sizes+icon.Purpose] = icon.Src
		}
	}
	require.Len(t, purposes, 3)
	require.Contains(t, purposes, "192x192")
	require.Contains(t, purposes, "512x512maskable")
	require.Equal(t, http.StatusOK, k.phone.get(attr(k.phone.get("/today").one("link[rel=apple-touch-icon]"), "href")).StatusCode)
}

// A worker and a manifest are for whoever has a phone of their own in the hand.
func TestOnlyAnAthletesOwnPagesAreKept(t *testing.T) {
	k := newTrack(t)
	for _, a := range []*answer{k.desk.get("/roster"), k.desk.get("/athletes/" + idText(k.ines) + "/log"), k.nobody().get("/sign-in"), k.nobody().get("/no-signal")} {
		require.Empty(t, a.all("link[rel=manifest]"), a.Request)
		require.NotContains(t, a.body, "phone/keep.js")
	}
	require.Contains(t, k.phone.get("/sessions").body, web.Asset("phone/keep.js"))
}

// The page for where there is no signal is the same for everybody and leads to what
// works.
func TestThePageWithoutASignal(t *testing.T) {
	k := newTrack(t)
	a := k.phone.get("/no-signal")
	require.Equal(t, k.nobody().get("/no-signal").body, a.body)
	require.Len(t, a.all("main a[href='/today']"), 1)
	require.Len(t, a.all("main a[href='/go']"), 1)
}

// Signing out wipes what the browser kept, whoever it was.
func TestSigningOutClearsTheBrowser(t *testing.T) {
	k := newTrack(t)
	for _, b := range []*browser{k.phone, k.desk, k.nobody()} {
		a := b.post("/sign-out")
		require.Equal(t, `"cache", "storage"`, a.Header.Get("Clear-Site-Data"))
		a.leadsTo("/sign-in")
	}
	require.Empty(t, k.nobody().get("/sign-in").Header.Get("Clear-Site-Data"))
}

// Whatever a module of the pages loads is there.
func TestModulesFindEachOther(t *testing.T) {
	files, err := readAssets(web.Static())
	require.NoError(t, err)
	loads := regexp.MustCompile(`(?:from|import)\s*\(?'(\.[^']+)'`)
	for name, content := range files.files {
		if !strings.HasSuffix(name, ".js") {
			continue
		}
		for _, found := range loads.FindAllSubmatch(content, -1) {
			_, there := files.files[path.Join(path.Dir(name), string(found[1]))]
			require.True(t, there, "%s loads %s", name, found[1])
		}
	}
}
