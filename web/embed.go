// Package web holds everything that a person sees: the pages (page), what they
// are made of (part), and the files that they load (static).
package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"sync"
)

//go:embed static/*.css static/*.js static/icon.svg static/fonts/*.woff2 static/fonts/OFL-*.txt
//go:embed static/phone/*.js static/icons/*.png
//go:embed static/vendor/*/*.js static/vendor/*/LICENSE
var files embed.FS

// Static is the files that pages load, by the names that Asset takes.
func Static() fs.FS {
	static, err := fs.Sub(files, "static")
	if err != nil { // the folder is part of the program
		panic(err)
	}
	return static
}

// Asset is the address of a file that pages load, such as "site.css". All files
// share one hash of their whole content, so that they may be kept for ever and
// may name each other by relative addresses.
func Asset(name string) string { return base() + "/" + name }

var base = sync.OnceValue(func() string {
	hash, err := Hash(Static())
	if err != nil {
		panic(err)
	}
	return "/static/" + hash
})

// Hash is twelve digits that change with any name or content of the files.
func Hash(files fs.FS) (string, error) {
	all := sha256.New()
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(files, name)
		fmt.Fprintf(all, "%s\x00%d\x00", name, len(content))
		all.Write(content)
		return err
	})
	return hex.EncodeToString(all.Sum(nil)[:6]), err
}
