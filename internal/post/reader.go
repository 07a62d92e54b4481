package post

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

// Reader is a coach as a letter knows one: what the coach wants, and whom the coach
// sees.
type Reader struct {
	Club   roster.Club
	Coach  roster.Coach
	Wishes roster.Wishes
	Next   time.Time // when the next weekly letter is due; zero: not worked out yet
	Stop   string    // the secret in the address that stops letters
}

// Actor is the coach as one who reads.
func (r *Reader) Actor() roster.Actor {
	return roster.Actor{Club: r.Club.ID, Coach: r.Coach.ID, Deputy: r.Coach.Deputy, OwnOnly: r.Club.OwnOnly && !r.Coach.Owner}
}

// Readers are the coaches who get letters. A coach who has left, or another club's, is
// fault.NotFound.
type Readers interface {
	Reader(ctx context.Context, club roster.ClubID, coach roster.CoachID) (Reader, error)
}
