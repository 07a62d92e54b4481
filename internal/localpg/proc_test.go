package localpg

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// networkSockets are the inodes of all TCP sockets of the machine.
func networkSockets(t *testing.T) []string {
	t.Helper()
	var inodes []string
	for _, table := range []string{"/proc/net/tcp", "/proc/net/tcp6"} {
		text, err := os.ReadFile(table)
		if os.IsNotExist(err) {
			continue
		}
		require.NoError(t, err)
		for _, line := range strings.Split(string(text), "\n")[1:] {
			if fields := strings.Fields(line); len(fields) > 9 {
				inodes = append(inodes, fields[9])
			}
		}
	}
	return inodes
}

// socketsOf are the inodes of the sockets of any kind that the process holds.
func socketsOf(t *testing.T, pid int) []string {
	t.Helper()
	fds, err := filepath.Glob(fmt.Sprintf("/proc/%d/fd/*", pid))
	require.NoError(t, err)
	var inodes []string
	for _, fd := range fds {
		target, err := os.Readlink(fd)
		if err != nil {
			continue // closed meanwhile
		}
		if inode, ok := strings.CutPrefix(target, "socket:["); ok {
			inodes = append(inodes, strings.TrimSuffix(inode, "]"))
		}
	}
	return inodes
}

// The goal for the idle memory of the database is 40 MB, its share of shared pages counted once.
func TestIdleMemory(t *testing.T) {
	if _, err := os.Stat("/proc/self/smaps_rollup"); err != nil {
		t.Skip("the memory of a process is not told here")
	}
	dir := filepath.Join(place(t), "data")
	srv, err := Start(t.Context(), Config{Dir: dir})
	require.NoError(t, err)
	t.Logf("alone: %d kB", memory(t, dir))

	run(t, srv.URL(Database), "create table session (id int primary key, body text)",
		"insert into session select n, repeat('x', 1000) from generate_series(1, 20000) n", "analyze")
	for range 4 { // a pool at rest that has worked
		conn, err := pgx.Connect(t.Context(), srv.URL(Database))
		require.NoError(t, err)
		defer conn.Close(t.Context())
		var rows int
		require.NoError(t, conn.QueryRow(t.Context(), "select count(*) from session where body like '%x%'").Scan(&rows))
		require.Equal(t, 20000, rows)
	}
	after := memory(t, dir)
	t.Logf("after 20 MB of rows, with four connections: %d kB", after)
	require.LessOrEqual(t, after, 40*1024)
	require.NoError(t, srv.Stop(t.Context()))
}

// memory is the sum of the proportional set sizes of the database's processes, in kB.
func memory(t *testing.T, dir string) int {
	t.Helper()
	pids, _ := living(folder{data: dir}.pgdata())
	require.NotEmpty(t, pids)
	sum := 0
	for _, pid := range pids {
		text, err := os.ReadFile(fmt.Sprintf("/proc/%d/smaps_rollup", pid))
		if err != nil {
			require.NotEqual(t, pids[0], pid, "the postmaster stays")
			continue // a passing worker
		}
		for _, line := range strings.Split(string(text), "\n") {
			var kb int
			if _, err := fmt.Sscanf(line, "Pss: %d kB", &kb); err == nil {
				sum += kb
			}
		}
	}
	return sum
}
