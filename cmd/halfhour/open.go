package main

import (
	"context"
	"fmt"

	"halfhour.app/halfhour/internal/argon"
	"halfhour.app/halfhour/internal/demo"
	"halfhour.app/halfhour/internal/postgres"
)

// open says to the person at the console where to point a browser and what to do
// first. A demo is filled before that.
func (s serveCommand) open(ctx context.Context, o outside, a *app, here string) error {
	if s.Demo {
		return a.openDemo(ctx, o, here)
	}
	fmt.Fprintln(o.out, "Halfhour is running:", here)
	needed, err := a.access.SetUpNeeded(ctx)
	if err != nil || !needed {
		return err
	}
	link, err := a.access.SetUpLink(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintln(o.out, "There is no club yet. Name it and its first coach here (this link works once):")
	_, err = fmt.Fprintln(o.out, "  "+here+"/set-up/"+string(link.Code))
	return err
}

// renewDemo empties the private database of a demo from an earlier day, so that
// everything there is to see is there on the day of the run. What is no demo is
// left alone: openDemo says so.
func renewDemo(ctx context.Context, o outside, d *database) error {
	db, err := postgres.Open(ctx, d.app, postgres.Options{Now: o.now})
	if err != nil {
		return err
	}
	age, err := demo.Age(ctx, demo.Deps{Store: db.Store(), Hasher: argon.New(1), Random: o.random}, o.now())
	db.Close()
	if err != nil || age == 0 {
		return err
	}
	fmt.Fprintln(o.out, "The demo was of an earlier day; it is made anew, as of today.")
	return postgres.MigrateAnew(ctx, d.owner)
}

// openDemo fills the demo club where it is not there yet. Where there is a club
// of real people, nothing is changed and nothing is served.
func (a *app) openDemo(ctx context.Context, o outside, here string) error {
	guests, err := demo.Fill(ctx, demo.Deps{Store: a.store, Hasher: a.hasher, Random: o.random}, o.now())
	if err != nil {
		return err
	}
	fmt.Fprintf(o.out, `Halfhour is running with a club of invented people, %s: %s
  A coach signs in with %s and the password "%s".
  %s, an athlete, comes in here (the link works once): %s
`, guests.Club, here, guests.Email, guests.Password, guests.Athlete, here+"/in/"+string(guests.Link.Code))
	return nil
}
