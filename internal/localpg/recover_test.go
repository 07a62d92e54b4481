package localpg

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestASecondProcessIsRefused(t *testing.T) {
	dir := made(t)
	first := other(t, dir, nil)
	first.postmaster(t)

	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorIs(t, err, ErrInUse)
	require.ErrorContains(t, err, fmt.Sprintf("process %d", first.cmd.Process.Pid))
	require.ErrorContains(t, err, dir)

	third := other(t, dir, nil)
	require.Contains(t, third.said, "refused: the data folder is in use")
	addr, err := Attach(t.Context(), dir)
	require.NoError(t, err)
	require.Equal(t, 1, query[int](t, addr.URL(Database), "select 1"), "the first is not disturbed")

	require.NoError(t, first.stdin.Close())
	require.NoError(t, first.cmd.Wait())
	start(t, dir)
}

func TestKilledProgram(t *testing.T) {
	dir := made(t)
	killed := other(t, dir, nil)
	pid := killed.postmaster(t)
	addr, err := Attach(t.Context(), dir)
	require.NoError(t, err)
	run(t, addr.URL(Database), "create table kept (n int)", "insert into kept values (7)")

	require.NoError(t, killed.cmd.Process.Signal(syscall.SIGKILL))
	require.Error(t, killed.cmd.Wait())
	began := time.Now()
	srv := start(t, dir)
	t.Logf("start at once after the program was killed: %s", time.Since(began).Round(time.Millisecond))
	require.NotEqual(t, pid, srv.process.cmd.Process.Pid)
	require.Equal(t, 7, query[int](t, srv.URL(Database), "select n from kept"))
}

func TestTheDatabaseDoesNotOutliveTheProgram(t *testing.T) {
	if _, known := living("/"); !known {
		t.Skip("only Linux ends the child of a killed program")
	}
	dir := made(t)
	killed := other(t, dir, nil)
	killed.postmaster(t)
	require.NoError(t, killed.cmd.Process.Signal(syscall.SIGKILL))
	gone(t, dir)
	require.NoFileExists(t, folder{data: dir}.pidFile(), "it ended in order")
}

func TestKilledProgramAndDatabase(t *testing.T) {
	dir := made(t)
	killed := other(t, dir, nil)
	pid := killed.postmaster(t)
	addr, err := Attach(t.Context(), dir)
	require.NoError(t, err)
	run(t, addr.URL(Database), "create table kept (n int)", "insert into kept values (7)")

	// The database first: it would end in order when it saw the program go.
	require.NoError(t, syscall.Kill(pid, syscall.SIGKILL))
	require.NoError(t, killed.cmd.Process.Signal(syscall.SIGKILL))
	require.Error(t, killed.cmd.Wait())
	require.FileExists(t, folder{data: dir}.pidFile(), "it did not end in order")
	began := time.Now()
	srv := start(t, dir)
	t.Logf("start at once after both were killed: %s", time.Since(began).Round(time.Millisecond))
	require.Equal(t, 7, query[int](t, srv.URL(Database), "select n from kept"))
}

func TestKilledDuringTheFirstStart(t *testing.T) {
	dir := filepath.Join(place(t), "data")
	cmd := exec.Command("/proc/self/exe")
	cmd.Env = append(os.Environ(), helperEnv+"="+dir)
	require.NoError(t, cmd.Start())
	require.Eventually(t, func() bool {
		_, err := os.Stat(filepath.Join(folder{data: dir}.halfway(), "base"))
		return err == nil
	}, 10*time.Second, time.Millisecond)
	require.NoError(t, cmd.Process.Kill())
	require.Error(t, cmd.Wait())
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
	require.NoDirExists(t, folder{data: dir}.halfway())
}

