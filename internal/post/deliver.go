package post

import (
	"context"
	"errors"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Deliver sends the letter, once: one that was sent, dropped or erased meanwhile is
// left alone. It may be called again after any error but ErrRefused, which is noted
// at the letter.
//
// Mail cannot be part of a transaction. A program that ends after the mail server
// took the letter and before that is noted sends it once more when it is back, with
// the same Message-ID, by which mail programs know it for the same.
func (s *Service) Deliver(ctx context.Context, club roster.ClubID, id roster.LetterID) error {
	l, err := s.Store.Letter(ctx, club, id)
	switch {
	case fault.KindOf(err) == fault.NotFound:
		return nil
	case err != nil:
		return err
	case l.Done:
		return nil
	case l.Address == "":
		return s.Store.Drop(ctx, club, id, Nobody)
	case s.Now().Sub(l.MadeAt) > l.Kind.Worth():
		return s.Store.Drop(ctx, club, id, Late)
	case CheckAddress(l.Address) != "":
		return s.refused(ctx, &l)
	}
	return s.carry(ctx, &l)
}

// GiveUp notes that a letter will not be tried again.
func (s *Service) GiveUp(ctx context.Context, club roster.ClubID, id roster.LetterID) error {
	return s.Store.Drop(ctx, club, id, Late)
}

func (s *Service) carry(ctx context.Context, l *Letter) error {
	m := Mail{Letter: *l, Here: s.Here}
	if l.Kind.linked() {
		link, err := s.Link(ctx, l)
		switch k := fault.KindOf(err); {
		case k == fault.NotFound, k == fault.Gone:
			return s.Store.Drop(ctx, l.Club.ID, l.ID, Nobody)
		case err != nil:
			return err
		}
		m.Link, m.Until = s.Here+link.Path, link.Until
	}
	err := s.Carrier.Carry(ctx, &m)
	switch {
	case errors.Is(err, ErrRefused):
		return s.refused(ctx, l)
	case err != nil:
		return err
	}
	// The letter is gone: even while everything ends, that must be noted.
	return s.Store.Sent(context.WithoutCancel(ctx), l.Club.ID, l.ID)
}

func (s *Service) refused(ctx context.Context, l *Letter) error {
	if err := s.Store.Drop(ctx, l.Club.ID, l.ID, Refused); err != nil {
		return err
	}
	return ErrRefused
}
