// Package pgtest gives every test a PostgreSQL database of its own, cloned from one that was
// migrated once per package.
//
//	func TestMain(m *testing.M) { os.Exit(pgtest.Main(m, migrateUp)) }
//
//	func TestSomething(t *testing.T) {
//		t.Parallel()
//		db := pgtest.New(t)
//		… connect to db.AppURL …
//	}
//
// The server starts with the first New, so a run of tests without a database costs nothing.
// It lives in memory where it can and listens on a socket only. The database of a failed
// test is kept, and how to look at it is printed at the end of the package's run; the next
// run of the package removes it.
package pgtest

import (
	"context"
	"fmt"
	"os"
	"sync/atomic"
	"testing"
)

// AppRole is the role without the right to pass row security. The migrations make it.
const AppRole = "halfhour_app"

// Migrate brings an empty database to the newest version. It is called once, as superuser,
// and closes every connection it opened.
type Migrate func(ctx context.Context, superuserURL string) error

// Runner is the part of testing.M that Main needs.
type Runner interface{ Run() int }

// DB is a database that belongs to one test.
type DB struct {
	Name         string
	SuperuserURL string // connects as the owner of everything, whom row security does not bind
	AppURL       string // connects as AppRole
}

// current is what Main prepared for New; a test has no other way to hand it over.
var current atomic.Pointer[cluster]

// Main runs the tests of a package and clears up behind them. It returns the exit code.
func Main(m Runner, migrate Migrate) int {
	c := newCluster(migrate)
	current.Store(c)
	code := m.Run()
	if err := c.close(os.Stderr); err != nil {
		fmt.Fprintln(os.Stderr, "pgtest:", err)
		return max(code, 1)
	}
	return code
}

// New gives the test a fresh database. It is dropped in the background after the test, or
// kept when the test failed.
func New(t testing.TB) *DB {
	t.Helper()
	c := current.Load()
	if c == nil {
		t.Fatal("pgtest.New needs pgtest.Main in TestMain")
	}
	return c.database(t)
}
