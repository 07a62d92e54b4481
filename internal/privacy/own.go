package privacy

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Own is what is kept of the coach who asks, as JSON: who it is, logins, passkeys,
// letters, and which decisions, notes and looks were the coach's. What stands in those
// is about somebody else, and is in that person's archive.
func (s *Service) Own(ctx context.Context, who roster.Actor) ([]byte, error) {
	if who.Coach == 0 {
		return nil, fault.New(fault.NotFound, "")
	}
	return s.Store.Own(ctx, who.Club, who.Coach)
}
