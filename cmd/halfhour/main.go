// Command halfhour leads people from no running at all to thirty minutes without
// a pause, with a coach who decides. Without settings it runs by itself: it
// brings its own database up in its data folder and says where to point a browser.
package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/alecthomas/kong"

	"halfhour.app/halfhour/internal/config"
)

// commands are the command line; each command's own file says what it does.
type commands struct {
	config.Config `embed:""`

	Serve   serveCommand   `cmd:"" default:"withargs" help:"Run the web app (what happens without a command)."`
	Assess  assessCommand  `cmd:"" help:"Read one athlete's document and print the verdict."`
	Trace   traceCommand   `cmd:"" help:"Read a heart-rate recording and print what each walk of a plan shows."`
	Migrate migrateCommand `cmd:"" help:"Bring the tables of the database up to date, or back."`
	SignIn  signInCommand  `cmd:"" name:"sign-in" help:"Print a one-time link for a coach who is locked out."`
	Letter  letterCommand  `cmd:"" help:"Print a coach's weekly letter: as it was sent, or as it would be."`
	Version versionCommand `cmd:"" help:"Print the version."`
}

// outside is what the program touches of the world around it.
type outside struct {
	in       io.Reader
	out, err io.Writer
	random   io.Reader
	now      func() time.Time
	home     string // the data folder where nobody names one
}

// errSaid ends a command whose faults are on standard error already.
var errSaid = errors.New("it has been said")

// Exit statuses.
const (
	fine      = 0
	failed    = 1
	wrongCall = 2 // of the command line, or of a document
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends it at once
	status := run(ctx, os.Args[1:], outside{os.Stdin, os.Stdout, os.Stderr, rand.Reader, time.Now, config.DataFolder(os.Getenv, os.Geteuid() == 0)})
	stop()
	os.Exit(status)
}

// run carries out one command and gives the exit status.
func run(ctx context.Context, args []string, o outside) int {
	var c commands
	status := -1
	parser, err := newParser(ctx, &c, o, func(code int) { status = code })
	if err != nil {
		return o.say(err, failed)
	}
	parsed, err := parser.Parse(args)
	switch {
	case status >= 0: // --help has been printed
		return status
	case err != nil:
		return o.say(err, wrongCall)
	}
	if err := c.Check(); err != nil {
		return o.say(err, wrongCall)
	}
	switch err := parsed.Run(); {
	case errors.Is(err, errSaid):
		return wrongCall
	case err != nil:
		return o.say(err, failed)
	}
	return fine
}

// newParser reads the command line into the commands.
func newParser(ctx context.Context, c *commands, o outside, exit func(int)) (*kong.Kong, error) {
	return kong.New(c,
		kong.Name("halfhour"),
		kong.Description("From no running at all to thirty minutes without a pause. See README.md."),
		kong.Vars{"data": o.home},
		kong.Writers(o.out, o.err),
		kong.Exit(exit),
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.Bind(o, &c.Config))
}

// say prints an error as a sentence for the person at the console.
func (o outside) say(err error, status int) int {
	fmt.Fprintln(o.err, "halfhour:", err)
	return status
}

// logger writes to standard error, from the level on that was asked for.
func (o outside) logger(c *config.Config) *slog.Logger {
	options := &slog.HandlerOptions{Level: slog.Level(c.LogLevel)}
	if c.LogJSON {
		return slog.New(slog.NewJSONHandler(o.err, options))
	}
	return slog.New(slog.NewTextHandler(o.err, options))
}
