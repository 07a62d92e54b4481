package privacy

import (
	"context"
	"errors"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Mark is left by somebody who was erased: the hash of a random secret that went with
// the person. Nobody can be named by it, but where an older copy of the database brings
// the person back, it is known for whom it is.
type Mark [32]byte

// Gone is a mark and on which day it was left, in UTC.
type Gone struct {
	Mark Mark
	On   day.Date
}

// List keeps marks where a copy of the database that is brought back does not reach.
type List interface {
	// Read gives all that were added; none where there is no list yet.
	Read(ctx context.Context) ([]Gone, error)
	// Add keeps some more, all or none; what is there already may come again.
	Add(ctx context.Context, more []Gone) error
}

// Remember keeps the list and the database in step: who was erased here is put on the
// list; and who is on it and here nevertheless, because an older copy of the database
// was brought back, is erased again. It gives how many were. It may be run as often as
// one likes.
func (s *Service) Remember(ctx context.Context) (again int, err error) {
	if s.List == nil {
		return 0, nil
	}
	listed, err := s.List.Read(ctx)
	if err != nil {
		return 0, err
	}
	clubs, err := s.Store.EveryClub(ctx)
	if err != nil {
		return 0, err
	}
	var faults []error
	for _, club := range clubs {
		n, err := s.rememberIn(ctx, club, listed)
		again += n
		faults = append(faults, err)
	}
	return again, errors.Join(faults...)
}

// rememberIn does so in one club.
func (s *Service) rememberIn(ctx context.Context, club roster.ClubID, listed []Gone) (again int, err error) {
	back, err := s.Store.Marked(ctx, club, marksOf(listed))
	if err != nil {
		return 0, err
	}
	var faults []error
	for _, athlete := range back {
		switch err := s.Store.Erase(ctx, roster.Actor{Club: club}, athlete, s.year()); {
		case err == nil:
			again++
		case fault.KindOf(err) != fault.NotFound:
			faults = append(faults, err)
		}
	}
	return again, errors.Join(append(faults, s.list(ctx, club, listed))...)
}

// list puts on the list who was erased in the club and is not on it yet.
func (s *Service) list(ctx context.Context, club roster.ClubID, listed []Gone) error {
	gone, err := s.Store.Erased(ctx, club)
	if err != nil {
		return err
	}
	there := make(map[Mark]bool, len(listed))
	for _, g := range listed {
		there[g.Mark] = true
	}
	var more []Gone
	for _, g := range gone {
		if !there[g.Mark] {
			more = append(more, g)
		}
	}
	if len(more) == 0 {
		return nil
	}
	return s.List.Add(ctx, more)
}

func marksOf(gone []Gone) []Mark {
	marks := make([]Mark, len(gone))
	for i, g := range gone {
		marks[i] = g.Mark
	}
	return marks
}
