// Command vendorjs brings the files of others that pages load into the project:
// it reads web/vendor.json, fetches each package with npm, checks its sum, takes
// out the files wanted with their licence, and writes down what it took in
// web/vendor.lock.json. It is run from the top folder, when a version changes;
// nothing else needs npm or a network, and a test holds files and lock together.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path"
	"path/filepath"
	"regexp"
)

// Where things lie, seen from the top folder.
const (
	wantedFile = "web/vendor.json"
	lockFile   = "web/vendor.lock.json"
	home       = "web/static/vendor" // a folder for each package
)

// wanted is a package and what of it we serve.
type wanted struct {
	Package string   `json:"package"`
	Version string   `json:"version"` // exact
	Licence string   `json:"licence"` // SPDX
	Files   []string `json:"files"`   // paths in the package, its licence among them
}

// locked is what was taken of a package.
type locked struct {
	Package   string   `json:"package"`
	Version   string   `json:"version"`
	Licence   string   `json:"licence"`
	Integrity string   `json:"integrity"` // of the whole package, as npm has it
	Files     []stored `json:"files"`
}

// stored is one file as it lies in the project.
type stored struct {
	Path   string `json:"path"`   // from the top folder
	SHA256 string `json:"sha256"` // hexadecimal
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "vendorjs:", err)
		os.Exit(1)
	}
}

// run brings in every package of the list.
func run(ctx context.Context, out io.Writer) error {
	list, err := read[[]wanted](wantedFile)
	if err != nil {
		return err
	}
	before, err := read[[]locked](lockFile)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	lock := make([]locked, 0, len(list))
	for _, w := range list {
		if err := w.check(); err != nil {
			return err
		}
		got, err := bring(ctx, w, pinned(before, w))
		if err != nil {
			return fmt.Errorf("%s %s: %w", w.Package, w.Version, err)
		}
		lock = append(lock, got)
		fmt.Fprintf(out, "%s %s: %d files\n", w.Package, w.Version, len(got.Files))
	}
	return write(lockFile, lock)
}

// check refuses what would not say exactly which files are meant.
func (w wanted) check() error {
	if !regexp.MustCompile(`^[a-z0-9][a-z0-9._-]*$`).MatchString(w.Package) {
		return fmt.Errorf("%q is no name of a package that this program knows to handle", w.Package)
	}
	if !regexp.MustCompile(`^\d+\.\d+\.\d+$`).MatchString(w.Version) {
		return fmt.Errorf("%s: the version %q is not exact", w.Package, w.Version)
	}
	if w.Licence == "" || len(w.Files) < 2 {
		return fmt.Errorf("%s: its licence and the files wanted must be named", w.Package)
	}
	return nil
}

// pinned is the sum that the lock has for just this version; empty: none yet.
func pinned(before []locked, w wanted) string {
	for _, l := range before {
		if l.Package == w.Package && l.Version == w.Version {
			return l.Integrity
		}
	}
	return ""
}

// bring fetches a package and stores what is wanted of it. A sum that differs
// from the pinned one stores nothing.
func bring(ctx context.Context, w wanted, pin string) (locked, error) {
	parcel, integrity, err := fetch(ctx, w)
	if err != nil {
		return locked{}, err
	}
	if pin != "" && pin != integrity {
		return locked{}, fmt.Errorf("what was fetched is not what the lock holds: %s, not %s", integrity, pin)
	}
	files, err := unpack(bytes.NewReader(parcel), integrity, w.Files)
	if err != nil {
		return locked{}, err
	}
	got := locked{Package: w.Package, Version: w.Version, Licence: w.Licence, Integrity: integrity}
	folder := filepath.Join(home, w.Package)
	if err := os.RemoveAll(folder); err != nil {
		return locked{}, err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return locked{}, err
	}
	for _, name := range w.Files {
		at := path.Join(home, w.Package, path.Base(name))
		if err := os.WriteFile(at, files[name], 0o644); err != nil {
			return locked{}, err
		}
		got.Files = append(got.Files, stored{Path: at, SHA256: sum(files[name])})
	}
	return got, nil
}

// fetch asks npm for a package as it was published, and runs nothing of it.
func fetch(ctx context.Context, w wanted) (parcel []byte, integrity string, err error) {
	folder, err := os.MkdirTemp("", "vendorjs-")
	if err != nil {
		return nil, "", err
	}
	defer os.RemoveAll(folder)
	npm := exec.CommandContext(ctx, "npm", "pack", "--json", "--ignore-scripts", "--pack-destination", folder, w.Package+"@"+w.Version)
	npm.Stderr = os.Stderr
	said, err := npm.Output()
	if err != nil {
		return nil, "", fmt.Errorf("npm pack: %w", err)
	}
	var told []struct{ Filename, Integrity string }
	if err := json.Unmarshal(said, &told); err != nil || len(told) != 1 {
		return nil, "", fmt.Errorf("npm pack said something else than one package: %s", said)
	}
	parcel, err = os.ReadFile(filepath.Join(folder, filepath.Base(told[0].Filename)))
	return parcel, told[0].Integrity, err
}

func read[T any](name string) (value T, err error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return value, err
	}
	if err := json.Unmarshal(text, &value); err != nil {
		return value, fmt.Errorf("%s: %w", name, err)
	}
	return value, nil
}

func write(name string, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(name, append(text, '\n'), 0o644)
}