// orphan starts postgres so that it does not end with anybody.
func orphan(t *testing.T, dir string) *exec.Cmd {
	t.Helper()
	f := folder{data: dir}
	acc, err := chooseAccount(f)
	require.NoError(t, err)
	bin, err := find(t.Context(), "", 0, acc)
	require.NoError(t, err)
	sock, err := f.socket(acc)
	require.NoError(t, err)
	cmd := exec.Command(bin.postgres(), plan{folder: f, socket: sock, binary: bin, test: true}.arguments()...)
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: acc.credential(), Setpgid: true}
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	require.Eventually(t, func() bool {
		_, err := Attach(t.Context(), dir)
		return err == nil
	}, 10*time.Second, 5*time.Millisecond)
	return cmd
}

func TestAnOrphanIsEnded(t *testing.T) {
	dir := made(t)
	cmd := orphan(t, dir)
	began := time.Now()
	srv := start(t, dir)
	t.Logf("start with an orphan in the way: %s", time.Since(began).Round(time.Millisecond))
	require.NoError(t, cmd.Wait(), "ended in order")
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestAStuckOrphanIsEndedAtOnce(t *testing.T) {
	dir := made(t)
	cmd := orphan(t, dir)
	// A number that is not the postmaster's: nobody to ask gently.
	require.NoError(t, overwritePid(dir, os.Getpid()))
	srv := start(t, dir)
	require.NoError(t, cmd.Wait(), "the orphan is gone")
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

// overwritePid changes the process number that a cut-short run left.
func overwritePid(dir string, pid int) error {
	path := folder{data: dir}.pidFile()
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	_, rest, _ := bytes.Cut(text, []byte("\n"))
	return os.WriteFile(path, append([]byte(strconv.Itoa(pid)+"\n"), rest...), 0o600)
}

// cutShort is a data folder whose database was killed.
func cutShort(t *testing.T) string {
	t.Helper()
	dir := made(t)
	cmd := orphan(t, dir)
	require.NoError(t, cmd.Process.Kill())
	require.Error(t, cmd.Wait())
	gone(t, dir)
	return dir
}

// stranger is a living process of the account that runs the database, and no database.
func stranger(t *testing.T, dir string) int {
	t.Helper()
	acc, err := chooseAccount(folder{data: dir})
	require.NoError(t, err)
	cmd := exec.Command("cat")
	cmd.Dir = folder{data: dir}.pgdata() // even there, like a person's shell
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: acc.credential()}
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		require.NoError(t, stdin.Close())
		require.NoError(t, cmd.Wait(), "the stranger was left alone")
	})
	return cmd.Process.Pid
}

func TestAStalePidOfAStranger(t *testing.T) {
	dir := cutShort(t)
	require.NoError(t, overwritePid(dir, stranger(t, dir)))
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestAStalePidOfAZombie(t *testing.T) {
	dir := cutShort(t)
	acc, err := chooseAccount(folder{data: dir})
	require.NoError(t, err)
	cmd := exec.Command("true")
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: acc.credential()}
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Wait() }) // until then nobody reaps it
	require.Eventually(t, func() bool {
		stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", cmd.Process.Pid))
		return err == nil && strings.Contains(string(stat), ") Z ")
	}, 10*time.Second, time.Millisecond)
	require.NoError(t, overwritePid(dir, cmd.Process.Pid))
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestAnUnreadablePidFile(t *testing.T) {
	dir := cutShort(t)
	require.NoError(t, os.WriteFile(folder{data: dir}.pidFile(), []byte("\x00\x00"), 0o600))
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestADatabaseThatEndsByItself(t *testing.T) {
	dir := made(t)
	srv, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.NoError(t, err)
	require.NoError(t, srv.Err())
	require.NoError(t, srv.process.cmd.Process.Kill())
	select {
	case <-srv.Done():
	case <-t.Context().Done():
	}
	require.ErrorContains(t, srv.Err(), "ended by itself (signal: killed)")
	require.NoError(t, srv.Stop(context.Background()))
	require.Error(t, srv.Err(), "a later Stop does not hide it")
	start(t, dir)
}
