package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"runtime"
	"strings"
)

// initialise makes the cluster beside its place and moves it there when it is complete, so
// that a start cut short leaves nothing that looks like a database.
func (p plan) initialise(ctx context.Context) error {
	var failures []error
	for _, locale := range locales(p.binary.major) {
		out, err := p.initdb(ctx, locale)
		if err == nil {
			return p.folder.settle()
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		failures = append(failures, fmt.Errorf("%w: %s", err, complaint(strings.Split(strings.TrimSpace(out), "\n"))))
		if err := p.folder.clearHalfway(ctx, p.logger); err != nil {
			return err
		}
	}
	return errors.Join(failures...)
}

// locales are the ways to ask for text that is UTF-8 and sorted by code point, best first.
// PostgreSQL 17 brings its own; before, the system has to know C.UTF-8, and where it does
// not (macOS), letters beyond ASCII are stored well but not turned to lower case.
func locales(major int) [][]string {
	plain := []string{"--locale=C"}
	if major >= 17 {
		return [][]string{{"--locale-provider=builtin", "--builtin-locale=C.UTF-8", "--locale=C"}, plain}
	}
	return [][]string{{"--locale=C.UTF-8"}, plain}
}

// initdb runs the program of that name and gives what it said.
func (p plan) initdb(ctx context.Context, locale []string) (string, error) {
	dir := p.folder.halfway()
	if err := os.Mkdir(dir, 0o700); err != nil {
		return "", err
	}
	if p.account.change {
		if err := os.Lchown(dir, p.account.uid, p.account.gids[0]); err != nil {
			return "", err
		}
	}
	args := append([]string{"--pgdata", dir, "--username", Owner, "--encoding=UTF8", "--data-checksums",
		"--auth-local=trust", "--auth-host=reject", "--no-instructions"}, locale...)
	if p.test {
		args = append(args, "--no-sync")
	}
	// It works in the folder itself, so that a start after a kill finds it there while
	// it still clears up, and does not begin beside it.
	return output(command(ctx, p.account, dir, p.binary.initdb(), args...))
}

// output runs the command on a thread that stays, for the kernel ends a child
// when the thread that started it ends.
func output(cmd *exec.Cmd) (string, error) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// settle moves the finished cluster to its place, for good.
func (f folder) settle() error {
	// An empty folder may wait there; a full one was refused before.
	if err := os.Remove(f.pgdata()); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(f.halfway(), f.pgdata()); err != nil {
		return err
	}
	dir, err := os.Open(f.data)
	if err != nil {
		return err
	}
	defer dir.Close()
	return dir.Sync()
}
