package privacy

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Bounds of how long those who left are kept, in months.
const (
	ShortestKept = 1
	LongestKept  = 120
	UsuallyKept  = 24
)

// Keeping is how long a club keeps athletes who left.
type Keeping struct {
	Months int
	Since  time.Time // when that was set

	WaitingSince time.Time // since when it holds for the club that those are erased who never began
}

// Until is from when on an athlete who left then is erased by itself: not within a
// month of a change, so that it can be announced.
func (k Keeping) Until(left time.Time) time.Time {
	until, soonest := left.AddDate(0, k.Months, 0), k.Since.AddDate(0, 1, 0)
	if until.Before(soonest) {
		return soonest
	}
	return until
}

// Leaver is an athlete who left, and when everything about him or her is erased.
type Leaver struct {
	Athlete roster.Athlete
	Until   time.Time
}

// Keeping is how long the club keeps athletes who left.
func (s *Service) Keeping(ctx context.Context, club roster.ClubID) (Keeping, error) {
	return s.Store.Keeping(ctx, club)
}

// SetKeeping changes it; a fault stands at keep_months. Set to what it is, nothing
// changes.
func (s *Service) SetKeeping(ctx context.Context, who roster.Actor, months int) error {
	if months < ShortestKept || months > LongestKept {
		return fault.At(fault.Field{Place: "keep_months", Message: "please choose 1 to 120 months"})
	}
	k, err := s.Store.Keeping(ctx, who.Club)
	if err != nil || k.Months == months {
		return err
	}
	k.Months, k.Since = months, s.Now()
	return s.Store.SetKeeping(ctx, who, k)
}

// Ending are the athletes who left and are erased within a month, of those whom the
// coach sees.
func (s *Service) Ending(ctx context.Context, who roster.Actor) ([]Leaver, error) {
	all, err := s.leavers(ctx, who.Club)
	if err != nil {
		return nil, err
	}
	var soon []Leaver
	for _, l := range all {
		if who.Sees(&l.Athlete) && !l.Until.After(s.Now().AddDate(0, 1, 0)) {
			soon = append(soon, l)
		}
	}
	return soon, nil
}

// leavers are all who left, by name.
func (s *Service) leavers(ctx context.Context, club roster.ClubID) ([]Leaver, error) {
	gone, err := s.Store.Gone(ctx, club)
	if err != nil || len(gone) == 0 {
		return nil, err
	}
	k, err := s.Store.Keeping(ctx, club)
	if err != nil {
		return nil, err
	}
	all := make([]Leaver, len(gone))
	for i := range gone {
		all[i] = Leaver{gone[i], k.Until(gone[i].LeftAt)}
	}
	return all, nil
}

// Tallies are the counts of those who were erased, the oldest year first.
func (s *Service) Tallies(ctx context.Context, club roster.ClubID) ([]Tally, error) {
	return s.Store.Tallies(ctx, club)
}
