package part

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
