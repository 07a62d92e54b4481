package letter

import (
	"strings"
	"unicode/utf8"
)

// lineLength is how many characters a line of plain text has at most, where its words
// allow it (RFC 5322 section 2.1.1 asks for 78, found).
const lineLength = 78

// indent is what stands before the lines about somebody.
const indent = "  "

// wrapped is the text in lines, each with what stands before it. A word that is longer
// than a line, as an address may be, stands on a line of its own.
func wrapped(before, text string) string {
	var b strings.Builder
	room := 0
	for word := range strings.FieldsSeq(text) {
		length := utf8.RuneCountInString(word)
		switch {
		case b.Len() == 0:
			b.WriteString(before)
			room = lineLength - utf8.RuneCountInString(before)
		case room < length+1:
			b.WriteString("\n" + before)
			room = lineLength - utf8.RuneCountInString(before)
		default:
			b.WriteByte(' ')
			room--
		}
		b.WriteString(word)
		room -= length
	}
	b.WriteByte('\n')
	return b.String()
}

func indented(text string) string { return wrapped(indent, text) }

// headText is the letter's beginning.
func (w *Weekly) headText() string {
	var b strings.Builder
	b.WriteString(wrapped("", w.Title) + wrapped("", w.Week))
	for _, words := range [...]string{w.Late, w.Lead, w.Sub} {
		if words != "" {
			b.WriteString("\n" + wrapped("", words))
		}
	}
	return b.String()
}

// headText is the section's title, underlined, with its sentence.
func (s *Section) headText() string {
	title := s.Title + " (" + s.Count + ")"
	text := "\n\n" + title + "\n" + strings.Repeat("-", utf8.RuneCountInString(title)) + "\n"
	if s.Words != "" {
		text += wrapped("", s.Words)
	}
	if s.Narrow {
		text += "\n"
	}
	return text
}

// text is somebody's paragraph; the address stands on a line of its own.
func (p *Person) text() string {
	var b strings.Builder
	name := p.Name
	if p.Phase != "" {
		name += ": " + p.Phase
	}
	b.WriteString("\n" + wrapped("", name))
	if p.Flag != "" {
		b.WriteString(indented(p.Flag))
	}
	for _, words := range p.Lines {
		b.WriteString(indented(words))
	}
	for _, words := range [...]string{p.Week, p.Load} {
		if words != "" {
			b.WriteString(indented(words))
		}
	}
	b.WriteString(indent + p.Href + "\n")
	return b.String()
}

// narrowText is somebody's line, and the address below it.
func (p *Person) narrowText() string {
	return indented(p.Name+": "+p.Phase+"; "+p.Note) + indent + indent + p.Href + "\n"
}

// footText is the letter's end, after the two minuses that end a letter.
func (w *Weekly) footText() string {
	var b strings.Builder
	b.WriteString("\n\n" + wrapped("", w.Roster.Words+":") + w.Roster.Href + "\n\n-- \n")
	for _, words := range w.Foot {
		b.WriteString(wrapped("", words))
	}
	for _, l := range [...]Link{w.Change, w.Stop} {
		if l.Href != "" {
			b.WriteString(wrapped("", l.Words+":") + l.Href + "\n")
		}
	}
	return b.String()
}
