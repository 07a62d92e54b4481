package localpg

import (
	"context"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestDataOfAnotherMajorVersion(t *testing.T) {
	dir := made(t)
	version := filepath.Join(dir, "pgdata", "PG_VERSION")
	mine, err := os.ReadFile(version)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(version, []byte("12\n"), 0o600))

	_, err = Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "the data was made by PostgreSQL 12, and this machine has "+strings.TrimSpace(string(mine)))
	require.ErrorContains(t, err, "Nothing was changed")
	require.DirExists(t, filepath.Join(dir, "pgdata", "base"))
	require.EqualError(t, wrongMajor(12, []binary{{major: 17}}, "/opt/pg/bin"), "the data was made by PostgreSQL 12, and "+
		"HALFHOUR_PG_BIN names 17. Nothing was changed. Install PostgreSQL 12 again, or name its folder in HALFHOUR_PG_BIN")

	require.NoError(t, os.WriteFile(version, mine, 0o600))
	start(t, dir)
}

func TestNoPostgres(t *testing.T) {
	empty := place(t)
	_, err := Start(t.Context(), Config{Dir: filepath.Join(place(t), "data"), BinDir: empty})
	require.ErrorContains(t, err, "HALFHOUR_PG_BIN names "+empty+", which does not hold postgres")

	_, err = newest(nil, false)
	require.ErrorContains(t, err, "PostgreSQL 15 or newer keeps the data of Halfhour, and this machine has none. Install it")
	require.ErrorContains(t, err, "apt install postgresql")
	require.ErrorContains(t, err, "HALFHOUR_PG_BIN")
	require.ErrorContains(t, err, "DATABASE_URL")
	require.ErrorContains(t, wrongMajor(15, nil, ""), "this machine has none")
}

func TestABrokenPostgres(t *testing.T) {
	dir := place(t)
	for _, name := range []string{"postgres", "initdb"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\nexit 3\n"), 0o755))
	}
	_, err := Start(t.Context(), Config{Dir: filepath.Join(place(t), "data"), BinDir: dir})
	require.ErrorContains(t, err, "does not run: exit status 3")
}

func TestWhichPostgres(t *testing.T) {
	old, good, better, beta := binary{dir: "old", major: 14}, binary{dir: "good", major: 15},
		binary{dir: "better", major: 17}, binary{dir: "beta", major: 19, unripe: true}
	for name, c := range map[string]struct {
		found []binary
		named bool
		want  binary
		fails string
	}{
		"the newest":                      {found: []binary{good, better, old}, want: better},
		"the first of two the same":       {found: []binary{good, {dir: "twin", major: 15}}, want: good},
		"no beta for data that must last": {found: []binary{good, beta}, want: good},
		"a beta that was named":           {found: []binary{beta}, named: true, want: beta},
		"only old ones":                   {found: []binary{old, {major: 13}}, fails: "has only 13 and 14"},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := newest(c.found, c.named)
			if c.fails != "" {
				require.ErrorContains(t, err, c.fails)
				return
			}
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

func TestReadVersion(t *testing.T) {
	for line, want := range map[string]struct {
		major  int
		unripe bool
	}{
		"postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)\n": {15, false},
		"postgres (PostgreSQL) 18.4\n":                           {18, false},
		"postgres (PostgreSQL) 9.6.24\n":                         {9, false},
		"postgres (PostgreSQL) 19beta1\n":                        {19, true},
		"postgres (PostgreSQL) 19devel\n":                        {19, true},
	} {
		major, unripe, err := readVersion(line)
		require.NoError(t, err)
		require.Equal(t, want.major, major, line)
		require.Equal(t, want.unripe, unripe, line)
	}
	_, _, err := readVersion("something else 15.1")
	require.Error(t, err)
}

func TestCandidatesHighestFirst(t *testing.T) {
	base := place(t)
	for _, v := range []string{"9", "15", "17"} {
		require.NoError(t, os.MkdirAll(filepath.Join(base, v, "bin"), 0o755))
	}
	t.Setenv("PATH", "")
	require.Equal(t, []string{base + "/17/bin", base + "/15/bin", base + "/9/bin"}, candidates([]string{base + "/*/bin"}))
}

func TestACompanionIsFoundBehindALink(t *testing.T) {
	base := place(t)
	bin := filepath.Join(base, "real")
	require.NoError(t, os.Mkdir(bin, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(bin, "postgres"), nil, 0o755))
	require.NoError(t, os.Mkdir(filepath.Join(base, "path"), 0o755))
	require.NoError(t, os.Symlink(filepath.Join(bin, "postgres"), filepath.Join(base, "path", "postgres")))
	t.Setenv("PATH", filepath.Join(base, "path"))
	require.Equal(t, []string{bin}, candidates(nil))
}

func TestForeignFilesWhereTheDatabaseShouldBe(t *testing.T) {
	dir := filepath.Join(place(t), "data")
	mine := filepath.Join(dir, "pgdata", "letter.txt")
	require.NoError(t, os.MkdirAll(filepath.Dir(mine), 0o755))
	require.NoError(t, os.WriteFile(mine, []byte("dear"), 0o600))
	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "holds files but no database")
	require.FileExists(t, mine)
}

func TestAnEmptyFolderForTheDatabase(t *testing.T) {
	dir := filepath.Join(place(t), "data")
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "pgdata"), 0o755))
	srv := start(t, dir)
	require.Equal(t, 1, query[int](t, srv.URL(Database), "select 1"))
}

