package localpg

import (
	"bufio"
	"context"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"sync"
	"time"
)

// command is a program of PostgreSQL, to be run by the account with a clean environment.
// The context ends it gently.
func command(ctx context.Context, acc account, dir, path string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	cmd.WaitDelay = 5 * time.Second
	cmd.Env = cleanEnv(cmd.Environ())
	cmd.Dir = dir // never the folder the program was started in: the account may not enter it
	cmd.SysProcAttr = attributes(acc.credential())
	return cmd
}

// cleanEnv leaves out what would change PostgreSQL's mind (PGDATA, PGPORT…), its
// language, systemd's way of asking who is ready, and what is none of its business.
func cleanEnv(env []string) []string {
	var kept []string
	for _, entry := range env {
		name, _, _ := strings.Cut(entry, "=")
		foreign := strings.HasPrefix(name, "PG") || strings.HasPrefix(name, "LC_") || strings.HasPrefix(name, "LANG") ||
			strings.HasPrefix(name, "HALFHOUR_") || name == "DATABASE_URL" || name == "NOTIFY_SOCKET"
		if !foreign {
			kept = append(kept, entry)
		}
	}
	return kept
}

// process is a running postgres.
type process struct {
	cmd  *exec.Cmd
	said *lines
	done chan struct{} // closed when postgres has ended
	err  error         // how it ended; to be read after done
}

// launch starts the command and watches it. Its lines go to the logger.
func launch(cmd *exec.Cmd, logger *slog.Logger) (*process, error) {
	// A pipe of our own: Wait would close one of exec's under the reader.
	reader, writer, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	cmd.Stdout, cmd.Stderr = writer, writer
	p := &process{cmd: cmd, said: &lines{}, done: make(chan struct{})}
	read := make(chan struct{})
	go func() {
		defer close(read)
		p.said.follow(reader, logger)
	}()
	started := make(chan error, 1)
	go func() {
		// The kernel ties "tell me when my parent dies" to the thread that forked.
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := cmd.Start()
		writer.Close()
		started <- err
		if err == nil {
			p.err = cmd.Wait()
		}
		drain(read, reader)
		close(p.done)
	}()
	return p, <-started
}

// drain waits for the last lines, but not for a straggler that holds the pipe.
func drain(read <-chan struct{}, reader io.Closer) {
	patience := time.NewTimer(time.Second)
	defer patience.Stop()
	select {
	case <-read:
	case <-patience.C:
	}
	reader.Close()
}

// lines keeps the last lines a process wrote, for the sentence that explains its end.
type lines struct {
	mu   sync.Mutex
	last []string
}

const keptLines = 12

// follow reads until the end, or until the reader is closed.
func (l *lines) follow(reader io.Reader, logger *slog.Logger) {
	scanner := bufio.NewScanner(reader)
	scanner.Buffer(nil, 1<<20)
	for scanner.Scan() {
		line := strings.TrimSpace(scanner.Text())
		logger.Debug("postgres", "line", line)
		l.add(line)
	}
	// A line beyond all bounds ends the scanner, and nobody may block the writer.
	_, _ = io.Copy(io.Discard, reader)
}

func (l *lines) add(line string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.last) == keptLines {
		l.last = l.last[1:]
	}
	l.last = append(l.last, line)
}

// why is what PostgreSQL said last that matters: its complaints, or else its last line.
func (l *lines) why() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return complaint(l.last)
}

// complaint picks the lines that explain a failure.
func complaint(said []string) string {
	var bad []string
	for _, line := range said {
		for _, word := range []string{"FATAL:", "PANIC:", "error:", "HINT:", "DETAIL:"} {
			if strings.Contains(line, word) {
				bad = append(bad, line)
				break
			}
		}
	}
	if len(bad) == 0 && len(said) > 0 {
		bad = said[len(said)-1:]
	}
	return strings.Join(bad, "; ")
}
