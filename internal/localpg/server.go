package localpg

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// silence is how long a starting PostgreSQL may say nothing at all.
const silence = time.Minute

// Server is a running private PostgreSQL.
type Server struct {
	Address
	folder  folder
	process *process
	release func() // gives the lock back where Start took it

	mu       sync.Mutex
	stopping bool
}

func (p plan) server(release func()) *Server {
	return &Server{Address: Address{folder: p.socket}, folder: p.folder, release: sync.OnceFunc(release)}
}

// begin starts postgres and waits until it answers.
func (s *Server) begin(ctx context.Context, p plan) error {
	// Not bound to the context: that ends with the start, the server goes on.
	cmd := command(context.WithoutCancel(ctx), p.account, p.folder.pgdata(), p.binary.postgres(), p.arguments()...)
	running, err := launch(cmd, p.logger)
	if err != nil {
		return fmt.Errorf("PostgreSQL cannot be started: %w", err)
	}
	s.process = running
	return s.answers(ctx)
}

// answers waits until a connection works. A server that is still reading its log after a
// power cut says so, and may take the time it needs.
func (s *Server) answers(ctx context.Context) error {
	tick := time.NewTicker(beat)
	defer tick.Stop()
	patience := time.NewTimer(silence)
	defer patience.Stop()
	for {
		err := s.connect(ctx)
		if err == nil {
			return nil
		}
		var refused *pgconn.PgError
		switch {
		case errors.As(err, &refused) && refused.Code == "57P03": // cannot_connect_now
			patience.Reset(silence)
		case errors.As(err, &refused):
			return fmt.Errorf("PostgreSQL started but refuses: %w", err)
		case errors.As(err, new(*pgconn.ParseConfigError)):
			return fmt.Errorf("a setting of PostgreSQL in the environment is in the way (PGSERVICE?): %w", err)
		}
		select {
		case <-tick.C:
		case <-s.process.done:
			return fmt.Errorf("PostgreSQL ended while starting: %s", s.process.said.why())
		case <-patience.C:
			return fmt.Errorf("PostgreSQL did not answer within %s: %w", silence, err)
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// connect proves that the database is there, and makes it when it is missing.
func (s *Server) connect(ctx context.Context) error {
	conn, err := pgx.Connect(ctx, s.URL(Database))
	if err == nil {
		return conn.Close(ctx)
	}
	var refused *pgconn.PgError
	if !errors.As(err, &refused) || refused.Code != "3D000" { // invalid_catalog_name: no such database
		return err
	}
	conn, err = pgx.Connect(ctx, s.URL("postgres"))
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, "create database "+pgx.Identifier{Database}.Sanitize())
	return err
}

// Done is closed when postgres has ended, by Stop or by itself.
func (s *Server) Done() <-chan struct{} { return s.process.done }

// Err is nil while postgres runs and after Stop ended it; otherwise it says how it
// ended by itself.
func (s *Server) Err() error {
	select {
	case <-s.process.done:
	default:
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.stopping {
		return nil
	}
	how := "exit status 0"
	if s.process.err != nil {
		how = s.process.err.Error()
	}
	return fmt.Errorf("the database ended by itself (%s): %s", how, s.process.said.why())
}

// Stop ends postgres in order: it breaks off connections and writes its data. When that
// takes longer than 20 s, or the context ends, it has 5 s to end without (it reads its log
// at the next start). Then the folder is free for another program. Close connections first.
// A second Stop changes nothing.
func (s *Server) Stop(ctx context.Context) error {
	s.mu.Lock()
	select {
	case <-s.process.done: // by itself: Err keeps saying so
	default:
		s.stopping = true
	}
	s.mu.Unlock()
	defer s.release()
	if !s.end(ctx, syscall.SIGINT, gentle) && !s.end(context.WithoutCancel(ctx), syscall.SIGQUIT, abrupt) {
		return fmt.Errorf("the database (process %d) does not end", s.process.cmd.Process.Pid)
	}
	if s.Address.folder != s.folder.run() {
		_ = os.Remove(s.Address.folder) // in /tmp; the next start makes it again
	}
	return nil
}

// end sends the signal and waits; false when postgres is still there afterwards.
func (s *Server) end(ctx context.Context, sig os.Signal, patience time.Duration) bool {
	_ = s.process.cmd.Process.Signal(sig) // fails only when it has ended already
	timeout := time.NewTimer(patience)
	defer timeout.Stop()
	select {
	case <-s.process.done:
		return true
	case <-timeout.C:
	case <-ctx.Done():
	}
	select { // an ended context must not hide that it is over
	case <-s.process.done:
		return true
	default:
		return false
	}
}

// abandon gives up a start that failed.
func (s *Server) abandon() error {
	defer s.release()
	if s.process == nil {
		return nil
	}
	return s.Stop(context.Background())
}
