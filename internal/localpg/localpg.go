// Package localpg runs the private PostgreSQL of a Halfhour without settings: it
// finds the machine's PostgreSQL, makes a cluster in the data folder, listens on
// a socket there and nowhere else, and lets it live exactly as long as the program.
//
// The data folder holds:
//
//	lock     held by the one program that uses the folder
//	pgdata   the cluster
//	run      the socket (or a short folder in /tmp, where this path is too long)
//
// The guard of the database is the folder: run and pgdata are open to one account
// only, and whoever reaches the socket is trusted. There is no password.
package localpg

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
)

// Names that a caller may meet.
const (
	Owner    = "halfhour" // the superuser role that owns everything
	Database = "halfhour" // the database that Start makes when it is missing
)

// OldestMajor is the oldest major version of PostgreSQL that Halfhour runs on.
const OldestMajor = 15

// ErrInUse says that another program holds the data folder.
var ErrInUse = errors.New("the data folder is in use")

// ErrNotRunning says that nobody holds the data folder, so no PostgreSQL answers there.
var ErrNotRunning = errors.New("no Halfhour is running with this data folder")

// Config says where the database lives and how it is run.
type Config struct {
	Dir    string       // the data folder; made when missing
	BinDir string       // the folder that holds postgres and initdb; empty: look for it
	Test   bool         // give up safety at a power cut for speed
	Hold   *Hold        // the lock on Dir, when the caller has it; nil: Start takes it, Stop lets it go
	Logger *slog.Logger // PostgreSQL's own lines come at debug; nil: nowhere
}

// Start brings the private PostgreSQL up and returns when it answers and holds
// the database Database. The context bounds the start alone; the server runs until
// Stop, or until this program ends, however it ends.
//
// Errors are sentences for the person at the console. ErrInUse is among them.
func Start(ctx context.Context, cfg Config) (*Server, error) {
	logger := cfg.Logger
	if logger == nil {
		logger = slog.New(slog.DiscardHandler)
	}
	hold, release := cfg.Hold, func() {}
	if hold == nil {
		own, err := Lock(cfg.Dir)
		if err != nil {
			return nil, err
		}
		hold, release = own, own.Release
	}
	plan, err := prepare(ctx, hold, cfg, logger)
	if err != nil {
		release()
		return nil, err
	}
	srv := plan.server(release)
	if err := srv.begin(ctx, plan); err != nil {
		return nil, errors.Join(err, srv.abandon())
	}
	return srv, nil
}

// plan is all that must be known before postgres can be started.
type plan struct {
	folder  folder
	account account
	binary  binary
	socket  string // the folder of the socket
	test    bool
	logger  *slog.Logger
}

// prepare decides who runs what where, and leaves a cluster that is ready to start.
func prepare(ctx context.Context, hold *Hold, cfg Config, logger *slog.Logger) (plan, error) {
	p := plan{folder: folder{data: hold.dir}, test: cfg.Test, logger: logger}
	var err error
	if p.account, err = chooseAccount(p.folder); err != nil {
		return plan{}, err
	}
	major, err := p.folder.major()
	if err != nil {
		return plan{}, err
	}
	if p.binary, err = find(ctx, cfg.BinDir, major, p.account); err != nil {
		return plan{}, err
	}
	if err := p.folder.open(ctx, hold, p.account, p.binary); err != nil {
		return plan{}, err
	}
	if p.socket, err = p.folder.socket(p.account); err != nil {
		return plan{}, err
	}
	if err := p.folder.clearLeftovers(ctx, p.socket, logger); err != nil {
		return plan{}, err
	}
	if p.account.shared {
		logger.Warn("the database runs as an account that other programs use too; an account named postgres would be its own",
			"account", p.account.name)
	}
	if major == 0 {
		if err := p.initialise(ctx); err != nil {
			return plan{}, fmt.Errorf("the database could not be made: %w", err)
		}
	}
	return p, nil
}
