package postgres

import (
	"context"
	"errors"
	"io"
	"net"
	"os"
	"strings"
	"syscall"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"halfhour.app/halfhour/internal/fault"
)

func notFound() error { return fault.New(fault.NotFound, "") }
func conflict() error { return fault.New(fault.Conflict, "") }
func gone() error     { return fault.New(fault.Gone, "") }

// translate gives an error of the database its kind. The person reads none of the
// database's own words; they are the cause, for the log.
func translate(err error) error {
	if err == nil || errors.As(err, new(*fault.Error)) {
		return err
	}
	var refused *pgconn.PgError
	switch {
	case errors.As(err, &refused):
		return translateRefusal(refused, err)
	case errors.Is(err, pgx.ErrNoRows):
		return fault.Wrap(fault.NotFound, err)
	case errors.Is(err, context.Canceled):
		return err // whoever asked has gone
	case unreachable(err):
		return fault.Wrap(fault.Unavailable, err)
	}
	return err
}

// translateRefusal goes by the code of the error (SQLSTATE), its first two
// letters where a whole class means the same.
func translateRefusal(refused *pgconn.PgError, err error) error {
	switch refused.Code {
	case "23505": // unique_violation
		return &fault.Error{Kind: fault.Conflict, Fields: fieldOf(refused, "is there already"), Cause: err}
	case "23514", "23502": // check_violation, not_null_violation
		return &fault.Error{Kind: fault.Invalid, Fields: fieldOf(refused, "cannot be taken as it is"), Cause: err}
	case "23503": // foreign_key_violation: what it belongs to is not there
		return fault.Wrap(fault.NotFound, err)
	case "57014", "55P03", "40001", "40P01", "25006":
		// query_canceled, lock_not_available, serialization_failure, deadlock_detected, read_only_sql_transaction
		return fault.Wrap(fault.Unavailable, err)
	}
	switch refused.Code[:min(2, len(refused.Code))] {
	case "22": // data_exception: out of range, not UTF-8, …
		return &fault.Error{Kind: fault.Invalid, Cause: err}
	case "08", "53", "57", "58", "28":
		// connection_exception, insufficient_resources (a full disk), operator_intervention
		// (shutting down), system_error, invalid_authorization
		return fault.Wrap(fault.Unavailable, err)
	}
	return err
}

// fieldOf finds the field that a constraint is about: constraints of one column
// are named after table and column.
func fieldOf(refused *pgconn.PgError, message string) []fault.Field {
	place := refused.ColumnName
	if place == "" {
		place = strings.TrimPrefix(refused.ConstraintName, refused.TableName+"_")
		place = strings.TrimSuffix(place, "_once")
	}
	if place == "" {
		return nil
	}
	return []fault.Field{{Place: place, Message: message}}
}

// unreachable says that no answer came, for whatever reason.
func unreachable(err error) bool {
	for _, known := range []error{
		io.EOF, io.ErrUnexpectedEOF, net.ErrClosed, os.ErrDeadlineExceeded, context.DeadlineExceeded,
		syscall.ECONNREFUSED, syscall.ECONNRESET, syscall.EPIPE, syscall.ENOENT,
	} {
		if errors.Is(err, known) {
			return true
		}
	}
	return errors.As(err, new(*pgconn.ConnectError)) || errors.As(err, new(net.Error)) || pgconn.SafeToRetry(err)
}
