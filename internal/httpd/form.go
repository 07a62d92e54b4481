package httpd

import (
	"encoding/base32"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// form is what was typed, with what is wrong where. A reading function notes a
// fault and gives a zero value; the handler asks err once, at the end.
type form struct {
	values url.Values
	faults []fault.Field
	hotWhy string // why the form says by itself that it was hot; never from a request
}

// formOf reads the request's body. A body that is no form is Invalid; one that
// is too large keeps its own error.
func formOf(r *http.Request) (*form, error) {
	var tooLarge *http.MaxBytesError
	switch err := r.ParseForm(); {
	case errors.As(err, &tooLarge):
		return nil, err
	case err != nil:
		return nil, damaged(err)
	}
	return &form{values: r.PostForm}, nil
}

// keyedForm reads a form that must carry its key; without one the page was out of date.
func keyedForm(r *http.Request) (*form, roster.Key, error) {
	f, err := formOf(r)
	if err != nil {
		return nil, "", err
	}
	key := f.key()
	if len(f.faults) > 0 {
		return nil, "", errStale()
	}
	return f, key, nil
}

// damaged says that a form did not arrive whole.
func damaged(cause error) error {
	return &fault.Error{Kind: fault.Invalid, Message: "The form arrived damaged. Go back and send it again.", Cause: cause}
}

// text is a field without the spaces around it.
func (f *form) text(name string) string { return strings.TrimSpace(f.values.Get(name)) }

// raw is a field exactly as typed; for passwords.
func (f *form) raw(name string) string { return f.values.Get(name) }

// ticked says whether a check box was ticked.
func (f *form) ticked(name string) bool { return f.values.Get(name) != "" }

// all are the values of a field that may be there several times.
func (f *form) all(name string) []string { return f.values[name] }

// number is a whole number; an empty field is 0 and not known.
func (f *form) number(name string) (n int, known bool) {
	typed := f.text(name)
	if typed == "" {
		return 0, false
	}
	n, err := strconv.Atoi(typed)
	if err != nil {
		f.wrong(name, "a whole number, please")
		return 0, false
	}
	return n, true
}

// whole is a whole number that must be there.
func (f *form) whole(name string) int {
	n, known := f.number(name)
	if !known && f.faultAt(name) == "" {
		f.wrong(name, "a whole number, please")
	}
	return n
}

// date is a civil date written 2026-04-14; an empty field is no date.
func (f *form) date(name string) day.Date {
	typed := f.text(name)
	if typed == "" {
		return 0
	}
	d, err := day.Parse(typed)
	if err != nil {
		f.wrong(name, "a date like 2026-04-14, please")
	}
	return d
}

// key is the hidden key of the form, which makes sending it twice store it once.
func (f *form) key() roster.Key {
	k := f.text("key")
	if !soundKey(k) {
		f.wrong("key", "the form is out of date; load the page again")
		return ""
	}
	return roster.Key(k)
}

// soundKey says whether the text is a key as roster.Key describes.
func soundKey(k string) bool {
	if len(k) < 8 || len(k) > 64 {
		return false
	}
	return strings.Trim(k, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_") == ""
}

// wrong notes what is wrong with a field.
func (f *form) wrong(place, message string) {
	f.faults = append(f.faults, fault.Field{Place: place, Message: message})
}

// take notes the fields of an Invalid error and says whether it was one; any
// other error is for the caller to return.
func (f *form) take(err error) bool {
	fields := fault.FieldsOf(err)
	f.faults = append(f.faults, fields...)
	return len(fields) > 0
}

// faultAt is what is wrong at a field; empty where nothing is.
func (f *form) faultAt(place string) string {
	for _, field := range f.faults {
		if field.Place == place {
			return field.Message
		}
	}
	return ""
}

// newKey is a fresh key for a form.
func (s *server) newKey() (roster.Key, error) {
	var b [15]byte
	if _, err := io.ReadFull(s.Random, b[:]); err != nil {
		return "", err
	}
	return roster.Key(base32.StdEncoding.EncodeToString(b[:])), nil
}
