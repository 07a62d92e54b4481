package localpg

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// binary is one PostgreSQL of this machine.
type binary struct {
	dir    string // holds postgres and initdb
	major  int
	unripe bool // a beta or a developer's build, whose data no later version reads
}

func (b binary) postgres() string { return filepath.Join(b.dir, "postgres") }
func (b binary) initdb() string   { return filepath.Join(b.dir, "initdb") }

// places is where PostgreSQL lives when it is not on the path: Debian and Ubuntu,
// the PostgreSQL project's RPMs, Alpine, Homebrew on both kinds of Mac, Postgres.app,
// and its own default.
func places() []string {
	return []string{
		"/usr/lib/postgresql/*/bin",
		"/usr/pgsql-*/bin",
		"/usr/libexec/postgresql*",
		"/opt/homebrew/opt/postgresql@*/bin",
		"/usr/local/opt/postgresql@*/bin",
		"/Applications/Postgres.app/Contents/Versions/*/bin",
		"/usr/local/pgsql/bin",
	}
}

// find is the PostgreSQL to use: one that reads data of this major version, or with
// 0, for a new database, the newest. A folder named in binDir is the only one looked at.
func find(ctx context.Context, binDir string, major int, acc account) (binary, error) {
	dirs := candidates(places())
	if binDir != "" {
		if err := complete(binDir, acc); err != nil {
			return binary{}, err
		}
		dirs = []string{binDir}
	}
	var found []binary
	for _, dir := range dirs {
		bin, err := inspect(ctx, dir, acc)
		if err != nil && binDir != "" {
			return binary{}, err
		}
		if err != nil {
			continue
		}
		if major != 0 && bin.major == major {
			return bin, nil
		}
		found = append(found, bin)
	}
	if major != 0 {
		return binary{}, wrongMajor(major, found, binDir)
	}
	return newest(found, binDir != "")
}

// Tool is the path of another program of the PostgreSQL that runs, or would run, in this data
// folder, such as pg_dump. It changes nothing and takes no lock.
func Tool(ctx context.Context, cfg Config, name string) (string, error) {
	dir, err := filepath.Abs(cfg.Dir)
	if err != nil {
		return "", err
	}
	f := folder{data: dir}
	acc, err := chooseAccount(f)
	if err != nil {
		return "", err
	}
	major, err := f.major()
	if err != nil {
		return "", err
	}
	bin, err := find(ctx, cfg.BinDir, major, acc)
	if err != nil {
		return "", err
	}
	path := filepath.Join(bin.dir, name)
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("%s is not installed beside PostgreSQL: %w", name, err)
	}
	return path, nil
}

// candidates are the folders that hold a postgres: first the one on the path with links
// resolved (its companions lie beside the real file), then the places.
func candidates(patterns []string) []string {
	var dirs []string
	if path, err := exec.LookPath("postgres"); err == nil {
		if real, err := filepath.EvalSymlinks(path); err == nil {
			dirs = append(dirs, filepath.Dir(real))
		}
	}
	for _, pattern := range patterns {
		matches, _ := filepath.Glob(pattern) // the patterns are well formed
		slices.SortStableFunc(matches, func(a, b string) int { return cmp.Compare(numberIn(b), numberIn(a)) })
		dirs = append(dirs, matches...)
	}
	return dirs
}

// numberIn is the last whole number in a path, the version where a folder is named after it.
func numberIn(path string) int {
	all := regexp.MustCompile(`\d+`).FindAllString(path, -1)
	if len(all) == 0 {
		return 0
	}
	n, _ := strconv.Atoi(all[len(all)-1]) // too long a number counts as none
	return n
}

