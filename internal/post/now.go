package post

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// How many letters a coach may ask for, within how long: enough to try what was chosen,
// too few to fill a mailbox. Ours.
const (
	nowMost   = 6
	nowWithin = time.Hour
)

// WriteNow writes the coach a letter as things stand now. The same key twice is written
// once; more than a few an hour are fault.TooMany.
func (s *Service) WriteNow(ctx context.Context, who roster.Actor, key roster.Key) error {
	wrote, err := s.Store.WriteNow(ctx, who, key, s.Now().Add(-nowWithin), nowMost)
	if err == nil && !wrote {
		err = fault.New(fault.TooMany, "That is six letters within an hour. The next one can be sent a little later.")
	}
	return err
}

// Previewer puts together the weekly letter to a coach as it would be written now, or
// with a day as of the end of that day, news or none. Nothing of it is kept.
type Previewer interface {
	Preview(ctx context.Context, club roster.ClubID, coach roster.CoachID, asOf day.Date) (*Content, error)
}

// Preview is the weekly letter to the coach who asks as it would be written now.
func (s *Service) Preview(ctx context.Context, who roster.Actor) (*Content, error) {
	return s.Previewer.Preview(ctx, who.Club, who.Coach, 0)
}

// Past is a letter about the week that was written to a coach.
type Past struct {
	ID      roster.LetterID
	Kind    Kind      // Weekly or WeeklyNow
	Week    day.Date  // of Weekly: the Monday of its week where the club is
	MadeAt  time.Time // when it was written
	SentAt  time.Time // zero: it waits, or was dropped
	Dropped Why       // empty: it was not
	Subject string    // empty: nothing is kept of it
	Parts   int       // of how many parts it was made
}

// mostPast is how many letters are listed: a year of weeks, and those asked for.
const mostPast = 100

// Past are the letters about weeks that were written to the coach who asks, the newest
// first.
func (s *Service) Past(ctx context.Context, who roster.Actor) ([]Past, error) {
	return s.Store.PastLetters(ctx, who, mostPast)
}

// SentLetter is one of them as it was sent; one that was not, or was not to the coach,
// is fault.NotFound. Where Parts are more than there are parts in the content, it told
// of somebody who was erased since.
func (s *Service) SentLetter(ctx context.Context, who roster.Actor, id roster.LetterID) (Past, Content, error) {
	p, err := s.Store.PastLetter(ctx, who, id)
	if err == nil && (p.SentAt.IsZero() || p.Subject == "") {
		err = fault.New(fault.NotFound, "")
	}
	if err != nil {
		return Past{}, Content{}, err
	}
	c, err := s.Store.Content(ctx, who.Club, id)
	return p, c, err
}
