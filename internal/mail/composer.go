package mail

import (
	"context"
	"errors"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// Composer puts together what stands in letters that are kept, from what people read in
// the app.
type Composer struct {
	Readers post.Readers
	Morning *morning.Service
	Hearing *Hearing // of what athletes hear, and of what coaches are told at once
	Here    string   // how people reach this Halfhour
}

var _ post.Composer = (*Composer)(nil)

// errNoWords says that nobody has written the words of a kind.
var errNoWords = errors.New("there are no words for letters of this kind")

// Compose puts together what stands in the letter, or gives post.ErrMoot.
func (c *Composer) Compose(ctx context.Context, l *post.Letter) (*post.Content, error) {
	switch l.Kind {
	case post.Weekly, post.WeeklyNow:
		return c.weekly(ctx, l)
	}
	return c.Hearing.Compose(ctx, l)
}

// weekly is moot for a coach who has left or has stopped it, and where nothing is new
// for one who wants news alone. One that was asked for just now is always written.
func (c *Composer) weekly(ctx context.Context, l *post.Letter) (*post.Content, error) {
	r, err := c.Readers.Reader(ctx, l.Club.ID, l.Coach)
	switch {
	case fault.KindOf(err) == fault.NotFound:
		return nil, post.ErrMoot
	case err != nil:
		return nil, err
	case l.Kind == post.Weekly && !r.Wishes.On:
		return nil, post.ErrMoot
	}
	w, err := c.Morning.Weekly(ctx, r.Club, r.Actor(), r.Wishes.All, 0)
	if err != nil {
		return nil, err
	}
	if l.Kind == post.Weekly && r.Wishes.NewsOnly && !w.News() {
		return nil, post.ErrMoot
	}
	f := c.frame(&r, l.Kind)
	if l.Kind == post.Weekly {
		f.due = (l.Week + day.Date(r.Wishes.Day-1)).At(r.Wishes.Hour, r.Club.Place())
	}
	return content(ctx, w, f)
}

// Preview is the weekly letter to the coach as it would be written now, or, with an
// earlier day, as it would have been at the end of that day; news or none.
func (c *Composer) Preview(ctx context.Context, club roster.ClubID, coach roster.CoachID, asOf day.Date) (*post.Content, error) {
	r, err := c.Readers.Reader(ctx, club, coach)
	if err != nil {
		return nil, err
	}
	w, err := c.Morning.Weekly(ctx, r.Club, r.Actor(), r.Wishes.All, asOf)
	if err != nil {
		return nil, err
	}
	return content(ctx, w, c.frame(&r, post.Weekly))
}

func (c *Composer) frame(r *post.Reader, kind post.Kind) frame {
	return frame{
		Reader: r, here: c.Here, asked: kind == post.WeeklyNow, place: r.Club.Place(),
		stop: StopAt(c.Here, &post.Letter{Kind: kind, Stop: r.Stop}),
	}
}

// content lays the week out.
func content(ctx context.Context, w *morning.Weekly, f frame) (*post.Content, error) {
	view := weeklyOf(w, f)
	parts, err := view.Parts(ctx)
	if err != nil {
		return nil, err
	}
	made := &post.Content{Subject: subject(w, f.Club.Name), Parts: make([]post.Part, len(parts))}
	for i, p := range parts {
		made.Parts[i] = post.Part(p)
	}
	return made, nil
}

// frame is what a weekly letter says besides the week itself.
type frame struct {
	*post.Reader
	here  string
	stop  string    // the address that stops it; empty: there is nothing to stop
	asked bool      // the coach asked for it now
	due   time.Time // when it was to be written; zero: it never was
	place *time.Location
}
