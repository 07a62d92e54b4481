// Package letter is how mail looks. Its HTML and its plain text are made of the same
// note, line by line, so that neither says more than the other. Styles stand at each
// element and there are no pictures, since mail programs load neither.
package letter

import "strings"

// Note is a letter in words.
type Note struct {
	Title  string   // what it is about; also the first line
	Hello  string   // "Hello Ines,"; empty: nobody is here by name yet
	Quote  Quote    // somebody's own words, before ours; zero: there are none
	Lines  []string // paragraphs before the button
	Strip  Strip    // a session drawn below the first of them, which tells it in words; zero: none is
	Button Link     // zero: there is nothing to press
	After  []string // paragraphs after it
	Foot   string   // from whom it comes, and why
	Stop   Link     // how to stop letters like it; zero: they do not come by themselves
}

// Quote is what somebody wrote, as it was written.
type Quote struct {
	Words string // may have several lines
	By    string // who wrote it
}

// lines are the lines of the words.
func (q Quote) lines() []string { return strings.Split(q.Words, "\n") }

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
	if n.Quote.Words != "" {
		all = append(all, n.Quote.Words+"\n"+n.Quote.By)
	}
	all = append(all, n.Lines...)
	if n.Button.Href != "" {
		all = append(all, n.Button.Words+":\n"+n.Button.Href)
	}
	all = append(all, n.After...)
	foot := "-- \n" + n.Foot
	if n.Stop.Href != "" {
		foot += "\n" + n.Stop.Words + ":\n" + n.Stop.Href
	}
	all = append(all, foot)
	return strings.Join(all, "\n\n") + "\n"
}
