package entry

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// sentAgain is the session under whose key the entry came once more. Sent twice it is
// stored once; but who goes back to the form, changes something and stores it means the
// change, so it corrects what is there, as long as nobody else has. Of strength nothing is
// changed so: what its form says depends on what is next, and that has moved on.
func (s *Service) sentAgain(ctx context.Context, who roster.Actor, file *roster.File, shelf *roster.Shelf, id roster.SessionID, e Entry, now time.Time) (Result, error) {
	there, err := s.Store.Session(ctx, who.Club, file.Athlete.ID, id)
	if err != nil {
		return Result{}, err
	}
	if there.Version > 1 || there.Kind == readiness.Strength || e.Kind == readiness.Strength {
		return outcome(there, true), nil
	}
	e.untoldTime(&there, file.Athlete.Place())
	kept, err := e.over(&there, file, shelf, now)
	if err != nil {
		return Result{}, err
	}
	if sameTelling(&kept, &there) {
		return outcome(there, true), nil
	}
	return s.replace(ctx, who, kept, alarmOf(&there))
}

// untoldTime gives an entry that did not tell its time the one under which it was kept.
func (e *Entry) untoldTime(there *roster.Session, place *time.Location) {
	switch {
	case !e.Started.IsZero():
		e.Started, e.Date = there.StartedAt, there.Date
	case !e.Clock.Known() && e.Date == there.Date:
		e.Clock = clockOf(there, place)
	}
}

// sameTelling says whether two sessions tell the same.
func sameTelling(a, b *roster.Session) bool {
	x, y := &a.Session, &b.Session
	return x.StartedAt.Equal(y.StartedAt) && x.Date == y.Date && x.Kind == y.Kind && x.Phase == y.Phase && x.Outcome == y.Outcome &&
		x.Minutes == y.Minutes && x.PlannedMinutes == y.PlannedMinutes && x.Effort == y.Effort && x.Talk == y.Talk && x.Breath == y.Breath &&
		x.Hot == y.Hot && x.Limp == y.Limp && x.PainAsked == y.PainAsked &&
		slices.Equal(x.Pain, y.Pain) && slices.Equal(x.Signs, y.Signs) && slices.Equal(x.Blocks, y.Blocks) &&
		a.WarmUp == b.WarmUp && a.CoolDown == b.CoolDown && a.Note == b.Note
}
