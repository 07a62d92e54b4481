package main

import (
	"context"
	"errors"
	"fmt"

	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/postgres"
)

// migrateCommand takes the steps of the database by hand; serve takes those that
// are missing by itself.
type migrateCommand struct {
	Up     migrateUp     `cmd:"" help:"Take every step that is still to be taken."`
	Down   migrateDown   `cmd:"" help:"Take the newest steps back, with what they hold."`
	Status migrateStatus `cmd:"" help:"Say how far the steps have been taken."`
	Force  migrateForce  `cmd:"" help:"After a step that stopped half-way and was mended by hand: say which one holds."`
}

type migrateUp struct{}

type migrateDown struct {
	Steps int `default:"1" help:"How many (default ${default})."`
}

type migrateStatus struct{}

type migrateForce struct {
	Version int `arg:"" help:"The number of the step that holds."`
}

// Run takes the steps.
func (migrateUp) Run(ctx context.Context, o outside, c *config.Config) error {
	return onDatabase(ctx, o, c, func(url string) error {
		if err := postgres.Migrate(ctx, url); err != nil {
			return err
		}
		return o.status(ctx, url)
	})
}

// Run takes steps back.
func (m migrateDown) Run(ctx context.Context, o outside, c *config.Config) error {
	return onDatabase(ctx, o, c, func(url string) error {
		if err := postgres.MigrateDown(ctx, url, m.Steps); err != nil {
			return err
		}
		return o.status(ctx, url)
	})
}

// Run says how far the steps have been taken.
func (migrateStatus) Run(ctx context.Context, o outside, c *config.Config) error {
	return onDatabase(ctx, o, c, func(url string) error { return o.status(ctx, url) })
}

// Run notes the version.
func (m migrateForce) Run(ctx context.Context, o outside, c *config.Config) error {
	return onDatabase(ctx, o, c, func(url string) error {
		if err := postgres.MigrateForce(ctx, url, m.Version); err != nil {
			return err
		}
		return o.status(ctx, url)
	})
}

func (o outside) status(ctx context.Context, url string) error {
	s, err := postgres.MigrationStatus(ctx, url)
	if err != nil {
		return err
	}
	note := ""
	if s.Dirty {
		note = "; it stopped half-way"
	}
	_, err = fmt.Fprintf(o.out, "step %d of %d%s\n", s.Version, s.Newest, note)
	return err
}

// onDatabase does something with the database's owner, and ends a private
// database that this command had to bring up.
func onDatabase(ctx context.Context, o outside, c *config.Config, act func(owner string) error) error {
	d, err := reachDatabase(ctx, c, o.logger(c))
	if err != nil {
		return err
	}
	return errors.Join(act(d.owner), d.stop(context.WithoutCancel(ctx)))
}
