// Package letter is how mail looks. Its HTML and its plain text are made of the same
// note, line by line, so that neither says more than the other. Styles stand at each
// element and there are no pictures, since mail programs load neither.
package letter

import "strings"

// Note is a letter in words.
type Note struct {
	Title  string   // what it is about; also the first line
	Hello  string   // "Hello Ines,"; empty: nobody is here by name yet
	Lines  []string // paragraphs before the button
	Button Link     // zero: there is nothing to press
	After  []string // paragraphs after it
	Foot   string   // from whom it comes, and why
}

// Link is an address with the words to press.
type Link struct {
	Words string
	Href  string
}

// Text is the note as plain text: paragraphs with an empty line between them.
func (n Note) Text() string {
	all := make([]string, 0, len(n.Lines)+len(n.After)+4)
	if n.Hello != "" {
		all = append(all, n.Hello)
	}
	all = append(all, n.Lines...)
	if n.Button.Href != "" {
		all = append(all, n.Button.Words+":\n"+n.Button.Href)
	}
	all = append(all, n.After...)
	all = append(all, "-- \n"+n.Foot)
	return strings.Join(all, "\n\n") + "\n"
}
