package document

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
)

// object is a JSON object being read at a place.
type object struct {
	p     *parser
	n     *node
	place string
}

// asObject takes the value as an object; ok is false, and said, where it is none.
func (p *parser) asObject(n *node, place string) (object, bool) {
	if n.kind != '{' {
		p.fail(n.end, place, "must be an object")
		return object{}, false
	}
	return object{p, n, place}, true
}

// only refuses fields with other names.
func (o object) only(names ...string) {
	for _, m := range o.n.members {
		if !slices.Contains(names, m.key) {
			o.p.fail(m.value.end, join(o.place, m.key), "is not a field of this document")
		}
	}
}

// at is where a fault of the field stands: behind its value, or at the end of the
// object where it is missing.
func (o object) at(key string) int64 {
	if v := o.n.get(key); v != nil {
		return v.end
	}
	return o.n.end
}

func (o object) fail(key, format string, args ...any) {
	o.p.fail(o.at(key), join(o.place, key), format, args...)
}

// need says that a required field is missing, and whether it is there.
func (o object) need(key string) bool {
	if o.n.get(key) == nil {
		o.fail(key, "is missing")
		return false
	}
	return true
}

func (o object) text(key string) string {
	v := o.n.get(key)
	if v == nil {
		return ""
	}
	if v.kind != 's' {
		o.fail(key, "must be a text")
		return ""
	}
	return v.text
}

func (o object) truth(key string, otherwise bool) bool {
	v := o.n.get(key)
	if v == nil {
		return otherwise
	}
	if v.kind != 't' && v.kind != 'f' {
		o.fail(key, "must be true or false")
		return otherwise
	}
	return v.kind == 't'
}

// whole is a whole number from low to high; not known where it is left out or wrong.
func (o object) whole(key string, low, high int) readiness.Maybe {
	v := o.n.get(key)
	if v == nil {
		return readiness.Maybe{}
	}
	if v.kind != 'n' {
		o.fail(key, "must be a whole number from %d to %d", low, high)
		return readiness.Maybe{}
	}
	f, err := strconv.ParseFloat(v.text, 64)
	if err != nil || f != math.Trunc(f) || f < float64(low) || f > float64(high) {
		o.fail(key, "must be a whole number from %d to %d, not %s", low, high, shorten(v.text))
		return readiness.Maybe{}
	}
	return readiness.Some(int(f))
}

// date is a civil date, zero where it is left out or wrong.
func (o object) date(key string) day.Date {
	v := o.n.get(key)
	if v == nil {
		return 0
	}
	if v.kind != 's' {
		o.fail(key, "must be a date like \"2026-04-14\"")
		return 0
	}
	d, err := day.Parse(v.text)
	if err != nil {
		o.fail(key, "must be a date like \"2026-04-14\", not %q", shorten(v.text))
	}
	return d
}

// dateUpTo is a date that must not be later than the last, where that is known.
func (o object) dateUpTo(key string, last day.Date) day.Date {
	d := o.date(key)
	if d > last && last != 0 {
		o.fail(key, "%s is after the day asked about, %s", d, last)
	}
	return d
}

// instant is a time with its offset, zero where it is left out or wrong.
func (o object) instant(key string) time.Time {
	v := o.n.get(key)
	if v == nil {
		return time.Time{}
	}
	if v.kind != 's' {
		o.fail(key, "must be a time with its offset, like \"2026-04-13T07:10:00+01:00\"")
		return time.Time{}
	}
	t, err := time.Parse(time.RFC3339, v.text)
	if err != nil || t.Year() < 1 {
		o.fail(key, "must be a time with its offset, like \"2026-04-13T07:10:00+01:00\", not %q", shorten(v.text))
		return time.Time{}
	}
	return t
}

// choice is one of the names a parse function knows; the zero value where it is
// left out or wrong.
func choice[T any](o object, key string, parse func(string) (T, bool), names string) T {
	var none T
	v := o.n.get(key)
	if v == nil {
		return none
	}
	if v.kind == 's' && v.text != "" {
		if t, ok := parse(v.text); ok {
			return t
		}
	}
	o.fail(key, "must be one of %s", names)
	return none
}

// items are the values of an array; none where it is left out or no array.
func (o object) items(key string) []*node {
	v := o.n.get(key)
	if v == nil {
		return nil
	}
	if v.kind != '[' {
		o.fail(key, "must be a list")
		return nil
	}
	return v.items
}

// shorten keeps a message readable whatever was sent.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return strings.ToValidUTF8(s, "�")
}
