package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// How long PostgreSQL gets to end in order, and then to end at once.
const (
	gentle = 20 * time.Second
	abrupt = 5 * time.Second
	beat   = 10 * time.Millisecond // between two looks
)

// clearLeftovers ends what an earlier, killed run left in the folder. Only the holder of the
// lock may do so. PostgreSQL clears up most of it by itself, but refuses to start when the
// process number in its file is alive again, as another program or as one not reaped yet.
func (f folder) clearLeftovers(ctx context.Context, socket string, logger *slog.Logger) error {
	if err := f.clearHalfway(ctx, logger); err != nil {
		return err
	}
	pid, left, err := f.recorded()
	if err != nil || !left {
		return err
	}
	if _, known := living(f.pgdata()); !known {
		if pid > 0 && alive(pid) {
			return nil // perhaps a PostgreSQL, perhaps not: it will judge by itself
		}
	} else if err := expel(ctx, f.pgdata(), pid, logger); err != nil {
		return err
	}
	logger.Info("cleared up after a run that was cut short", "process", pid)
	sock := filepath.Join(socket, socketName())
	return remove(f.pidFile(), sock, sock+".lock")
}

func (f folder) pidFile() string { return filepath.Join(f.pgdata(), "postmaster.pid") }

// recorded is the process number that PostgreSQL wrote down; 0 where the file cannot be understood.
func (f folder) recorded() (pid int, left bool, err error) {
	text, err := os.ReadFile(f.pidFile())
	if errors.Is(err, fs.ErrNotExist) {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, fmt.Errorf("the leftover of an earlier run cannot be read: %w", err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	number, _ := strconv.ParseInt(strings.TrimSpace(first), 10, 32) // 0 where it is no number
	return int(number), true, nil
}

// clearHalfway removes a cluster whose making was cut short; it never held anything.
func (f folder) clearHalfway(ctx context.Context, logger *slog.Logger) error {
	if _, err := os.Lstat(f.halfway()); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err := expel(ctx, f.halfway(), 0, logger); err != nil {
		return err
	}
	if err := os.RemoveAll(f.halfway()); err != nil {
		return fmt.Errorf("the leftover of an earlier start cannot be removed: %w", err)
	}
	return nil
}

// expel ends the processes of PostgreSQL that work in the folder: the postmaster
// gently first, which takes its children along; children without a postmaster at once.
func expel(ctx context.Context, dir string, postmaster int, logger *slog.Logger) error {
	pids, _ := living(dir)
	if len(pids) == 0 {
		return nil
	}
	logger.Warn("a database process of an earlier run is still there and is being ended", "processes", pids)
	if slices.Contains(pids, postmaster) {
		if err := signal(syscall.SIGINT, postmaster); err != nil {
			return err
		}
		if left, err := waitGone(ctx, dir, gentle); err != nil || left == 0 {
			return err
		}
	}
	pids, _ = living(dir)
	if err := signal(syscall.SIGQUIT, pids...); err != nil {
		return err
	}
	left, err := waitGone(ctx, dir, abrupt)
	if err == nil && left != 0 {
		err = fmt.Errorf("the PostgreSQL of an earlier run (process %d) still uses %s and does not end. End it, then start again", left, dir)
	}
	return err
}

// waitGone waits until nobody works in the folder, and gives the first who does when patience ends.
func waitGone(ctx context.Context, dir string, patience time.Duration) (pid int, err error) {
	timeout, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		pids, _ := living(dir)
		if len(pids) == 0 {
			return 0, nil
		}
		select {
		case <-tick.C:
		case <-timeout.Done():
			return pids[0], ctx.Err()
		}
	}
}

// signal sends the signal; a process that ended meanwhile is fine.
func signal(sig syscall.Signal, pids ...int) error {
	for _, pid := range pids {
		if err := syscall.Kill(pid, sig); err != nil && !errors.Is(err, syscall.ESRCH) {
			return fmt.Errorf("the PostgreSQL of an earlier run (process %d) cannot be ended: %w", pid, err)
		}
	}
	return nil
}

// alive tells whether there is a process of this number, whoever it is.
func alive(pid int) bool {
	err := syscall.Kill(pid, 0)
	return err == nil || errors.Is(err, syscall.EPERM)
}

// remove removes files; those that are not there are fine.
func remove(paths ...string) error {
	for _, path := range paths {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the leftover of an earlier run cannot be removed: %w", err)
		}
	}
	return nil
}
