package mail

import (
	"context"
	"strings"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/web/letter"
)

// gentle is a word after silence, in the words of the club and signed by the athlete's
// coach. It is moot as soon as something was heard, or a reason for the silence is known.
func (h *Hearing) gentle(ctx context.Context, l *post.Letter) (letter.Note, error) {
	silence, err := h.Morning.Silence(ctx, l.Club.ID, l.Athlete)
	switch {
	case err != nil:
		return letter.Note{}, moot(err)
	case !silence.Holds:
		return letter.Note{}, post.ErrMoot
	}
	word, err := h.Words.GentleWord(ctx, l.Club.ID)
	if err != nil {
		return letter.Note{}, err
	}
	by := l.By
	if by == "" {
		by = "Your coaches at " + l.Club.Name
	}
	return letter.Note{
		Title: "A word from " + l.Club.Name, Lines: append(paragraphs(word.Text()), by), Button: h.today("To your first page"),
		Foot: l.Club.Name + " writes once when it has been quiet for a week. Halfhour sent this from " + h.Here + ".",
		Stop: letter.Link{Words: "Get no such letters any more"},
	}, nil
}

// paragraphs are parted by empty lines.
func paragraphs(text string) []string {
	var list []string
	for p := range strings.SplitSeq(text, "\n\n") {
		if p = strings.TrimSpace(p); p != "" {
			list = append(list, p)
		}
	}
	return list
}
