package main

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"testing"

	"github.com/stretchr/testify/require"
)

// parcel is a package as npm has it, and its sum.
func parcel(t *testing.T, files map[string]string) ([]byte, string) {
	t.Helper()
	var whole bytes.Buffer
	zip := gzip.NewWriter(&whole)
	w := tar.NewWriter(zip)
	for name, text := range files {
		require.NoError(t, w.WriteHeader(&tar.Header{Name: "package/" + name, Mode: 0o644, Size: int64(len(text)), Typeflag: tar.TypeReg}))
		_, err := w.Write([]byte(text))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	require.NoError(t, zip.Close())
	digest := sha512.Sum512(whole.Bytes())
	return whole.Bytes(), "sha512-" + base64.StdEncoding.EncodeToString(digest[:])
}

func TestOnlyWhatIsWantedIsTaken(t *testing.T) {
	body, integrity := parcel(t, map[string]string{"LICENSE": "free", "build/index.js": "export {}", "index.js": "other"})
	files, err := unpack(bytes.NewReader(body), integrity, []string{"LICENSE", "build/index.js"})
	require.NoError(t, err)
	require.Equal(t, map[string][]byte{"LICENSE": []byte("free"), "build/index.js": []byte("export {}")}, files)

	_, err = unpack(bytes.NewReader(body), integrity, []string{"COPYING"})
	require.ErrorContains(t, err, "COPYING is not in the package")
}

func TestAnotherSumTakesNothing(t *testing.T) {
	body, integrity := parcel(t, map[string]string{"LICENSE": "free"})
	body[len(body)-1] ^= 1
	_, err := unpack(bytes.NewReader(body), integrity, []string{"LICENSE"})
	require.ErrorContains(t, err, "the package's sum is")
}

func TestWhatIsWantedIsExact(t *testing.T) {
	good := wanted{Package: "idb", Version: "8.0.4", Licence: "ISC", Files: []string{"LICENSE", "build/index.js"}}
	require.NoError(t, good.check())
	for why, change := range map[string]func(*wanted){
		"a range is no version":             func(w *wanted) { w.Version = "^8.0.0" },
		"a tag is no version":               func(w *wanted) { w.Version = "latest" },
		"a folder is no package":            func(w *wanted) { w.Package = "../idb" },
		"without a licence nothing is ours": func(w *wanted) { w.Licence = "" },
		"a licence alone is no library":     func(w *wanted) { w.Files = w.Files[:1] },
	} {
		w := good
		change(&w)
		require.Error(t, w.check(), why)
	}
	before := []locked{{Package: "idb", Version: "8.0.4", Integrity: "sha512-a"}}
	require.Equal(t, "sha512-a", pinned(before, good))
	good.Version = "8.0.5"
	require.Empty(t, pinned(before, good))
}
