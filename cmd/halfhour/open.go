package main

import (
	"context"
	"fmt"

	"halfhour.app/halfhour/internal/demo"
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
