package program

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
)

// Runner is the part of testing.M that Main needs.
type Runner interface{ Run() int }

// built is the program of a package's tests. It is built with the first Binary.
type built struct {
	dir  string
	path func() (string, error) // once; the same answer afterwards
}

// current is what Main prepared for Binary; a test has no other way to hand it over.
var current atomic.Pointer[built]

// Main runs the tests of a package and removes the program behind them. It
// returns the exit code.
func Main(m Runner) int {
	b := &built{}
	b.path = sync.OnceValues(b.build)
	current.Store(b)
	code := m.Run()
	if b.dir != "" {
		if err := os.RemoveAll(b.dir); err != nil {
			fmt.Fprintln(os.Stderr, "program:", err)
		}
	}
	return code
}

// build makes the program as make build does.
func (b *built) build() (string, error) {
	dir, err := os.MkdirTemp("", "halfhour-built-")
	if err != nil {
		return "", err
	}
	b.dir = dir
	path := filepath.Join(dir, "halfhour")
	command := exec.CommandContext(context.Background(), "go", "build", "-o", path, "halfhour.app/halfhour/cmd/halfhour")
	command.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := command.CombinedOutput(); err != nil {
		return "", fmt.Errorf("the program cannot be built: %w\n%s", err, out)
	}
	return path, nil
}

// Binary is the path of the program.
func Binary(t testing.TB) string {
	t.Helper()
	b := current.Load()
	if b == nil {
		t.Fatal("program.Binary needs program.Main in TestMain")
	}
	path, err := b.path()
	if err != nil {
		t.Fatal(err)
	}
	return path
}
