package e2e

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/testing/program"
)

// A full disk: reading goes on, a session that cannot be stored is told so and kept
// on the page, nothing is half stored; with room again all goes on where it was,
// also when the program was killed meanwhile.
func TestAFullDisk(t *testing.T) {
	t.Parallel()
	disk := smallDisk(t)
	c := newClub(t, program.Options{Data: filepath.Join(disk, "data")})
	_, link := c.add("Ines Okafor", "L1")
	phone := c.phone(link)
	// The first session of all: no page of its table is there yet, so storing it
	// takes room.
	form := session(t, phone, 1, "07:10")
	ballast := filepath.Join(disk, "ballast")
	fill(t, ballast)
	failed := form.Send()
	helpful(t, failed, 503, "what you typed is not lost")
	require.NotContains(t, failed.Body, "No space left", "that is for the log")
	require.Eventually(t, func() bool { return strings.Contains(c.Said(), "No space left on device") }, 10*time.Second, 10*time.Millisecond,
		"its log comes by a pipe, a moment later")
	require.Equal(t, 200, phone.Get("/today").Status)
	require.Equal(t, 200, c.coach.Get("/roster").Status)

	c.Kill()
	require.NoError(t, os.Remove(ballast))
	c.Again()
	require.Zero(t, c.count("select count(*) from session"), "nothing is half stored")
	page := failed.Form("main form").Send()
	require.Regexp(t, `^/today\?said=logged&at=\d+$`, page.Path, page)
	require.Equal(t, 1, c.count("select count(*) from session"))
}

// smallDisk is a file system of its own that is soon full. Only who may mount one
// can try that.
func smallDisk(t *testing.T) string {
	t.Helper()
	disk, err := os.MkdirTemp("", "halfhour-disk-")
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, os.Remove(disk)) })
	err = syscall.Mount("halfhour", disk, "tmpfs", 0, "size=96m,mode=755")
	if errors.Is(err, syscall.EPERM) {
		t.Skip("no right to mount a small file system here")
	}
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(disk, syscall.MNT_DETACH)) })
	return disk
}

// fill writes the file until nothing more fits.
func fill(t *testing.T, file string) {
	t.Helper()
	out, err := os.Create(file)
	require.NoError(t, err)
	defer out.Close()
	_, err = io.Copy(out, &spring{left: 1 << 40})
	require.ErrorIs(t, err, syscall.ENOSPC)
}
