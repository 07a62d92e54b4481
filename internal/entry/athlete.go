package entry

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Athlete is the one the actor acts for or sees; else fault.NotFound.
func (s *Service) Athlete(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (roster.Athlete, error) {
	if !who.For(athlete) {
		return roster.Athlete{}, fault.New(fault.NotFound, "")
	}
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(s.Now()))
	if err == nil && !who.Sees(&file.Athlete) {
		err = fault.New(fault.NotFound, "")
	}
	return file.Athlete, err
}
