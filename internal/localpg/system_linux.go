package localpg

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
)

// longestSocket is how long the path of a socket may be: 108 bytes with a zero at the end.
const longestSocket = 107

// attributes put a child into a process group of its own, so that Ctrl-C reaches it through
// us in the right order, and make the kernel end it when we are killed.
func attributes(cred *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Credential: cred, Setpgid: true, Pdeathsig: syscall.SIGINT}
}

// living lists the processes of PostgreSQL that work in the folder; known tells whether this
// system can say so. Each of them keeps the cluster as its working folder, and a process
// that has ended and is only not reaped yet has none.
func living(dir string) (pids []int, known bool) {
	target, err := os.Stat(dir)
	if err != nil {
		return nil, true
	}
	procs, err := filepath.Glob("/proc/[0-9]*")
	if err != nil || len(procs) == 0 {
		return nil, false
	}
	for _, proc := range procs {
		pid, err := strconv.Atoi(filepath.Base(proc))
		if err != nil {
			continue
		}
		cwd, err := os.Stat(proc + "/cwd")
		if err == nil && os.SameFile(cwd, target) && isPostgres(proc) {
			pids = append(pids, pid)
		}
	}
	slices.Sort(pids)
	return pids, true
}

// isPostgres keeps a person's shell in the folder out of it.
func isPostgres(proc string) bool {
	text, err := os.ReadFile(proc + "/comm")
	name := string(text)
	return err == nil && (strings.Contains(name, "postgres") || strings.Contains(name, "postmaster") || strings.Contains(name, "initdb"))
}
