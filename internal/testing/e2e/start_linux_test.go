package e2e

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
	"halfhour.app/halfhour/internal/testing/visitor"
)

// The time from the start of the program to its first page, whole: on an empty
// folder to the page that names a club; with the demo to its roster, the coach's
// sign-in included, the first time and again with the same folder. Then what
// program and private database take up, after some pages and with nothing to do.
//
// Goals: 3 s, 20 s, 0.5 s; 60 MB and 40 MB.
func BenchmarkStart(b *testing.B) {
	program.Binary(b)
	b.Run("cold/empty", func(b *testing.B) {
		for b.Loop() {
			p := program.Start(b, program.Options{Data: program.OnDisk(b)})
			report(b, p.Ready+page(b, visitor.New(b, p.Address), p.SetUp))
			end(b, p)
		}
	})
	b.Run("cold/demo", func(b *testing.B) {
		for b.Loop() {
			p := program.Start(b, program.Options{Data: program.OnDisk(b), Args: []string{"--demo"}})
			report(b, p.Ready+toRoster(b, visitor.New(b, p.Address), p))
			end(b, p)
		}
	})
	b.Run("warm/demo", func(b *testing.B) {
		kept := program.Start(b, program.Options{Data: program.OnDisk(b), Args: []string{"--demo"}})
		var coach *visitor.Visitor
		for b.Loop() {
			end(b, kept)
			kept.Again()
			coach = visitor.New(b, kept.Address)
			report(b, kept.Ready+toRoster(b, coach, kept))
		}
		for range 20 {
			page(b, coach, "/roster")
		}
		b.ReportMetric(resident(b, kept.PID()), "program-RSS-MB")
		b.ReportMetric(shared(b, database(b, kept.Data())), "postgres-PSS-MB")
	})
}

// report gives the time of the newest round.
func report(b *testing.B, took time.Duration) {
	b.ReportMetric(float64(took.Milliseconds()), "ms-to-first-page")
	b.ReportMetric(0, "ns/op") // stopping takes its time too, which is not what is asked
}

// page is how long a page takes.
func page(b *testing.B, v *visitor.Visitor, where string) time.Duration {
	b.Helper()
	began := time.Now()
	require.Equal(b, 200, v.Get(where).Status)
	return time.Since(began)
}

// toRoster is how long it takes the demo's coach to come to the roster.
func toRoster(b *testing.B, v *visitor.Visitor, p *program.Program) time.Duration {
	b.Helper()
	m := regexp.MustCompile(`signs in with (\S+) and the password "([^"]+)"`).FindStringSubmatch(p.Said())
	require.NotNil(b, m, p.Said())
	began := time.Now()
	at := v.Get("/sign-in").Form("form.card").Set("email", m[1], "password", m[2]).Send()
	require.Equal(b, "/roster", at.Path, at)
	return time.Since(began)
}

func end(b *testing.B, p *program.Program) {
	b.Helper()
	require.NoError(b, p.Stop())
}

// resident is the memory of a process that is in use, in MB.
func resident(b *testing.B, pid int) float64 {
	b.Helper()
	return field(b, pid, "status", "VmRSS:")
}

// shared is the memory of processes in MB, what they share counted once.
func shared(b *testing.B, pids []int) (mb float64) {
	b.Helper()
	for _, pid := range pids {
		mb += field(b, pid, "smaps_rollup", "Pss:")
	}
	return mb
}

// field is a line of a file of /proc, told there in kB.
func field(b *testing.B, pid int, file, name string) float64 {
	b.Helper()
	in, err := os.Open(fmt.Sprintf("/proc/%d/%s", pid, file))
	require.NoError(b, err)
	defer in.Close()
	for lines := bufio.NewScanner(in); lines.Scan(); {
		if rest, ok := strings.CutPrefix(lines.Text(), name); ok {
			kb, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSpace(rest), " kB"))
			require.NoError(b, err)
			return float64(kb*1024) / 1e6
		}
	}
	b.Fatalf("no %s in %s of %d", name, file, pid)
	return 0
}

// database are the processes of the private PostgreSQL: the first and its children.
func database(b *testing.B, data string) []int {
	b.Helper()
	noted, err := os.ReadFile(filepath.Join(data, "pgdata", "postmaster.pid"))
	require.NoError(b, err)
	first, _, _ := strings.Cut(string(noted), "\n")
	pid, err := strconv.Atoi(first)
	require.NoError(b, err)
	children, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", pid, pid))
	require.NoError(b, err)
	pids := []int{pid}
	for _, child := range strings.Fields(string(children)) {
		n, err := strconv.Atoi(child)
		require.NoError(b, err)
		pids = append(pids, n)
	}
	return pids
}
