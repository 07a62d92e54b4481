package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"

	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/localpg"
)

// appRole is the role of the private database that row security binds.
const appRole = "halfhour_app"

// database is the PostgreSQL of this run.
type database struct {
	owner  string          // the address for migrations
	app    string          // the address the app works with
	server *localpg.Server // nil: it runs under somebody else
}

// startDatabase brings the private PostgreSQL up, or names the one that was given.
func startDatabase(ctx context.Context, c *config.Config, log *slog.Logger) (*database, error) {
	if c.Database != "" {
		return given(c), nil
	}
	server, err := localpg.Start(ctx, localpg.Config{Dir: c.Data, BinDir: c.PGBin, Logger: log})
	if err != nil {
		return nil, err
	}
	d := at(server.Address)
	d.server = server
	return d, nil
}

// given is the PostgreSQL that the settings name: with two users, the program works
// as the one who can do less.
func given(c *config.Config) *database {
	d := &database{owner: c.Database.Open(), app: c.Database.Open()}
	if c.Owner != "" {
		d.owner = c.Owner.Open()
	}
	return d
}

// reachDatabase is for a command beside a Halfhour that may be running: where the
// data folder is taken, it goes through the socket there. It makes no new
// database, since a mistyped folder would be a new one.
func reachDatabase(ctx context.Context, c *config.Config, log *slog.Logger) (*database, error) {
	if c.Database == "" {
		if _, err := os.Stat(filepath.Join(c.Data, "pgdata")); errors.Is(err, os.ErrNotExist) {
			return nil, fmt.Errorf("there is no Halfhour in %s; name its folder with --data", c.Data)
		}
	}
	d, err := startDatabase(ctx, c, log)
	if !errors.Is(err, localpg.ErrInUse) {
		return d, err
	}
	address, err := localpg.Attach(ctx, c.Data)
	if err != nil {
		return nil, err
	}
	return at(address), nil
}

// at is a private PostgreSQL that answers at the address.
func at(a localpg.Address) *database {
	return &database{owner: a.URL(localpg.Database), app: a.URLAs(appRole, localpg.Database)}
}

// ended is closed when the private database is gone; never, for any other.
func (d *database) ended() <-chan struct{} {
	if d.server == nil {
		return nil
	}
	return d.server.Done()
}

// why says how the private database ended by itself; nil when it did not.
func (d *database) why() error {
	if d.server == nil {
		return nil
	}
	return d.server.Err()
}

// stop ends the private database; any other goes on.
func (d *database) stop(ctx context.Context) error {
	if d.server == nil {
		return nil
	}
	return d.server.Stop(ctx)
}
