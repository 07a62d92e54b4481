package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/golang-migrate/migrate/v4"
	"github.com/golang-migrate/migrate/v4/database"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/migrations"
)

// lockPatience is how long one program waits while another takes the steps.
const lockPatience = 5 * time.Minute

// Status is how far the database's steps have been taken.
type Status struct {
	Version uint // of the newest step taken; 0: none yet
	Newest  uint // that this program knows
	Dirty   bool // a step stopped half-way
}

// Migrate takes every step that is still to be taken, in order. Several programs
// may call it at once: one takes the steps, the others wait.
func Migrate(ctx context.Context, url string) error {
	return withSteps(ctx, url, func(conn *pgx.Conn, m *migrate.Migrate) error {
		if err := notAhead(m); err != nil {
			return err
		}
		if err := prepareRoles(ctx, conn); err != nil {
			return err
		}
		if err := m.Up(); err != nil && !errors.Is(err, migrate.ErrNoChange) {
			return rolledBack(m, err, -1)
		}
		_, err := conn.Exec(ctx, ownersSQL)
		return err
	})
}

// MigrateDown takes the newest steps back, with what they hold.
func MigrateDown(ctx context.Context, url string, steps int) error {
	if steps < 1 {
		return fmt.Errorf("at least one step can be taken back, not %d", steps)
	}
	return withSteps(ctx, url, func(_ *pgx.Conn, m *migrate.Migrate) error {
		if err := notAhead(m); err != nil {
			return err
		}
		return rolledBack(m, m.Steps(-steps), +1)
	})
}

// notAhead refuses a database on which a newer program has taken steps that this one
// does not know.
func notAhead(m *migrate.Migrate) error {
	newest, err := newestStep()
	if err != nil {
		return err
	}
	if version, _, err := m.Version(); err == nil && version > newest {
		return fmt.Errorf("a newer Halfhour has worked with this database: it stands at step %d, and this program knows %d. "+
			"Run that version, or a newer one, or bring back a copy from before (deploy/restore.md)", version, newest)
	}
	return nil
}

