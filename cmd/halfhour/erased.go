package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/privacy"
)

// erasedList is the file erased in the data folder: a mark and a day on each line. It
// lies beside the database and not in it, so that bringing an older copy of that back
// brings nobody back who was erased since.
type erasedList struct{ file string }

func newErasedList(data string) *erasedList { return &erasedList{filepath.Join(data, "erased")} }

// Read gives what stands in the file. A line that cannot be read is an error: going on
// without it would bring somebody back.
func (l *erasedList) Read(context.Context) ([]privacy.Gone, error) {
	text, err := os.ReadFile(l.file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []privacy.Gone
	lines := bufio.NewScanner(bytes.NewReader(text))
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" {
			continue
		}
		g, err := readGone(line)
		if err != nil {
			return nil, fmt.Errorf("%s, line %d: %w", l.file, n, err)
		}
		all = append(all, g)
	}
	return all, lines.Err()
}

// readGone reads one line.
func readGone(line string) (g privacy.Gone, err error) {
	mark, on, _ := strings.Cut(line, " ")
	raw, err := hex.DecodeString(mark)
	if err != nil || len(raw) != len(g.Mark) {
		return g, errors.New("no mark of somebody who was erased")
	}
	copy(g.Mark[:], raw)
	g.On, err = day.Parse(on)
	return g, err
}

// Add writes the file anew with more lines, in one piece: a program that is killed
// leaves the one before.
func (l *erasedList) Add(_ context.Context, more []privacy.Gone) error {
	text, err := os.ReadFile(l.file)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(text) > 0 && text[len(text)-1] != '\n' {
		text = append(text, '\n')
	}
	for _, g := range more {
		text = fmt.Appendf(text, "%x %s\n", g.Mark, g.On)
	}
	if err := os.MkdirAll(filepath.Dir(l.file), 0o700); err != nil {
		return err
	}
	part, err := os.CreateTemp(filepath.Dir(l.file), "erased-*.part") // which its owner alone may read
	if err != nil {
		return err
	}
	_, err = part.Write(text)
	err = errors.Join(err, part.Sync(), part.Close())
	if err == nil {
		err = os.Rename(part.Name(), l.file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(part.Name()))
	}
	return nil
}
