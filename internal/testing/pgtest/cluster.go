package pgtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"

	"halfhour.app/halfhour/internal/localpg"
)

// cluster is the server of one package's tests. It starts when it is first asked.
type cluster struct {
	migrate Migrate
	start   func() error // once; the same answer afterwards

	dir    string // ours to remove
	server *localpg.Server
	drops  chan string
	idle   sync.WaitGroup // the one who drops

	mu    sync.Mutex // over what follows
	admin *pgx.Conn
	made  int
	kept  []string
}

// waitingDrops is how many tests may end before the first database is dropped; more are
// dropped with the server.
const waitingDrops = 1024

// template is the migrated database that the tests' own are cloned from.
const template = "migrated"

func newCluster(migrate Migrate) *cluster {
	c := &cluster{migrate: migrate, drops: make(chan string, waitingDrops)}
	c.start = sync.OnceValue(func() error { return c.begin(context.Background()) })
	return c
}

// begin starts the server and migrates the template, which from then on nobody may enter: a
// database with a connection cannot be cloned.
func (c *cluster) begin(ctx context.Context) error {
	dir, err := freshFolder()
	if err != nil {
		return err
	}
	c.dir = dir
	c.server, err = localpg.Start(ctx, localpg.Config{Dir: filepath.Join(dir, "data"), Test: true})
	if err != nil {
		return err
	}
	if c.admin, err = pgx.Connect(ctx, c.server.URL("postgres")); err != nil {
		return err
	}
	if _, err := c.admin.Exec(ctx, "create database "+template+" strategy file_copy"); err != nil {
		return err
	}
	if err := c.migrate(ctx, c.server.URL(template)); err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	if _, err := c.admin.Exec(ctx, "alter database "+template+" allow_connections false"); err != nil {
		return err
	}
	dropper, err := pgx.Connect(ctx, c.server.URL("postgres"))
	if err != nil {
		return err
	}
	c.idle.Go(func() { c.dropAll(ctx, dropper) })
	return nil
}

// database clones the template for a test.
func (c *cluster) database(t testing.TB) *DB {
	t.Helper()
	if err := c.start(); err != nil {
		t.Fatalf("no database for the tests: %v", err)
	}
	name, err := c.clone(t.Context(), t.Name())
	if err != nil {
		t.Fatalf("no database for this test: %v", err)
	}
	t.Cleanup(func() { c.leave(t, name) })
	return &DB{Name: name, SuperuserURL: c.server.URL(name), AppURL: c.server.URLAs(AppRole, name)}
}

// clone makes a database that carries the test's name, so that a kept one can be told.
func (c *cluster) clone(ctx context.Context, test string) (string, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.made++
	plain := regexp.MustCompile(`[^a-z0-9]+`).ReplaceAllString(strings.ToLower(test), "_")
	name := fmt.Sprintf("t%d_%s", c.made, plain)
	name = name[:min(len(name), 63)] // longer names are cut by PostgreSQL
	// Copying files is the faster way for a small template, though it asks for a checkpoint.
	_, err := c.admin.Exec(ctx, "create database "+quoted(name)+" template "+template+" strategy file_copy")
	return name, err
}

// leave drops the database of a test that passed and keeps that of one that failed.
func (c *cluster) leave(t testing.TB, name string) {
	if t.Failed() {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.kept = append(c.kept, name)
		t.Logf("the database of this test is kept as %s in %s", name, c.dir)
		return
	}
	select {
	case c.drops <- name:
	default:
	}
}

// dropAll drops databases until there are no more to come. It waits for connections that
// are being closed, which no test should have to.
func (c *cluster) dropAll(ctx context.Context, conn *pgx.Conn) {
	defer conn.Close(ctx)
	for name := range c.drops {
		// What cannot be dropped goes with the server.
		_, _ = conn.Exec(ctx, "drop database if exists "+quoted(name)+" with (force)")
	}
}

// close stops the server and removes its folder, or tells how to look at what it keeps.
func (c *cluster) close(out io.Writer) error {
	close(c.drops)
	if len(c.kept) > 0 {
		c.idle.Wait() // what is kept should be the failures alone
	}
	var errs []error
	if c.admin != nil {
		errs = append(errs, c.admin.Close(context.Background()))
	}
	if c.server != nil {
		errs = append(errs, c.server.Stop(context.Background()))
	}
	c.idle.Wait()
	if c.dir == "" {
		return errors.Join(errs...)
	}
	if len(c.kept) == 0 {
		return errors.Join(append(errs, removeFolder(c.dir))...)
	}
	fmt.Fprintf(out, "kept until the next run of this package: %s\nto look at it: %s\n", strings.Join(c.kept, ", "), c.howToLook())
	return errors.Join(errs...)
}

// howToLook is a command that starts the kept server once more.
func (c *cluster) howToLook() string {
	data := filepath.Join(c.dir, "data")
	postgres, err := localpg.Tool(context.Background(), localpg.Config{Dir: data}, "postgres")
	if err != nil {
		postgres = "postgres"
	}
	return fmt.Sprintf("as the owner of %s: %s -D %s -c listen_addresses= -c unix_socket_directories=%s; then psql -h %s -U %s %s",
		filepath.Join(data, "pgdata"), postgres, filepath.Join(data, "pgdata"), c.server.Folder(), c.server.Folder(), localpg.Owner, c.kept[0])
}

func quoted(name string) string { return pgx.Identifier{name}.Sanitize() }
