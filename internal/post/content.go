package post

import (
	"context"
	"errors"
	"strings"

	"halfhour.app/halfhour/internal/roster"
)

// Content is what stands in a letter that is kept as it was sent.
type Content struct {
	Subject string // names nobody: it is read on locked screens
	Parts   []Part // in their order; the letter is all of them one after the other
}

// Part is a piece of a letter that is about one person, or about nobody. When the
// person is erased, the part goes and the rest of the letter stays.
type Part struct {
	Athlete roster.AthleteID // whom it is about; 0: nobody
	Plain   string           // ends with the end of a line
	HTML    string           // whole elements, but for the first and the last part
}

// Plain is the letter as plain text.
func (c *Content) Plain() string { return c.join(func(p *Part) string { return p.Plain }) }

// HTML is the letter as HTML.
func (c *Content) HTML() string { return c.join(func(p *Part) string { return p.HTML }) }

func (c *Content) join(of func(*Part) string) string {
	var all strings.Builder
	for i := range c.Parts {
		all.WriteString(of(&c.Parts[i]))
	}
	return all.String()
}

// ErrMoot says that there is nothing to say in a letter any more.
var ErrMoot = errors.New("there is nothing to say any more")

// Composer puts together what stands in a letter of a kind that is kept, as things
// stand now. It gives ErrMoot where there is nothing to say: a decision was undone,
// nothing is new and only news was wanted, the athlete is away.
type Composer interface {
	Compose(ctx context.Context, l *Letter) (*Content, error)
}

// content is what stands in the letter: what was kept when it was first put together,
// so that whatever is sent again is the same.
func (s *Service) content(ctx context.Context, l *Letter) (Content, error) {
	if l.ComposedAt.IsZero() {
		made, err := s.Composer.Compose(ctx, l)
		if err != nil {
			return Content{}, err
		}
		l.ComposedAt = s.Now()
		if err := s.Store.Compose(ctx, l.Club.ID, l.ID, *made, l.ComposedAt); err != nil {
			return Content{}, err
		}
		again, err := s.Store.Letter(ctx, l.Club.ID, l.ID) // another program may have been quicker
		if err != nil {
			return Content{}, err
		}
		l.ComposedAt = again.ComposedAt
	}
	c, err := s.Store.Content(ctx, l.Club.ID, l.ID)
	if err == nil && len(c.Parts) == 0 {
		err = ErrMoot // whom it was to or about was erased a moment ago
	}
	return c, err
}
