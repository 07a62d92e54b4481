package main

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// mostBytes is how large a package may be, and a file in it.
const mostBytes = 32 << 20

// unpack gives the wanted files of a package, by their paths in it, once its sum
// is the one that was told ("sha512-…", base64). A file that is not there is an
// error; what else there is stays in the package.
func unpack(parcel io.Reader, integrity string, files []string) (map[string][]byte, error) {
	whole, err := io.ReadAll(io.LimitReader(parcel, mostBytes))
	if err != nil {
		return nil, err
	}
	digest := sha512.Sum512(whole)
	if is := "sha512-" + base64.StdEncoding.EncodeToString(digest[:]); is != integrity {
		return nil, fmt.Errorf("the package's sum is %s, not %s", is, integrity)
	}
	plain, err := gzip.NewReader(bytes.NewReader(whole))
	if err != nil {
		return nil, err
	}
	found := map[string][]byte{}
	for entries := tar.NewReader(plain); ; {
		entry, err := entries.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		_, name, _ := strings.Cut(entry.Name, "/") // all lies in one folder
		if entry.Typeflag != tar.TypeReg || !slices.Contains(files, name) {
			continue
		}
		if found[name], err = io.ReadAll(io.LimitReader(entries, mostBytes)); err != nil {
			return nil, err
		}
	}
	for _, name := range files {
		if _, ok := found[name]; !ok {
			return nil, fmt.Errorf("%s is not in the package", name)
		}
	}
	return found, nil
}

// sum is SHA-256 in hexadecimal digits.
func sum(content []byte) string {
	digest := sha256.Sum256(content)
	return hex.EncodeToString(digest[:])
}
