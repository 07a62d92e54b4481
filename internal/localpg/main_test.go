package localpg

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// helperEnv names the data folder when the test binary is to play the program itself.
const helperEnv = "LOCALPG_TEST_FOLDER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(helperEnv); dir != "" {
		os.Exit(helper(dir))
	}
	code := m.Run()
	if dir, _ := seed(); dir != "" {
		_ = os.RemoveAll(dir)
	}
	os.Exit(code)
}

// seed is a data folder with a cluster at rest, made once and then copied.
var seed = sync.OnceValues(func() (string, error) {
	dir, err := openFolder()
	if err != nil {
		return "", err
	}
	srv, err := Start(context.Background(), Config{Dir: filepath.Join(dir, "data"), Test: true})
	if err != nil {
		return dir, err
	}
	return dir, srv.Stop(context.Background())
})

// helper starts the database, says so, and stops it when its input ends.
func helper(dir string) int {
	srv, err := Start(context.Background(), Config{Dir: dir})
	if err != nil {
		fmt.Println("refused:", err)
		return 1
	}
	fmt.Println("ready", srv.process.cmd.Process.Pid)
	_, _ = io.Copy(io.Discard, os.Stdin)
	if err := srv.Stop(context.Background()); err != nil {
		fmt.Println("stop:", err)
		return 1
	}
	return 0
}

// program is another Halfhour, a process of its own.
type program struct {
	cmd   *exec.Cmd
	said  string // its first line
	stdin io.Closer
}

// other starts another Halfhour on the folder and waits for its first line.
func other(t *testing.T, dir string, attr *syscall.SysProcAttr) *program {
	t.Helper()
	cmd := exec.Command("/proc/self/exe")
	if _, err := os.Stat("/proc/self/exe"); err != nil {
		cmd = exec.Command(os.Args[0])
	}
	cmd.Env = append(os.Environ(), helperEnv+"="+dir)
	cmd.Dir = "/"
	cmd.SysProcAttr = attr
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	require.NoError(t, err)
	stdout, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	line, err := bufio.NewReader(stdout).ReadString('\n')
	require.NoError(t, err)
	return &program{cmd: cmd, said: strings.TrimSpace(line), stdin: stdin}
}

// postmaster is the process number of the other program's database.
func (p *program) postmaster(t *testing.T) int {
	t.Helper()
	var pid int
	_, err := fmt.Sscanf(p.said, "ready %d", &pid)
	require.NoError(t, err, p.said)
	return pid
}

// place is an empty folder that every account may pass through, gone after the test.
func place(t *testing.T) string {
	t.Helper()
	dir, err := openFolder()
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	return dir
}

// openFolder makes a folder in memory where there is such a place. The folders of testing.T
// are closed to all but one account, which the account of the database may not be.
func openFolder() (string, error) {
	root := "/dev/shm"
	if _, err := os.Stat(root); err != nil {
		root = "/tmp"
	}
	dir, err := os.MkdirTemp(root, "hh-localpg-")
	if err != nil {
		return "", err
	}
	return dir, os.Chmod(dir, 0o755)
}

// start brings a database up and stops it after the test.
func start(t *testing.T, dir string) *Server {
	t.Helper()
	srv, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, srv.Stop(context.Background())) })
	return srv
}

// made is a data folder of the test's own with a cluster at rest.
func made(t *testing.T) string {
	t.Helper()
	from, err := seed()
	require.NoError(t, err)
	dir := filepath.Join(place(t), "data")
	out, err := exec.Command("cp", "-a", filepath.Join(from, "data"), dir).CombinedOutput()
	require.NoError(t, err, string(out))
	return dir
}

// query gives one value of the database.
func query[T any](t *testing.T, url, sql string) T {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	require.NoError(t, err)
	defer conn.Close(context.Background())
	rows, err := conn.Query(t.Context(), sql)
	require.NoError(t, err)
	v, err := pgx.CollectExactlyOneRow(rows, pgx.RowTo[T])
	require.NoError(t, err)
	return v
}

// run runs statements that give nothing back.
func run(t *testing.T, url string, statements ...string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	require.NoError(t, err)
	defer conn.Close(context.Background())
	for _, sql := range statements {
		_, err := conn.Exec(t.Context(), sql)
		require.NoError(t, err, sql)
	}
}

// gone waits until no process of PostgreSQL works in the folder.
func gone(t *testing.T, dir string) {
	t.Helper()
	require.Eventually(t, func() bool {
		pids, known := living(folder{data: dir}.pgdata())
		return known && len(pids) == 0
	}, 10*time.Second, 5*time.Millisecond)
}

// needRoot leaves a test out where only root can set its scene.
func needRoot(t *testing.T) {
	t.Helper()
	if os.Geteuid() != 0 {
		t.Skip("only root can become another account")
	}
}