// MigrateAnew takes every step back, with all that is kept, and takes them again:
// for a demo alone.
func MigrateAnew(ctx context.Context, url string) error {
	err := withSteps(ctx, url, func(_ *pgx.Conn, m *migrate.Migrate) error {
		if err := m.Down(); !errors.Is(err, migrate.ErrNoChange) {
			return rolledBack(m, err, +1)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return Migrate(ctx, url)
}

// MigrateForce says that the database stands at the version (0: before the first
// step), after the steps were interrupted. It changes nothing else.
func MigrateForce(ctx context.Context, url string, version int) error {
	newest, err := newestStep()
	if err != nil {
		return err
	}
	if version < 0 || version > int(newest) {
		return fmt.Errorf("there is no step %d; the steps go from 1 to %d, and 0 is before the first", version, newest)
	}
	return withSteps(ctx, url, func(_ *pgx.Conn, m *migrate.Migrate) error { return m.Force(orNone(version)) })
}

// orNone is a version as the steps are counted: before the first is none.
func orNone(version int) int {
	if version == 0 {
		return database.NilVersion
	}
	return version
}

// rolledBack puts the count right after a step that the database refused: a step is
// one transaction, so nothing of it was kept. The count was moved on before; back
// leads to the step that holds.
func rolledBack(m *migrate.Migrate, err error, back int) error {
	if !errors.As(causeOf(err), new(*pgconn.PgError)) {
		return err
	}
	version, dirty, asked := m.Version()
	switch {
	case errors.Is(asked, migrate.ErrNilVersion) && back > 0:
		return errors.Join(err, m.Force(1))
	case asked != nil || !dirty:
		return err
	}
	return errors.Join(err, m.Force(orNone(int(version)+back)))
}

// causeOf is what the database said, without the text of the whole step.
func causeOf(err error) error {
	var failed database.Error
	var refused *database.Error
	switch {
	case errors.As(err, &refused):
		return refused.OrigErr
	case errors.As(err, &failed):
		return failed.OrigErr
	}
	return err
}

// MigrationStatus tells how far the steps have been taken.
func MigrationStatus(ctx context.Context, url string) (Status, error) {
	newest, err := newestStep()
	if err != nil {
		return Status{}, err
	}
	s := Status{Newest: newest}
	err = withSteps(ctx, url, func(_ *pgx.Conn, m *migrate.Migrate) error {
		var err error
		if s.Version, s.Dirty, err = m.Version(); errors.Is(err, migrate.ErrNilVersion) {
			return nil
		}
		return err
	})
	return s, err
}

// withSteps connects to the database and to the steps inside the program.
func withSteps(ctx context.Context, url string, act func(*pgx.Conn, *migrate.Migrate) error) error {
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return fmt.Errorf("the address of the database cannot be read: %w", err)
	}
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return whyNot(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	source, err := iofs.New(migrations.Files, ".")
	if err != nil {
		return err
	}
	target, err := migratepgx.WithInstance(stdlib.OpenDB(*config), &migratepgx.Config{})
	if err != nil {
		return explainStep(err)
	}
	m, err := migrate.NewWithInstance("iofs", source, config.Database, target)
	if err != nil {
		return err
	}
	defer m.Close()
	m.LockTimeout = lockPatience
	defer context.AfterFunc(ctx, func() { m.GracefulStop <- true })() // between two steps
	if err := act(conn, m); err != nil {
		return explainStep(err)
	}
	return ctx.Err()
}

// whyNot says why there is no connection, to whoever gave the address.
func whyNot(err error) error {
	if !errors.As(err, new(*pgconn.ConnectError)) {
		return translate(err)
	}
	said := "the database does not answer; is PostgreSQL running, and does DATABASE_URL lead there?"
	var refused *pgconn.PgError
	if errors.As(err, &refused) {
		said = "the database does not let the program in"
		switch refused.Code {
		case "28P01", "28000":
			said = "the database does not let this user in; are name and password right in DATABASE_URL, and in HALFHOUR_OWNER_URL if it is set?"
		case "3D000":
			said = "there is no database of that name; make it first (createdb), or name another in DATABASE_URL"
		}
	}
	return fmt.Errorf("%s: %w", said, translate(err))
}

// explainStep says in a sentence what a person has to do.
func explainStep(err error) error {
	if errors.As(err, new(*fault.Error)) {
		return err // said already
	}
	err = causeOf(err)
	var dirty migrate.ErrDirty
	var refused *pgconn.PgError
	switch {
	case errors.As(err, &dirty):
		at := max(dirty.Version, 1)
		return fmt.Errorf("the steps of the database were interrupted at step %d. A step holds as a whole or not at all: "+
			"where the tables that it makes are there, run: halfhour migrate force %[1]d; where they are not: halfhour migrate force %d",
			at, at-1)
	case errors.As(err, new(migrate.ErrShortLimit)):
		return errors.New("there were fewer steps than that; all of them are taken back")
	case errors.Is(err, migrate.ErrLockTimeout), errors.Is(err, migrate.ErrLocked):
		return fmt.Errorf("another program has been changing the database for %s; is one stuck?", lockPatience)
	case errors.As(err, &refused) && refused.Code == "42501":
		return fmt.Errorf("the database's user may not do this; it needs to own the database, or the right to create in its schema public: %w", err)
	}
	return err
}

// newestStep is the number of the last step inside the program.
func newestStep() (uint, error) {
	source, err := iofs.New(migrations.Files, ".")
	if err != nil {
		return 0, err
	}
	defer source.Close()
	n, err := source.First()
	for err == nil {
		var next uint
		if next, err = source.Next(n); err == nil {
			n = next
		}
	}
	return n, nil
}
