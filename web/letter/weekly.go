package letter

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/roster"
)

// Weekly is a weekly letter in words, ready to be laid out. Its HTML and its plain text
// are made of the same values, part by part.
type Weekly struct {
	Title    string // the club
	Week     string // which seven days
	Lead     string // how many decide, in large letters
	Sub      string // who else is to be thought of; may be empty
	Late     string // that the letter is late; empty: it is not
	Sections []Section
	Roster   Link
	Foot     []string // why it came, and what it is not
	Change   Link     // where day, hour and content are chosen
	Stop     Link     // where it is stopped; zero: nobody asked for it to come again
}

// Tone is the colour at the side of a section; the words say the same.
type Tone string

// The tones, as they are drawn on light ground.
const (
	Rust  Tone = "#b4532a"
	Teal  Tone = "#1f5b63"
	Plum  Tone = "#6b3f72"
	Ochre Tone = "#8a6a1f"
	Grey  Tone = "#5b6871"
)

// Section is people of whom the same is to be said.
type Section struct {
	Title  string
	Count  string // "3"; of all of them, those not listed too
	Words  string // a sentence below the title; may be empty
	Tone   Tone
	Narrow bool // a line a person
	People []Person
	More   string // those not listed; may be empty
}

// Person is what is said of one athlete. A Narrow section shows Name, Phase and Note.
type Person struct {
	Athlete roster.AthleteID
	Name    string // or initials
	Href    string
	Phase   string
	Note    string   // of a narrow row; may be empty
	Flag    string   // what is proposed or noticed; may be empty
	Lines   []string // sentences
	Week    string   // this week's sessions in words; may be empty
	Load    string   // six weeks of load in words; may be empty
	Strips  []Strip  // this week's sessions, to be seen; the words say the same
	Bars    []Bar    // the same six weeks; empty: words alone
}

// Part is a stretch of the letter, whole as HTML and as plain text. One that is about
// an athlete can be taken out and leaves a letter that is whole.
type Part struct {
	Athlete roster.AthleteID // 0: about nobody
	Plain   string           // ends with a line's end
	HTML    string
}

// Parts lays the letter out.
func (w *Weekly) Parts(ctx context.Context) ([]Part, error) {
	p := parts{ctx: ctx}
	p.add(0, w.headText(), weeklyHead(w))
	for i := range w.Sections {
		s := &w.Sections[i]
		p.add(0, s.headText(), sectionHead(s))
		for j := range s.People {
			one := &s.People[j]
			if s.Narrow {
				p.add(one.Athlete, one.narrowText(), narrowRow(one))
			} else {
				p.add(one.Athlete, one.text(), personRow(one, s.Tone))
			}
		}
		if s.More != "" {
			p.add(0, indented(s.More), moreRow(s.More))
		}
	}
	p.add(0, w.footText(), weeklyFoot(w))
	return p.list, p.err
}

// parts collects what is laid out until something goes wrong.
type parts struct {
	ctx  context.Context
	list []Part
	err  error
}

func (p *parts) add(athlete roster.AthleteID, plain string, html component) {
	var page strings.Builder
	if p.err == nil {
		p.err = html.Render(p.ctx, &page)
	}
	p.list = append(p.list, Part{Athlete: athlete, Plain: plain, HTML: page.String() + "\n"})
}
