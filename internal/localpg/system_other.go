//go:build !linux

package localpg

import "syscall"

// longestSocket is how long the path of a socket may be: 104 bytes with a zero at the end.
const longestSocket = 103

// attributes put a child into a process group of its own, so that Ctrl-C reaches it through
// us in the right order. Only Linux can end it when we are killed.
func attributes(cred *syscall.Credential) *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Credential: cred, Setpgid: true}
}

// living cannot be told without /proc.
func living(string) (pids []int, known bool) { return nil, false }
