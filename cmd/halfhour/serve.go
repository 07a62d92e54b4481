package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"syscall"
	"time"
	_ "time/tzdata" // the machine may have no time zones of its own

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/argon"
	"halfhour.app/halfhour/internal/calendar"
	"halfhour.app/halfhour/internal/config"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/httpd"
	"halfhour.app/halfhour/internal/jobs"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/passkey"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/postgres"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/routine"
)

// serveCommand runs the web app until it is told to stop.
type serveCommand struct {
	Demo bool `env:"HALFHOUR_DEMO" help:"Open a club of invented people; never beside a real club."`
}

// Run listens, brings the database up, answers, and at the end goes in order: no
// new requests, the last answers, the jobs, the pool, the database.
func (s serveCommand) Run(ctx context.Context, o outside, c *config.Config) error {
	if s.Demo && c.Data == o.home {
		c.Data += "-demo" // beside the folder of a club to come, not in it
	}
	log := o.logger(c)
	socket, err := listen(ctx, c.Listen)
	if err != nil {
		return err
	}
	defer socket.Close()
	d, err := startDatabase(ctx, c, log)
	if err != nil {
		return err
	}
	err = s.serve(ctx, o, c, log, socket, d)
	return errors.Join(err, d.stop(context.WithoutCancel(ctx)))
}

// listen takes the address before anything slow begins.
func listen(ctx context.Context, address string) (net.Listener, error) {
	if _, _, err := net.SplitHostPort(address); err != nil {
		return nil, fmt.Errorf("cannot listen on %s: a host and a port are needed, such as 127.0.0.1:8080, or :8080 for every network", address)
	}
	socket, err := (&net.ListenConfig{}).Listen(ctx, "tcp", address)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("another program listens on %s already; choose another address, such as --listen=127.0.0.1:8081", address)
	case errors.Is(err, syscall.EACCES):
		return nil, fmt.Errorf("this account may not listen on %s; choose a port above 1023, or put a web server in front", address)
	case err != nil:
		return nil, fmt.Errorf("cannot listen on %s: %w", address, err)
	}
	return socket, nil
}

func (s serveCommand) serve(ctx context.Context, o outside, c *config.Config, log *slog.Logger, socket net.Listener, d *database) error {
	if err := postgres.Migrate(ctx, d.owner); err != nil {
		return err
	}
	if s.Demo && d.server != nil {
		if err := renewDemo(ctx, o, d); err != nil {
			return err
		}
	}
	work, err := jobs.NewErrands()
	if err != nil {
		return err
	}
	db, err := postgres.Open(ctx, d.app, postgres.Options{Now: o.now, Errands: work})
	if err != nil {
		return err
	}
	defer db.Close()
	here := origin(c, socket.Addr().String())
	bag, err := newMailbag(c, s.Demo, o.now)
	if err != nil {
		return err
	}
	app := newApp(db, c, o)
	app.bag, app.post = bag, app.newPost(bag, here, o.now)
	handler, err := httpd.New(app.deps(c, o, log))
	if err != nil {
		return err
	}
	if err := s.open(ctx, o, app, here); err != nil {
		return err
	}
	app.remember(ctx, log) // before anybody is answered: the database may be an older copy
	crew := jobs.New(db.Pool(), app.post, log, o.now)
	app.errands(crew, log)
	if d.server != nil { // whose folder one program holds
		crew.Alone()
	}
	if err := crew.Start(ctx); err != nil {
		return err
	}
	server := httpd.Listener(handler, log)
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(socket) }()
	log.InfoContext(ctx, "ready", "address", here, "version", version())
	bag.tell(ctx, log)
	select {
	case <-ctx.Done():
		log.InfoContext(ctx, "stopping")
	case err = <-ended:
	case <-d.ended():
		err = d.why()
	}
	after := context.WithoutCancel(ctx)
	return errors.Join(err, drain(after, server, c.Drain), crew.Stop(after))
}

// drain lets requests end that have begun, for so long.
func drain(ctx context.Context, server *http.Server, patience time.Duration) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if err := server.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("some requests did not end within %s: %w", patience, err), server.Close())
	}
	return nil
}

// app is the use cases over one database.
type app struct {
	db       *postgres.DB
	store    *postgres.Store
	hasher   *argon.Hasher
	access   *access.Service
	enrol    *enrol.Service
	entry    *entry.Service
	days     *days.Service
	calendar *calendar.Service
	morning  *morning.Service
	outdoors *outdoors.Service
	routine  *routine.Service
	lift     *lift.Service
	decide   *decide.Service
	heart    *heart.Service
	privacy  *privacy.Service
	post     *post.Service
	bag      *mailbag
	join     *join.Service
}

func newApp(db *postgres.DB, c *config.Config, o outside) *app {
	store, hasher := db.Store(), argon.New(c.Hashes)
	return &app{
		db: db, store: store, hasher: hasher,
		access:   &access.Service{Store: store, Hasher: hasher, Keys: passkey.Keys{}, Random: o.random, Now: o.now},
		enrol:    &enrol.Service{Store: store, Now: o.now},
		entry:    &entry.Service{Store: store, Now: o.now},
		days:     &days.Service{Store: store, Now: o.now},
		calendar: &calendar.Service{Store: store, Random: o.random, Now: o.now},
		morning:  &morning.Service{Store: store, Now: o.now},
		outdoors: &outdoors.Service{Store: store, Now: o.now},
		routine:  &routine.Service{Store: store, Now: o.now},
		lift:     &lift.Service{Store: store, Now: o.now},
		decide:   &decide.Service{Store: store, Now: o.now},
		heart:    &heart.Service{Store: store, Now: o.now, Read: readFile},
		privacy:  &privacy.Service{Store: store, List: newErasedList(c.Data), Now: o.now},
		join:     &join.Service{Store: store, Now: o.now},
	}
}

// readFile reads a recording as it was sent.
func readFile(body []byte) (heart.File, error) {
	file, err := activityfile.Read(body)
	return heart.File(file), err
}

func (a *app) deps(c *config.Config, o outside, log *slog.Logger) httpd.Deps {
	d := httpd.Deps{
		Access: a.access, Enrol: a.enrol, Entry: a.entry, Days: a.days, Calendar: a.calendar, Morning: a.morning, Decide: a.decide, Heart: a.heart, Join: a.join, Privacy: a.privacy, Post: a.post,
		Outdoors: a.outdoors, Routine: a.routine, Lift: a.lift,
		Ready: a.db.Ping, Log: log, Random: o.random, Now: o.now,
		BaseURL: c.BaseURL.URL, Proxies: c.Networks(),
	}
	if a.bag.smtp == nil {
		d.Mail = a.bag.folder
	}
	return d
}
