// Package fault holds the few kinds of error that the program tells apart, with
// messages for single fields where a person can mend them.
package fault

import (
	"errors"
	"strings"
)

// Kind says what to do about an error.
type Kind int

// The kinds. Unknown is an error nobody classified: a fault of the program.
const (
	Unknown     Kind = iota
	Invalid          // what was sent cannot be taken; Fields says where
	NotFound         // it is not there, or not yours
	Forbidden        // it is yours to see but not to do
	Conflict         // somebody else changed it meanwhile
	Gone             // it was there once: an expired or used link
	TooMany          // tried too often; try later
	Unavailable      // the database or the disk does not answer
)

// Field is one thing wrong at one place.
type Field struct {
	Place   string // the field's name, or a path such as sessions[3].effort
	Message string // what is wrong, as a person reads it
}

// String writes the fault as "place: what is wrong".
func (f Field) String() string { return f.Place + ": " + f.Message }

// Error is an error of a known kind.
type Error struct {
	Kind    Kind
	Message string  // for the person; empty where the kind says enough
	Fields  []Field // for Invalid
	Cause   error   // for the log; never shown
}

// Error is the message, then the fields, then the cause.
func (e *Error) Error() string {
	var parts []string
	if e.Message != "" {
		parts = append(parts, e.Message)
	}
	for _, f := range e.Fields {
		parts = append(parts, f.String())
	}
	if e.Cause != nil {
		parts = append(parts, e.Cause.Error())
	}
	if len(parts) == 0 {
		return e.Kind.String()
	}
	return strings.Join(parts, "; ")
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// New is an error of the kind with a message for the person.
func New(k Kind, message string) error { return &Error{Kind: k, Message: message} }

// Wrap gives the cause a kind; nil stays nil.
func Wrap(k Kind, cause error) error {
	if cause == nil {
		return nil
	}
	return &Error{Kind: k, Cause: cause}
}

// At is an Invalid error for the fields, or nil when there are none.
func At(fields ...Field) error {
	if len(fields) == 0 {
		return nil
	}
	return &Error{Kind: Invalid, Fields: fields}
}

// KindOf is the kind of the error, Unknown where nobody said.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return Unknown
}

// FieldsOf are the fields of an Invalid error.
func FieldsOf(err error) []Field {
	var e *Error
	if errors.As(err, &e) {
		return e.Fields
	}
	return nil
}

// MessageOf is the message meant for a person; empty where there is none.
func MessageOf(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Message
	}
	return ""
}

// String names the kind in plain words.
func (k Kind) String() string {
	switch k {
	case Invalid:
		return "cannot be taken as it is"
	case NotFound:
		return "not found"
	case Forbidden:
		return "not allowed"
	case Conflict:
		return "changed by somebody else meanwhile"
	case Gone:
		return "no longer valid"
	case TooMany:
		return "tried too often"
	case Unavailable:
		return "not available at the moment"
	default:
		return "unexpected fault"
	}
}
