package main

import (
	"context"
	"errors"
	"fmt"
	"net"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/postgres"
)

// signInCommand helps a coach who is locked out. It works beside a Halfhour that
// is running.
type signInCommand struct {
	Email string `arg:"" help:"The coach's e-mail address."`
}

// Run prints the link.
func (s signInCommand) Run(ctx context.Context, o outside, c *config.Config) error {
	d, err := reachDatabase(ctx, c, o.logger(c))
	if err != nil {
		return err
	}
	return errors.Join(s.link(ctx, o, c, d), d.stop(context.WithoutCancel(ctx)))
}

func (s signInCommand) link(ctx context.Context, o outside, c *config.Config, d *database) error {
	db, err := postgres.Open(ctx, d.app, postgres.Options{Connections: 2, Now: o.now})
	if err != nil {
		return err
	}
	defer db.Close()
	doors := &access.Service{Store: db.Store(), Random: o.random, Now: o.now}
	link, err := doors.CoachLink(ctx, s.Email)
	if fault.KindOf(err) == fault.NotFound {
		return fmt.Errorf("no coach signs in with %s", s.Email)
	}
	if err != nil {
		return err
	}
	fmt.Fprintln(o.err, "This link works once, until", link.Expires.Local().Format("2 January, 15:04")+":")
	_, err = fmt.Fprintln(o.out, origin(c, c.Listen)+"/in/"+string(link.Code))
	return err
}

// origin is how people reach the app: as it was set, else at the address it
// listens on.
func origin(c *config.Config, listen string) string {
	if c.BaseURL.URL != nil {
		return c.BaseURL.URL.String()
	}
	host, port, err := net.SplitHostPort(listen)
	if err != nil {
		return "http://" + listen
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return "http://" + net.JoinHostPort(host, port)
}
