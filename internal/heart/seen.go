package heart

import (
	"context"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// Seen is the recording of a session as it was read then. Only its rates are read
// out of the recording again, by the rules of now.
func (s *Service) Seen(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) (*Seen, error) {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return nil, err
	}
	seen := &Seen{Athlete: a}
	if seen.Session, err = s.Store.Session(ctx, who.Club, athlete, session); err != nil {
		return nil, err
	}
	seen.Usable = a.HeartUsable && !seen.Session.Hot
	seen.walks()
	r, err := s.Store.Recording(ctx, who.Club, athlete, session)
	if fault.KindOf(err) == fault.NotFound {
		return seen, nil
	}
	if err != nil {
		return nil, err
	}
	recorded, err := trace.Unpack(r.Body)
	if err != nil {
		return nil, err
	}
	seen.Recording, seen.Reading = &r, r.Reading
	seen.Reading.Rates = trace.Read(&recorded, nil, trace.Ceilings{}).Rates
	seen.Stale, err = s.stale(ctx, who.Club, seen)
	return seen, err
}

// walks says what breath and heart say of each judged walk.
func (s *Seen) walks() {
	for _, w := range readiness.Walks(&s.Session.Session, s.Athlete.HeartUsable) {
		s.Walks = append(s.Walks, Walk{Block: w.Block, Breath: said(w.Breath), Heart: said(w.Heart), Both: said(w.Both), Mixed: w.Mixed})
		s.Mixed = s.Mixed || w.Mixed
	}
}

func said(state readiness.State) Said {
	switch state {
	case readiness.Met:
		return HasSettled
	case readiness.Unmet:
		return HasNotSettled
	}
	return CannotTell
}

// stale says whether reading the recording anew may say something else: by other
// rules or ceilings, or since the session was corrected after it was read.
func (s *Service) stale(ctx context.Context, club roster.ClubID, seen *Seen) (bool, error) {
	r := seen.Recording
	measured, err := s.Store.Measurements(ctx, club, seen.Athlete.ID)
	if err != nil {
		return false, err
	}
	now := ceilingsOn(&seen.Athlete, measured, seen.Session.Date)
	then := ceilings{easy: r.Ceiling, hard: r.Hard}
	p, err := s.planOf(ctx, club, &seen.Athlete, &seen.Session)
	if err != nil {
		return false, err
	}
	if r.Rules != trace.Rules || now != then || !p.same(&r.Reading) {
		return true, nil
	}
	shown := p.show(seen.Session, &seen.Reading, then)
	for i := range shown.Blocks {
		if shown.Blocks[i].Heart != seen.Session.Blocks[i].Heart {
			return true, nil
		}
	}
	return false, nil
}

// ReadAnew reads a recording once more, with the rules of now and the ceiling that
// holds on the session's date by what is known now.
func (s *Service) ReadAnew(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) error {
	a, err := s.athlete(ctx, who, athlete)
	if err != nil {
		return err
	}
	return whileCorrected(func() error {
		now, err := s.Store.Session(ctx, who.Club, athlete, session)
		if err != nil {
			return err
		}
		r, err := s.Store.Recording(ctx, who.Club, athlete, session)
		if err != nil {
			return err
		}
		recorded, err := trace.Unpack(r.Body)
		if err != nil {
			return err
		}
		return s.judge(ctx, who, &a, now, r, &recorded)
	})
}

// Detach removes the recording of a session and what it showed. Removing what is
// gone already is no error.
func (s *Service) Detach(ctx context.Context, who roster.Actor, athlete roster.AthleteID, session roster.SessionID) error {
	if _, err := s.athlete(ctx, who, athlete); err != nil {
		return err
	}
	return whileCorrected(func() error {
		now, err := s.Store.Session(ctx, who.Club, athlete, session)
		if err != nil {
			return err
		}
		err = s.Store.Detach(ctx, who, athlete, now)
		if fault.KindOf(err) == fault.NotFound {
			return nil
		}
		return withoutFields(err)
	})
}
