package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// folder is the data folder: an absolute path without symbolic links.
type folder struct{ data string }

func (f folder) pgdata() string  { return filepath.Join(f.data, "pgdata") }
func (f folder) halfway() string { return filepath.Join(f.data, "pgdata.new") } // a cluster in the making
func (f folder) run() string     { return filepath.Join(f.data, "run") }

// makeFolder makes the data folder, open to its owner alone, and missing parents, open to
// all: the account that runs PostgreSQL has to pass through them.
func makeFolder(dir string) (real string, made bool, err error) {
	if dir == "" {
		return "", false, errors.New("no data folder is named")
	}
	abs, err := filepath.Abs(dir)
	if err == nil {
		err = makeParents(filepath.Dir(abs))
	}
	if err == nil {
		made, err = makeDir(abs, 0o700)
	}
	if err == nil {
		real, err = filepath.EvalSymlinks(abs)
	}
	if err != nil {
		return "", false, fmt.Errorf("the data folder %s cannot be made: %w", dir, err)
	}
	return real, made, nil
}

func makeParents(dir string) error {
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := makeParents(filepath.Dir(dir)); err != nil {
		return err
	}
	_, err := makeDir(dir, 0o755)
	return err
}

// makeDir makes a folder with exactly this mode, whatever the umask; one that is
// there already is left as it is.
func makeDir(dir string, mode fs.FileMode) (made bool, err error) {
	err = os.Mkdir(dir, mode)
	if err == nil {
		return true, os.Chmod(dir, mode)
	}
	info, statErr := os.Stat(dir)
	if statErr == nil && info.IsDir() {
		return false, nil
	}
	return false, err
}

// major is the major version of PostgreSQL that made the cluster; 0 when there is none.
func (f folder) major() (int, error) {
	text, err := os.ReadFile(filepath.Join(f.pgdata(), "PG_VERSION"))
	if err == nil {
		major, err := strconv.Atoi(strings.TrimSpace(string(text)))
		if err != nil {
			return 0, fmt.Errorf("%s does not hold a version: %q", filepath.Join(f.pgdata(), "PG_VERSION"), text)
		}
		return major, nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("the database in %s cannot be read: %w", f.pgdata(), err)
	}
	entries, err := os.ReadDir(f.pgdata())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("the database in %s cannot be read: %w", f.pgdata(), err)
	}
	if len(entries) > 0 {
		return 0, fmt.Errorf("%s holds files but no database (PG_VERSION is missing). Move it away, or choose another data folder", f.pgdata())
	}
	return 0, nil
}

// owner is who owns the cluster; false when there is none.
func (f folder) owner() (uid int, owned bool, err error) {
	info, err := os.Stat(f.pgdata())
	if errors.Is(err, fs.ErrNotExist) {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, fmt.Errorf("the database in %s cannot be read: %w", f.pgdata(), err)
	}
	// Where we may not look, there is one: somebody else's.
	if _, err := os.Stat(filepath.Join(f.pgdata(), "PG_VERSION")); errors.Is(err, fs.ErrNotExist) {
		return 0, false, nil
	}
	stat, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return os.Geteuid(), true, nil
	}
	return int(stat.Uid), true, nil
}

// open lets the account into the data folder and finds out whether it gets there.
func (f folder) open(ctx context.Context, hold *Hold, acc account, bin binary) error {
	if err := f.give(hold, acc); err != nil {
		return fmt.Errorf("the data folder %s cannot be given to %s: %w", f.data, acc.name, err)
	}
	closed := closedFolder(f.data, acc)
	// Modes are not all: a list of access rights may open what the mode closes.
	if closed == "" || bin.runsIn(ctx, f.data, acc) {
		return nil
	}
	return fmt.Errorf("the account %s, which runs the database, cannot pass through the folder %s. "+
		"Open it (chmod a+x %s) or choose a data folder elsewhere, such as /var/lib/halfhour", acc.name, closed, closed)
}

// give hands the folder to the account where root made it. A folder that was there
// before and holds other things stays its owner's.
func (f folder) give(hold *Hold, acc account) error {
	if !acc.change {
		return nil
	}
	fresh, err := f.fresh()
	if err != nil {
		return err
	}
	fresh = fresh || hold.made
	if err := hold.file.Chown(acc.uid, acc.gids[0]); err != nil {
		return err
	}
	if !fresh {
		return nil
	}
	return os.Lchown(f.data, acc.uid, acc.gids[0])
}

// fresh tells whether root owns the data folder and it holds nothing but the lock.
func (f folder) fresh() (bool, error) {
	info, err := os.Stat(f.data)
	if err != nil {
		return false, err
	}
	if stat, ok := info.Sys().(*syscall.Stat_t); ok && stat.Uid != 0 {
		return false, nil
	}
	entries, err := os.ReadDir(f.data)
	return len(entries) == 1, err
}

// closedFolder is the outermost folder on the way to dir that the account may
// not enter by its mode; empty when the way is free.
func closedFolder(dir string, acc account) string {
	if parent := filepath.Dir(dir); parent != dir {
		if closed := closedFolder(parent, acc); closed != "" {
			return closed
		}
	}
	info, err := os.Stat(dir)
	if err == nil && !acc.mayEnter(info) {
		return dir
	}
	return ""
}
