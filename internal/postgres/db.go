// Package postgres keeps everything in PostgreSQL. Every statement of SQL stands
// here, in a constant beside the function that runs it.
//
// Row security keeps clubs apart: each call is one transaction that first says
// which club it is for, and the role it works as can see no other. A call names
// the club in its statements too, so that the indexes serve it.
package postgres

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"halfhour.app/halfhour/internal/fault"
)

// Defaults of Options.
const (
	DefaultConnections      = 10
	DefaultStatementTimeout = 10 * time.Second
)

// Options are what may be set about the pool; all but the clock may stay zero.
type Options struct {
	Connections      int              // at most; 0: DefaultConnections
	StatementTimeout time.Duration    // after which the server gives a statement up; 0: DefaultStatementTimeout
	Now              func() time.Time // the clock; must be given
	Tracer           pgx.QueryTracer  // sees every statement; nil: nobody does
	Errands          Errands          // takes on what is to be done after a change; nil: nobody does, and no mail is sent

	dial pgconn.DialFunc // how connections are made, for tests that count round trips
}

// DB is a pool of connections, each of which works as a role that row security
// binds.
type DB struct {
	pool    *pgxpool.Pool
	now     func() time.Time
	errands Errands
}

// Store is everything that use cases ask of the database.
type Store struct {
	pool    *pgxpool.Pool
	now     func() time.Time
	errands Errands // nil: nobody runs any
}

// Open makes the pool and one connection, to be sure that it works. The URL is
// that of any user who is halfhour_app or may become it; the schema must be
// there (Migrate).
func Open(ctx context.Context, url string, o Options) (*DB, error) {
	if o.Now == nil {
		return nil, errors.New("postgres.Open needs a clock")
	}
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	o.apply(config)
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, translate(err)
	}
	db := &DB{pool: pool, now: o.Now, errands: o.Errands}
	if err := pool.Ping(ctx); err != nil {
		pool.Close()
		return nil, whyNot(err)
	}
	return db, nil
}

// apply puts the options into the pool's configuration.
func (o Options) apply(config *pgxpool.Config) {
	config.MaxConns = DefaultConnections
	if o.Connections > 0 {
		config.MaxConns = int32(o.Connections)
	}
	config.MaxConnIdleTime = 5 * time.Minute
	config.PingTimeout = 5 * time.Second
	config.ConnConfig.ConnectTimeout = 5 * time.Second
	config.ConnConfig.DefaultQueryExecMode = pgx.QueryExecModeCacheStatement // rows come in binary form
	config.ConnConfig.Tracer = o.Tracer
	if o.dial != nil {
		config.ConnConfig.DialFunc = o.dial
	}
	timeout := o.StatementTimeout
	if timeout <= 0 {
		timeout = DefaultStatementTimeout
	}
	config.AfterConnect = func(ctx context.Context, conn *pgx.Conn) error { return settle(ctx, conn, timeout) }
}

// Close closes every connection, when each is free again.
func (db *DB) Close() { db.pool.Close() }

// Store is what use cases ask.
func (db *DB) Store() *Store { return &Store{pool: db.pool, now: db.now, errands: db.errands} }

// Pool is the connections themselves, for those who run the errands.
func (db *DB) Pool() *pgxpool.Pool { return db.pool }

// Ping asks whether the database answers; fault.Unavailable when it does not.
func (db *DB) Ping(ctx context.Context) error { return translate(db.pool.Ping(ctx)) }

// Empty says that no club has been set up yet.
func (db *DB) Empty(ctx context.Context) (bool, error) {
	any, err := db.Store().AnyClub(ctx)
	return !any, err
}

// settleSQL makes the connection the role that row security binds. Plans are made
// once for all values, and never read a table from end to end: every statement
// finds its rows through an index, also while the server does not know yet how
// many a table has got.
const settleSQL = `
select set_config('role', case when current_user = 'halfhour_app' then 'none' else 'halfhour_app' end, false),
  set_config('statement_timeout', $1, false),
  set_config('lock_timeout', '5s', false),
  set_config('idle_in_transaction_session_timeout', '60s', false),
  set_config('plan_cache_mode', 'force_generic_plan', false),
  set_config('enable_seqscan', 'off', false),
  set_config('timezone', 'UTC', false)`

// boundSQL asks what the role could do to get round row security.
const boundSQL = `
select r.rolsuper or r.rolbypassrls,
  exists (select from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') and c.relowner = r.oid)
from pg_roles r where r.rolname = current_user`

// settle prepares a new connection, and refuses one that row security would not
// bind.
//
// The program works as halfhour_app. Where it is given another user, each
// connection becomes that role: so one address and one password are enough, on a
// server where passwords for further roles are hard to come by, and the same user
// may take the migrations. The private database is entered as halfhour_app.
func settle(ctx context.Context, conn *pgx.Conn, timeout time.Duration) error {
	if _, err := conn.Exec(ctx, settleSQL, strconv.FormatInt(timeout.Milliseconds(), 10)); err != nil {
		return explainRole(err)
	}
	var passes, owns bool
	if err := conn.QueryRow(ctx, boundSQL).Scan(&passes, &owns); err != nil {
		return err
	}
	if passes || owns {
		return fault.New(fault.Unavailable, "The database role "+appRole+" could pass the security between clubs: it must be no superuser, own no table and lack BYPASSRLS.")
	}
	return nil
}
