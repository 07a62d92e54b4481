package entry

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Correct replaces a session by what is told now, if nobody corrected it since
// the version that was shown; else it is fault.Conflict and the result holds the
// session as it is now. What a recording showed of a block stays with it as long as
// the correction leaves the block as it was.
func (s *Service) Correct(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int, e Entry) (Result, error) {
	now := s.Now()
	file, shelf, err := s.open(ctx, who, athlete, now)
	if err != nil {
		return Result{}, err
	}
	before, err := s.Store.Session(ctx, who.Club, athlete, id)
	if err != nil {
		return Result{}, err
	}
	kept, err := e.over(&before, &file, shelf, now)
	if err != nil {
		return Result{}, err
	}
	kept.Version = version
	return s.replace(ctx, who, kept, alarmOf(&before))
}

// over is the session that was there as it is told now.
func (e Entry) over(before *roster.Session, file *roster.File, shelf *roster.Shelf, now time.Time) (roster.Session, error) {
	if e.Kind == readiness.Planned && e.Phase == "" {
		e.Phase = before.Phase
	}
	e.Key, e.before = before.Key, before
	kept, err := e.session(file, &shelf.Pathway, now)
	if err == nil {
		err = mayLog(&file.Athlete, &kept.Session)
	}
	if err != nil {
		return roster.Session{}, err
	}
	kept.ID, kept.Key, kept.LoggedAt, kept.ByCoach = before.ID, before.Key, before.LoggedAt, before.ByCoach
	kept.ChangedAt, kept.Version = now, before.Version
	keepHeart(kept.Blocks, before.Blocks)
	return kept, nil
}

// replace stores the corrected session, of which some alarms are known. A conflict is either somebody else's
// correction or another session of the same minute.
func (s *Service) replace(ctx context.Context, who roster.Actor, kept roster.Session, known roster.Alarm) (Result, error) {
	err := s.Store.Correct(ctx, who, kept, alarmOf(&kept)&^known)
	if fault.KindOf(err) != fault.Conflict {
		if err != nil {
			return Result{}, err
		}
		kept.Version++
		return outcome(kept, false), nil
	}
	there, again := s.Store.Session(ctx, who.Club, kept.Athlete, kept.ID)
	if again != nil {
		return Result{}, again
	}
	if there.Version == kept.Version {
		return s.twin(ctx, who, kept, err)
	}
	return Result{There: there, Session: kept}, &fault.Error{
		Kind: fault.Conflict, Message: "This session was corrected somewhere else meanwhile.", Cause: err,
	}
}

// keepHeart gives the new blocks what a recording showed of the old ones. A block
// keeps it only where it is still the same, and so is the one before: where that
// ended, this one began. The others lose theirs rather than show what was read of
// something else; the recording can be read anew.
func keepHeart(blocks, before []readiness.Block) {
	if len(blocks) != len(before) {
		return
	}
	same := true
	for i := range blocks {
		b, old := &blocks[i], &before[i]
		followed := same
		same = b.Kind == old.Kind && b.Planned == old.Planned && b.Done == old.Done
		if b.Heart == (readiness.Heart{}) && same && followed {
			b.Heart = old.Heart
		}
	}
}

// Delete removes a session if it is still as it was shown, else fault.Conflict
// with the session as it is now. Removing what is gone already is no error.
func (s *Service) Delete(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int) (Result, error) {
	if !who.For(athlete) {
		return Result{}, fault.New(fault.NotFound, "")
	}
	err := s.Store.Delete(ctx, who, athlete, id, version)
	switch fault.KindOf(err) {
	case fault.Conflict:
	case fault.NotFound: // gone already, if the athlete is there
		_, err = s.Store.File(ctx, who.Club, athlete, roster.Latest(s.Now()))
		return Result{}, err
	default:
		return Result{}, err
	}
	there, again := s.Store.Session(ctx, who.Club, athlete, id)
	switch {
	case fault.KindOf(again) == fault.NotFound:
		return Result{}, nil
	case again != nil:
		return Result{}, again
	}
	return Result{There: there}, &fault.Error{
		Kind: fault.Conflict, Message: "This session was corrected somewhere else meanwhile, so it was not deleted.", Cause: err,
	}
}

// Morning is how a place felt the morning after, 0 to 10.
type Morning struct {
	Site  string
	Score readiness.Maybe
}

// tries bounds how often a follow-up is put onto a session that others correct.
const tries = 3

// NextMorning adds how it felt the morning after to the pains of a session.
// Sites without a score are left as they are; said twice is the same as once.
func (s *Service) NextMorning(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, mornings []Morning) (Result, error) {
	file, _, err := s.open(ctx, who, athlete, s.Now())
	if err != nil {
		return Result{}, err
	}
	if file.Athlete.Arrival == roster.Withdrawn {
		return Result{}, fault.At(fault.Field{Place: "next_morning", Message: withdrawnWords})
	}
	today := file.Athlete.Today(s.Now())
	for range tries {
		var before roster.Session
		if before, err = s.Store.Session(ctx, who.Club, athlete, id); err != nil {
			return Result{}, err
		}
		kept, changed, wrong := withMornings(before, mornings, today)
		if wrong != nil {
			return Result{}, wrong
		}
		if !changed {
			return outcome(kept, true), nil
		}
		kept.ChangedAt = s.Now()
		if err = s.Store.Correct(ctx, who, kept, alarmOf(&kept)&^alarmOf(&before)); err == nil {
			kept.Version++
			return outcome(kept, false), nil
		}
		if fault.KindOf(err) != fault.Conflict {
			return Result{}, err
		}
	}
	return Result{}, err
}

// withMornings puts the scores onto a copy of the session.
func withMornings(s roster.Session, mornings []Morning, today day.Date) (roster.Session, bool, error) {
	var c checker
	changed := false
	s.Pain = slices.Clone(s.Pain)
	if s.Date >= today {
		c.fault("next_morning", "the morning after is yet to come")
	}
	for _, m := range mornings {
		score, known := m.Score.Get()
		i := siteOf(s.Pain, m.Site)
		switch {
		case !known:
		case i < 0:
			c.fault("next_morning", "no pain was reported at "+c.text("next_morning", m.Site, roster.NameLength))
		case score < 0 || score > 10:
			c.between("next_morning", m.Score, 0, 10, "pain goes from 0 to 10")
		case s.Pain[i].NextMorning != m.Score:
			s.Pain[i].NextMorning, changed = m.Score, true
		}
	}
	return s, changed, c.err()
}

// Session is one session of the athlete, for the page that corrects it.
func (s *Service) Session(ctx context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error) {
	if !who.For(athlete) {
		return roster.Session{}, fault.New(fault.NotFound, "")
	}
	return s.Store.Session(ctx, who.Club, athlete, id)
}

// Mine are all sessions of the athlete, the newest first.
func (s *Service) Mine(ctx context.Context, who roster.Actor, athlete roster.AthleteID) ([]roster.Session, error) {
	if !who.For(athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	return s.Store.Sessions(ctx, who.Club, athlete)
}
