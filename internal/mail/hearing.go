package mail

import (
	"bytes"
	"context"

	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/letter"
)

// Hearing puts together what athletes hear, and what coaches are told at once. In none
// of it is anything of somebody's health but that there is something to look at.
type Hearing struct {
	Decide  *decide.Service
	Entry   *entry.Service
	Days    *days.Service
	Morning *morning.Service
	Readers post.Readers
	Words   interface { // of the club
		GentleWord(ctx context.Context, club roster.ClubID) (post.GentleWord, error)
	}
	Here string // how people reach this Halfhour
}

// Compose puts together what stands in the letter, or gives post.ErrMoot.
func (h *Hearing) Compose(ctx context.Context, l *post.Letter) (*post.Content, error) {
	var n letter.Note
	var err error
	switch l.Kind {
	case post.Decided:
		n, err = h.decision(ctx, l)
	case post.Monday:
		n, err = h.monday(ctx, l)
	case post.Gentle:
		n, err = h.gentle(ctx, l)
	case post.AtOnce:
		n, err = h.atOnce(ctx, l)
	default:
		err = errNoWords
	}
	if err != nil {
		return nil, err
	}
	n.Hello = "Hello " + l.Name + ","
	n.Stop.Href = StopAt(h.Here, l)
	return whole(ctx, l.Athlete, n)
}

// whole is a letter of one part, since all of it is about one person.
func whole(ctx context.Context, about roster.AthleteID, n letter.Note) (*post.Content, error) {
	var html bytes.Buffer
	if err := letter.NotePage(n).Render(ctx, &html); err != nil {
		return nil, err
	}
	return &post.Content{Subject: n.Title, Parts: []post.Part{{Athlete: about, Plain: n.Text(), HTML: html.String()}}}, nil
}

// today leads an athlete to the first page.
func (h *Hearing) today(words string) letter.Link {
	return letter.Link{Words: words, Href: h.Here + "/today"}
}
