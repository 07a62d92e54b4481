package part

import (
	"strconv"
	"strings"

	"github.com/a-h/templ"
)

// Errors are what is wrong with a form, by the name of the field. The place "" is
// said on top without a link.
type Errors map[string]string

// At is what is wrong at a field; empty: nothing.
func (e Errors) At(name string) string { return e[name] }

// Mistake is one line of the summary on top of a form.
type Mistake struct {
	Field string // id of the field it leads to; empty: none
	Words string // "When: that is still to come"
}

// Field is one line to fill in.
type Field struct {
	Name   string // also its id, unless ID says else
	ID     string
	Label  string
	Hint   string // below the label; may be empty
	Value  string // what was typed
	Error  string // empty: nothing wrong
	Type   string // text unless set: email, password, number, date, time, search, …
	Auto   string // autocomplete
	Min    string
	Max    string
	Mode   string // inputmode
	Length int    // most characters; 0: not limited here
	List   string // id of a datalist
	Must   bool   // has to be filled in
	Unit   string // after the field: "min"
	Rows   int    // above 0: a text of several lines
}

// Option is one choice of several.
type Option struct {
	Value string
	Words string
	Hint  string // may be empty
}

// Choices is a group of which one is picked.
type Choices struct {
	Name    string
	Label   string // the legend
	Hint    string
	Value   string // what is picked; empty: nothing yet
	Error   string
	Options []Option
}

// id is the id of the field.
func (f Field) id() string {
	if f.ID != "" {
		return f.ID
	}
	return f.Name
}

// attributes are those that only some fields have.
func (f Field) attributes() templ.Attributes {
	a := described(f.id(), f.Hint, f.Error)
	set := func(name, value string) {
		if value != "" {
			a[name] = value
		}
	}
	if f.Rows == 0 {
		set("type", f.Type)
		set("list", f.List)
	}
	set("autocomplete", f.Auto)
	set("min", f.Min)
	set("max", f.Max)
	set("inputmode", f.Mode)
	if f.Length > 0 {
		a["maxlength"] = strconv.Itoa(f.Length)
	}
	if f.Must {
		a["required"] = true
	}
	return a
}

// attributes join the group to its hint and its fault.
func (c Choices) attributes() templ.Attributes {
	a := described(c.Name, c.Hint, c.Error)
	delete(a, "aria-invalid") // belongs to fields, not to groups
	return a
}

// described joins a field to its hint and its fault.
func described(id, hint, wrong string) templ.Attributes {
	a := templ.Attributes{}
	var by []string
	if hint != "" {
		by = append(by, id+"-hint")
	}
	if wrong != "" {
		by = append(by, id+"-wrong")
		a["aria-invalid"] = "true"
	}
	if len(by) > 0 {
		a["aria-describedby"] = strings.Join(by, " ")
	}
	return a
}

// summaryTitle counts the mistakes.
func summaryTitle(n int) string {
	if n == 1 {
		return "One thing to look at"
	}
	return strconv.Itoa(n) + " things to look at"
}
