// Package program runs the real Halfhour, built from this source, as a person
// would start it: on a free port, with a data folder of its own and the private
// PostgreSQL in it, or with a server that the test names.
package program

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// patience is how long a start or a stop may take on a busy machine.
const patience = 60 * time.Second

// Options say how the program is started.
type Options struct {
	Data     string   // the data folder; empty: a fresh one
	Database string   // DATABASE_URL; empty: the private PostgreSQL
	Listen   string   // where it listens, where people come by another address (HALFHOUR_BASE_URL); empty: a free port
	Args     []string // further arguments of serve, such as --demo
	Env      []string // further variables, such as HALFHOUR_SMTP_HOST=127.0.0.1
	Patience time.Duration
}

// Program is one run of Halfhour.
type Program struct {
	Address string        // where it answers: http://127.0.0.1:40123
	SetUp   string        // the one-time link that names the club; empty: there is a club already
	Ready   time.Duration // from the start to the first sound answer of /readyz

	t       testing.TB
	options Options
	command *exec.Cmd
	said    *said
	done    chan struct{} // closed when it has ended
	ended   error         // set before done closes
}

// Start builds the program once, starts it and waits until it is ready to answer.
// It is stopped with the test.
func Start(t testing.TB, o Options) *Program {
	t.Helper()
	if o.Data == "" {
		o.Data = Folder(t)
	}
	if o.Patience == 0 {
		o.Patience = patience
	}
	p := &Program{t: t, options: o, said: &said{}}
	p.begin()
	t.Cleanup(func() {
		p.Kill()
		if t.Failed() {
			t.Logf("the program said:\n%s", p.said)
		}
	})
	return p
}

// begin starts the program and waits for it.
func (p *Program) begin() {
	p.t.Helper()
	args := append([]string{"serve", "--listen=" + p.listen(), "--data=" + p.options.Data}, p.options.Args...)
	// Not bound to the test's own context: the program outlives a step of the test.
	p.command = exec.CommandContext(context.WithoutCancel(p.t.Context()), Binary(p.t), args...)
	p.command.Env = append(environment(p.options.Database), p.options.Env...)
	p.command.Stdout, p.command.Stderr = p.said, p.said
	began := time.Now()
	if err := p.command.Start(); err != nil {
		p.t.Fatal(err)
	}
	done := make(chan struct{})
	p.done = done
	go func() {
		p.ended = p.command.Wait()
		close(done)
	}()
	p.wait(began)
}

// listen is a free port at first, unless one is named, and the same one at every later
// start.
func (p *Program) listen() string {
	switch {
	case p.options.Listen != "":
		return p.options.Listen
	case p.Address == "":
		return Free(p.t)
	}
	return strings.TrimPrefix(p.Address, "http://")
}

// Free is an address on this machine where nobody listens. It lies below those that
// systems give away by themselves (from 32768 on Linux, from memory), so that nobody
// gets it while a program that had it starts again.
func Free(t testing.TB) string {
	t.Helper()
	for range 100 {
		at := "127.0.0.1:" + strconv.Itoa(20_000+rand.IntN(12_000))
		listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", at)
		if err != nil {
			continue
		}
		if err := listener.Close(); err != nil {
			t.Fatal(err)
		}
		return at
	}
	t.Fatal("no free address")
	return ""
}

// environment is what the program finds around it: nothing of ours but where
// programs are.
func environment(database string) []string {
	env := []string{"PATH=" + os.Getenv("PATH"), "HOME=" + os.TempDir()}
	for _, name := range []string{"HALFHOUR_PG_BIN", "TMPDIR"} {
		if value := os.Getenv(name); value != "" {
			env = append(env, name+"="+value)
		}
	}
	if database != "" {
		env = append(env, "DATABASE_URL="+database)
	}
	return env
}

// wait reads where the program answers and asks it until it is ready. It waits for
// the line of the log too: what is printed takes its own time to come here, and
// everything printed at the start stands before that line.
func (p *Program) wait(began time.Time) {
	p.t.Helper()
	address := regexp.MustCompile(`Halfhour is running[^\n]*: (https?://\S+)\n`)
	setUp := regexp.MustCompile(`(http://\S+/set-up/\S+)\n`)
	until := time.After(p.options.Patience)
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	for {
		if m := address.FindStringSubmatch(p.said.String()); m != nil {
			p.Address = m[1]
			if p.options.Listen != "" {
				p.Address = "http://" + p.options.Listen
			}
			if strings.Contains(p.said.String(), "msg=ready") && Answers(p.Address+"/readyz") {
				break
			}
		}
		select {
		case <-tick.C:
		case <-p.done:
			p.t.Fatalf("the program ended at its start: %v\n%s", p.ended, p.said)
		case <-until:
			p.t.Fatalf("the program was not ready within %s:\n%s", p.options.Patience, p.said)
		}
	}
	p.Ready = time.Since(began)
	if m := setUp.FindStringSubmatch(p.said.String()); m != nil {
		p.SetUp = m[1]
	}
}

// Answers says whether a GET of the address is answered with 200.
func Answers(address string) bool {
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return false
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return false
	}
	response.Body.Close()
	return response.StatusCode == http.StatusOK
}

// Kill ends the program as a power cut would: at once and without a word.
func (p *Program) Kill() {
	p.t.Helper()
	if err := p.command.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		p.t.Error(err)
	}
	<-p.done
}

// Stop asks the program to end and gives what it ended with; nil is status 0.
func (p *Program) Stop() error {
	p.t.Helper()
	if err := p.command.Process.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	select {
	case <-p.done:
		return p.ended
	case <-time.After(p.options.Patience):
		return fmt.Errorf("the program did not stop within %s", p.options.Patience)
	}
}

// Again starts the program anew at the same address with the same data.
func (p *Program) Again() {
	p.t.Helper()
	p.said.forget()
	p.begin()
}

// Said is what the program printed since its last start.
func (p *Program) Said() string { return p.said.String() }

// Data is the program's data folder.
func (p *Program) Data() string { return p.options.Data }

// PID is the number of the program's process.
func (p *Program) PID() int { return p.command.Process.Pid }

// Folder makes an empty folder that every account may pass through, as the
// database of root runs under another. It goes with the test.
func Folder(t testing.TB) string {
	t.Helper()
	root := os.TempDir()
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		root = "/dev/shm"
	}
	return folderIn(t, root)
}

// OnDisk is a Folder among the files of everybody, not in memory, for what is
// measured.
func OnDisk(t testing.TB) string { t.Helper(); return folderIn(t, os.TempDir()) }

func folderIn(t testing.TB, root string) string {
	t.Helper()
	dir, err := os.MkdirTemp(root, "halfhour-e2e-")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(dir); err != nil {
			t.Log(err)
		}
	})
	return filepath.Join(dir, "data")
}

// said collects what the program prints.
type said struct {
	mu  sync.Mutex
	all bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.Write(b)
}

// String is all of it so far.
func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.String()
}

func (s *said) forget() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all.Reset()
}
