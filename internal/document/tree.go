// Package document reads what an athlete did as one JSON document and writes the
// verdict as another: the same on the command line, in tests and in what is kept
// with a decision.
package document

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"halfhour.app/halfhour/internal/fault"
)

// Limits of a document that is read.
const (
	largest = 32 << 20 // bytes
	deepest = 32       // nested values
)

// node is a JSON value with where it stands in the document.
type node struct {
	kind    byte // one of { [ s n t f 0 (null)
	text    string
	members []member
	items   []*node
	end     int64 // offset behind the value
}

type member struct {
	key   string
	value *node
}

// get is the member with the key, nil where it is left out or null: both are the
// same everywhere.
func (n *node) get(key string) *node {
	if n == nil {
		return nil
	}
	for _, m := range n.members {
		if m.key == key && m.value.kind != '0' {
			return m.value
		}
	}
	return nil
}

// parser turns the text into nodes and collects what is wrong, each with its
// offset, so that faults are told in the document's order.
type parser struct {
	decoder *json.Decoder
	faults  []located
}

type located struct {
	at int64
	fault.Field
}

func (p *parser) fail(at int64, place, format string, args ...any) {
	p.faults = append(p.faults, located{at, fault.Field{Place: place, Message: fmt.Sprintf(format, args...)}})
}

// sorted are the faults in the document's order.
func (p *parser) sorted() []fault.Field {
	slices.SortStableFunc(p.faults, func(a, b located) int { return int(min(1, max(-1, a.at-b.at))) })
	fields := make([]fault.Field, len(p.faults))
	for i, f := range p.faults {
		fields[i] = f.Field
	}
	return fields
}

// parse reads one value and nothing after it.
func (p *parser) parse(r io.Reader) *node {
	limited := &io.LimitedReader{R: r, N: largest + 1}
	p.decoder = json.NewDecoder(limited)
	p.decoder.UseNumber()
	root, err := p.value("", 0)
	if err == nil {
		if _, after := p.decoder.Token(); !errors.Is(after, io.EOF) {
			err = errors.New("there is something after the document")
		}
	}
	switch {
	case limited.N <= 0:
		p.fail(0, "document", "is larger than %d MB", largest>>20)
		return nil
	case err != nil:
		p.fail(p.decoder.InputOffset(), "document", "%s", plain(err))
		return nil
	}
	return root
}

// plain says a reading error in words.
func plain(err error) string {
	var syntax *json.SyntaxError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return "ends too early"
	case errors.As(err, &syntax):
		return fmt.Sprintf("is not JSON at byte %d: %s", syntax.Offset, syntax.Error())
	default:
		return err.Error()
	}
}

func (p *parser) value(place string, depth int) (*node, error) {
	if depth > deepest {
		return nil, fmt.Errorf("is nested deeper than %d levels", deepest)
	}
	token, err := p.decoder.Token()
	if err != nil {
		return nil, err
	}
	n := &node{}
	switch t := token.(type) {
	case json.Delim:
		n.kind = byte(t)
		if t == '{' {
			err = p.object(n, place, depth)
		} else {
			err = p.array(n, place, depth)
		}
	case string:
		n.kind, n.text = 's', t
	case json.Number:
		n.kind, n.text = 'n', t.String()
	case bool:
		n.kind = 'f'
		if t {
			n.kind = 't'
		}
	default:
		n.kind = '0'
	}
	n.end = p.decoder.InputOffset()
	return n, err
}

func (p *parser) object(n *node, place string, depth int) error {
	for p.decoder.More() {
		token, err := p.decoder.Token()
		if err != nil {
			return err
		}
		key, ok := token.(string)
		if !ok {
			return errors.New("has something other than a name where a name must be")
		}
		at := p.decoder.InputOffset()
		inner := join(place, key)
		twice := slices.ContainsFunc(n.members, func(m member) bool { return m.key == key })
		value, err := p.value(inner, depth+1)
		if err != nil {
			return err
		}
		if twice {
			p.fail(at, inner, "is there twice")
			continue
		}
		n.members = append(n.members, member{key, value})
	}
	_, err := p.decoder.Token()
	return err
}

func (p *parser) array(n *node, place string, depth int) error {
	for p.decoder.More() {
		item, err := p.value(fmt.Sprintf("%s[%d]", place, len(n.items)), depth+1)
		if err != nil {
			return err
		}
		n.items = append(n.items, item)
	}
	_, err := p.decoder.Token()
	return err
}

// join puts a field's name behind the place of its object. A name that would not
// read well on a line of its own is quoted and kept short.
func join(place, key string) string {
	if key == "" || len(key) > 40 || strings.ContainsFunc(key, func(r rune) bool { return !unicode.IsPrint(r) }) {
		key = strconv.Quote(shorten(key))
	}
	if place == "" {
		return key
	}
	return place + "." + key
}