func TestNoFolder(t *testing.T) {
	_, err := Start(t.Context(), Config{})
	require.ErrorContains(t, err, "no data folder is named")

	file := filepath.Join(place(t), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err = Start(t.Context(), Config{Dir: file})
	require.ErrorContains(t, err, file)
	_, err = Start(t.Context(), Config{Dir: filepath.Join(file, "data")})
	require.ErrorContains(t, err, file)
}

func TestAClusterThatDoesNotStartSaysWhy(t *testing.T) {
	dir := made(t)
	require.NoError(t, os.Remove(filepath.Join(dir, "pgdata", "global", "pg_control")))
	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "PostgreSQL ended while starting")
	require.ErrorContains(t, err, "pg_control")
	hold, err := Lock(dir)
	require.NoError(t, err, "the folder is free again")
	hold.Release()
}

func TestAFolderNobodyMayPassThrough(t *testing.T) {
	needRoot(t)
	base := place(t)
	closed := filepath.Join(base, "closed")
	require.NoError(t, os.Mkdir(closed, 0o700))
	dir := filepath.Join(closed, "deep", "data")
	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "cannot pass through the folder "+closed+".")
	require.ErrorContains(t, err, "chmod a+x "+closed)

	require.NoError(t, os.Chmod(closed, 0o711))
	start(t, dir)
}

func TestBinariesNobodyMayReach(t *testing.T) {
	needRoot(t)
	closed := filepath.Join(place(t), "closed")
	require.NoError(t, os.Mkdir(closed, 0o700))
	for _, name := range []string{"postgres", "initdb"} {
		require.NoError(t, os.WriteFile(filepath.Join(closed, name), nil, 0o755))
	}
	_, err := Start(t.Context(), Config{Dir: filepath.Join(place(t), "data"), BinDir: closed})
	require.ErrorContains(t, err, "cannot pass through the folder "+closed)
}

func TestTheOwnerOfTheDataRunsIt(t *testing.T) {
	needRoot(t)
	nobody, err := user.Lookup("nobody")
	require.NoError(t, err)
	acc, err := rootAccount(nobody)
	require.NoError(t, err)
	base := place(t)
	require.NoError(t, os.Chown(base, acc.uid, acc.gids[0]))
	dir := filepath.Join(base, "data")

	// A plain user's run…
	plain := other(t, dir, &syscall.SysProcAttr{Credential: acc.credential()})
	plain.postmaster(t)
	addr, err := Attach(t.Context(), dir)
	require.NoError(t, err)
	run(t, addr.URL(Database), "create table kept (n int)", "insert into kept values (7)")
	require.NoError(t, plain.stdin.Close())
	require.NoError(t, plain.cmd.Wait())

	// …then one of root, which keeps to the account…
	srv, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.NoError(t, err)
	require.Equal(t, 7, query[int](t, srv.URL(Database), "select n from kept"))
	var stat syscall.Stat_t
	require.NoError(t, syscall.Stat(filepath.Join(srv.Folder(), socketName()), &stat))
	require.Equal(t, acc.uid, int(stat.Uid))
	require.NoError(t, srv.Stop(context.Background()))

	// …so that the plain user can go on.
	again := other(t, dir, &syscall.SysProcAttr{Credential: acc.credential()})
	again.postmaster(t)
}

func TestDataOfSomebodyElse(t *testing.T) {
	needRoot(t)
	nobody, err := user.Lookup("nobody")
	require.NoError(t, err)
	acc, err := rootAccount(nobody)
	require.NoError(t, err)
	dir := made(t) // the account postgres, or nobody where there is none
	owner, _, err := folder{data: dir}.owner()
	require.NoError(t, err)
	require.NoError(t, os.Chmod(dir, 0o777))
	require.NoError(t, os.Remove(filepath.Join(dir, "lock")))
	if owner == acc.uid {
		require.NoError(t, os.Chown(filepath.Join(dir, "pgdata"), 1, 1))
	}
	plain := other(t, dir, &syscall.SysProcAttr{Credential: acc.credential()})
	require.Contains(t, plain.said, "and Halfhour runs as nobody. Start it as ")
}

func TestDataOfRoot(t *testing.T) {
	needRoot(t)
	dir := made(t)
	require.NoError(t, os.Chown(filepath.Join(dir, "pgdata"), 0, 0))
	_, err := Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "belongs to root, and PostgreSQL refuses to run as root")
	require.ErrorContains(t, err, "chown -R postgres")

	require.NoError(t, os.Chown(filepath.Join(dir, "pgdata"), 54321, 54321))
	_, err = Start(t.Context(), Config{Dir: dir, Test: true})
	require.ErrorContains(t, err, "account number 54321, which this machine does not know")
}

func TestAFolderOfRootKeepsItsOwner(t *testing.T) {
	needRoot(t)
	dir := place(t) // 0755, and something of root's in it
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine"), nil, 0o600))
	start(t, dir)
	var stat syscall.Stat_t
	require.NoError(t, syscall.Stat(dir, &stat))
	require.Zero(t, stat.Uid)
}

func TestMayEnter(t *testing.T) {
	dir := place(t)
	self := account{uid: os.Geteuid(), gids: []int{os.Getegid()}}
	group := account{uid: -1, gids: []int{-2, os.Getegid()}}
	world := account{uid: -1, gids: []int{-1}}
	for mode, want := range map[os.FileMode][3]bool{
		0o700: {true, false, false}, 0o710: {true, true, false}, 0o711: {true, true, true},
		0o701: {true, false, true}, 0o677: {false, true, true},
	} {
		require.NoError(t, os.Chmod(dir, mode))
		info, err := os.Stat(dir)
		require.NoError(t, err)
		require.Equal(t, want, [3]bool{self.mayEnter(info), group.mayEnter(info), world.mayEnter(info)}, mode.String())
	}
	require.NoError(t, os.Chmod(dir, 0o755))
}
