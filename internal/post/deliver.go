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
	case l.Unwanted:
		return s.Store.Drop(ctx, club, id, Stopped)
	case CheckAddress(l.Address) != "":
		return s.refused(ctx, &l)
	case l.Refused && l.Kind.Wanted():
		return s.Store.Drop(ctx, club, id, Refused)
	}
	return s.carry(ctx, &l)
}

// GiveUp notes that a letter will not be tried again.
func (s *Service) GiveUp(ctx context.Context, club roster.ClubID, id roster.LetterID) error {
	return s.Store.Drop(ctx, club, id, Late)
}

func (s *Service) carry(ctx context.Context, l *Letter) error {
	m, why, err := s.fill(ctx, l)
	switch {
	case err != nil:
		return err
	case why != "":
		return s.Store.Drop(ctx, l.Club.ID, l.ID, why)
	}
	err = s.Carrier.Carry(ctx, &m)
	switch {
	case errors.Is(err, ErrRefused):
		return s.refused(ctx, l)
	case err != nil:
		return err
	}
	// The letter is gone: even while everything ends, that must be noted.
	return s.Store.Sent(context.WithoutCancel(ctx), l.Club.ID, l.ID)
}

// fill puts into the letter what is made when it is sent: its link, or what is kept of
// it. Where nothing is to be sent it says why.
func (s *Service) fill(ctx context.Context, l *Letter) (m Mail, why Why, err error) {
	m = Mail{Here: s.Here}
	switch {
	case l.Kind.Linked():
		link, err := s.Link(ctx, l)
		if k := fault.KindOf(err); k == fault.NotFound || k == fault.Gone {
			return m, Nobody, nil
		}
		if err != nil {
			return m, "", err
		}
		m.Link, m.Until = s.Here+link.Path, link.Until
	case l.Kind.Kept():
		m.Content, err = s.content(ctx, l)
		if errors.Is(err, ErrMoot) {
			return m, Moot, nil
		}
	}
	m.Letter = *l
	return m, "", err
}

func (s *Service) refused(ctx context.Context, l *Letter) error {
	if err := s.Store.Refuse(ctx, l.Club.ID, l.ID, l.Address); err != nil {
		return err
	}
	return ErrRefused
}