// complete tells a person who named a folder what is wrong with it.
func complete(dir string, acc account) error {
	for _, name := range []string{"postgres", "initdb"} {
		_, err := os.Stat(filepath.Join(dir, name))
		if errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("HALFHOUR_PG_BIN names %s, which does not hold %s", dir, name)
		}
		if err != nil {
			return fmt.Errorf("HALFHOUR_PG_BIN names %s, which cannot be read: %w", dir, err)
		}
	}
	real, err := filepath.EvalSymlinks(dir)
	if err != nil {
		return fmt.Errorf("HALFHOUR_PG_BIN names %s, which cannot be read: %w", dir, err)
	}
	if closed := closedFolder(real, acc); closed != "" {
		return fmt.Errorf("HALFHOUR_PG_BIN names %s, and the account %s, which runs the database, cannot pass through the folder %s",
			dir, acc.name, closed)
	}
	return nil
}

// inspect asks the postgres in the folder for its version, as the account that is to run it.
func inspect(ctx context.Context, dir string, acc account) (binary, error) {
	bin := binary{dir: dir}
	if _, err := os.Stat(bin.initdb()); err != nil {
		return binary{}, err
	}
	out, err := command(ctx, acc, "/", bin.postgres(), "--version").Output()
	if err != nil {
		return binary{}, fmt.Errorf("%s does not run: %w", bin.postgres(), err)
	}
	if bin.major, bin.unripe, err = readVersion(string(out)); err != nil {
		return binary{}, fmt.Errorf("%s: %w", bin.postgres(), err)
	}
	return bin, nil
}

// readVersion reads "postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)" or "… 19beta1".
func readVersion(line string) (major int, unripe bool, err error) {
	m := regexp.MustCompile(`\(PostgreSQL\) (\d+)(\.\d+)?([a-z]*)`).FindStringSubmatch(line)
	if m == nil {
		return 0, false, fmt.Errorf("no version of PostgreSQL in %q", line)
	}
	major, err = strconv.Atoi(m[1])
	return major, m[3] != "", err
}

// runsIn tells whether the account can run this postgres inside the folder.
func (b binary) runsIn(ctx context.Context, dir string, acc account) bool {
	return command(ctx, acc, dir, b.postgres(), "--version").Run() == nil
}

// newest is the highest version that is new enough; of two the same, the first found.
func newest(found []binary, named bool) (binary, error) {
	var best binary
	for _, bin := range found {
		if bin.major > best.major && bin.major >= OldestMajor && (named || !bin.unripe) {
			best = bin
		}
	}
	if best.major != 0 {
		return best, nil
	}
	seen := "none"
	if len(found) > 0 {
		seen = "only " + majors(found)
	}
	return binary{}, fmt.Errorf("PostgreSQL %d or newer keeps the data of Halfhour, and this machine has %s. Install it "+
		"(Debian and Ubuntu: apt install postgresql; Fedora: dnf install postgresql-server; macOS: brew install postgresql@17), "+
		"or name the folder that holds postgres and initdb in HALFHOUR_PG_BIN, "+
		"or use a server of your own with DATABASE_URL", OldestMajor, seen)
}

// wrongMajor says which version the data needs and which there are, or which was named.
func wrongMajor(major int, found []binary, binDir string) error {
	seen := "this machine has none"
	switch {
	case binDir != "":
		seen = fmt.Sprintf("HALFHOUR_PG_BIN names %s", majors(found))
	case len(found) > 0:
		seen = "this machine has " + majors(found)
	}
	return fmt.Errorf("the data was made by PostgreSQL %d, and %s. Nothing was changed. "+
		"Install PostgreSQL %d again, or name its folder in HALFHOUR_PG_BIN", major, seen, major)
}

// majors lists the versions found, each once, such as "13 and 14".
func majors(found []binary) string {
	var numbers []int
	for _, bin := range found {
		numbers = append(numbers, bin.major)
	}
	slices.Sort(numbers)
	var words []string
	for _, n := range slices.Compact(numbers) {
		words = append(words, strconv.Itoa(n))
	}
	if last := len(words) - 1; last > 0 {
		return strings.Join(words[:last], ", ") + " and " + words[last]
	}
	return words[0]
}
