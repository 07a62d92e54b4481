package localpg

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// Hold is the right to use a data folder. The kernel takes it back when the
// program ends, even by kill -9.
type Hold struct {
	dir  string // absolute, without symbolic links
	made bool   // the folder was not there before
	file *os.File
}

// Lock makes the data folder when it is missing and takes it for this program.
// ErrInUse when another program has it.
func Lock(dir string) (*Hold, error) {
	real, made, err := makeFolder(dir)
	if err != nil {
		return nil, err
	}
	// Not through a symbolic link: the folder may belong to an account less
	// trusted than the one that opens this file.
	path := filepath.Join(real, "lock")
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|syscall.O_NOFOLLOW, 0o600)
	if err != nil {
		return nil, fmt.Errorf("the data folder %s cannot be used: %w", real, err)
	}
	err = syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		defer file.Close()
		return nil, fmt.Errorf("%w: another Halfhour%s has %s", ErrInUse, holder(file), real)
	}
	if err != nil {
		file.Close()
		return nil, fmt.Errorf("the data folder %s cannot be locked: %w", real, err)
	}
	if err := sign(file); err != nil {
		file.Close()
		return nil, fmt.Errorf("the data folder %s cannot be written: %w", real, err)
	}
	return &Hold{dir: real, made: made, file: file}, nil
}

// Dir is the data folder as an absolute path without symbolic links.
func (h *Hold) Dir() string { return h.dir }

// Release gives the folder back. The file stays: removing it would let two
// programs hold two files of the same name.
func (h *Hold) Release() { h.file.Close() }

// sign writes the number of this process into the lock, for the one who meets it.
func sign(file *os.File) error {
	if err := file.Truncate(0); err != nil {
		return err
	}
	_, err := file.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	return err
}

// holder names the process in the lock, or is empty when it has not signed yet.
func holder(file *os.File) string {
	text, err := io.ReadAll(io.LimitReader(file, 32))
	if err != nil {
		return ""
	}
	pid, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" (process %d)", pid)
}
