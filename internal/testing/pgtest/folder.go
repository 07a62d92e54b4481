package pgtest

import (
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"halfhour.app/halfhour/internal/localpg"
)

// roomy is the free memory from which on the databases live there: a container often has 64 MB.
const roomy = 1 << 30

// freshFolder makes a folder for the server, in memory where there is room. It is open to
// pass through: under root the database is run by another account. Folders that an earlier
// run of the same package left, by a failed test or a kill, are removed.
func freshFolder() (string, error) {
	root := os.TempDir()
	var fs syscall.Statfs_t
	if syscall.Statfs("/dev/shm", &fs) == nil && uint64(fs.Bavail)*uint64(fs.Bsize) >= roomy {
		root = "/dev/shm"
	}
	here, err := os.Getwd() // the folder of the package, in a test
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(here))
	prefix := fmt.Sprintf("halfhour-test-%d-%x-", os.Geteuid(), sum[:4])
	if err := sweep(filepath.Join(root, prefix)); err != nil {
		return "", err
	}
	dir, err := os.MkdirTemp(root, prefix)
	if err != nil {
		return "", err
	}
	return dir, os.Chmod(dir, 0o755)
}

// sweep removes the folders of this prefix that nobody holds.
func sweep(prefix string) error {
	locks, err := filepath.Glob(prefix + "*/data/lock")
	if err != nil {
		return err
	}
	for _, lock := range locks {
		data := filepath.Dir(lock)
		hold, err := localpg.Lock(data)
		if err != nil {
			continue // another run of the same package
		}
		err = removeFolder(filepath.Dir(data))
		hold.Release()
		if err != nil {
			return err
		}
	}
	return nil
}

func removeFolder(dir string) error {
	if err := os.RemoveAll(dir); err != nil {
		return fmt.Errorf("the folder of the tests' database stays behind: %w", err)
	}
	return nil
}
