package privacy

import (
	"context"
	"errors"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

// WaitingMonths is how long those are kept who never began: who were invited and did
// not answer, or answered and were not taken in, and of whom nothing was heard since.
// What they told of their health is of use to nobody by then. Ours.
const WaitingMonths = 6

// Waiter is an athlete who is coming in and has not begun.
type Waiter struct {
	Athlete roster.Athlete
	Last    time.Time // the last that was heard or done: a step of coming in, a login seen, until when a link worked
}

// UntilBegun is from when on somebody who never began is erased by itself, by the last
// that was heard: not within a month after the club learnt of the rule.
func (k Keeping) UntilBegun(last time.Time) time.Time {
	until, soonest := last.AddDate(0, WaitingMonths, 0), k.WaitingSince.AddDate(0, 1, 0)
	if until.Before(soonest) {
		return soonest
	}
	return until
}

// NeverBegan are those who never began and are erased within a month, of those whom the
// coach sees; Until is when.
func (s *Service) NeverBegan(ctx context.Context, who roster.Actor) ([]Leaver, error) {
	all, err := s.waiters(ctx, who.Club)
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

// waiters are all who have not begun, by name, and until when each is kept.
func (s *Service) waiters(ctx context.Context, club roster.ClubID) ([]Leaver, error) {
	waiting, err := s.Store.Waiting(ctx, club)
	if err != nil || len(waiting) == 0 {
		return nil, err
	}
	k, err := s.Store.Keeping(ctx, club)
	if err != nil {
		return nil, err
	}
	all := make([]Leaver, len(waiting))
	for i := range waiting {
		all[i] = Leaver{waiting[i].Athlete, k.UntilBegun(waiting[i].Last)}
	}
	return all, nil
}

// waited erases who never began, long ago.
func (s *Service) waited(ctx context.Context, club roster.ClubID, done *Done) error {
	waiters, err := s.waiters(ctx, club)
	if err != nil {
		return err
	}
	var faults []error
	for _, l := range waiters {
		if s.Now().Before(l.Until) {
			continue
		}
		faults = append(faults, s.count(ctx, club, l.Athlete.ID, Reason{Waiting: l.Athlete.Version}, &done.Waited))
	}
	return errors.Join(faults...)
}

// until is from when on the athlete is erased by itself for never having begun; zero:
// not for that.
func (s *Service) until(ctx context.Context, a *roster.Athlete) (time.Time, error) {
	if a.Arrival == roster.Here || !a.LeftAt.IsZero() {
		return time.Time{}, nil
	}
	all, err := s.waiters(ctx, a.Club)
	for _, l := range all {
		if l.Athlete.ID == a.ID {
			return l.Until, err
		}
	}
	return time.Time{}, err
}
