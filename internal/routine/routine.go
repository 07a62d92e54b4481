// Package routine is what is done before and after a session: the club's routine,
// edited by coaches in versions, and what of it fits an athlete today.
package routine

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/warmup"
)

// Service keeps the routines. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// MostMovements is how many movements of its own a club can choose among.
const MostMovements = 40

// Fitted is the club's routine as it fits one athlete today.
type Fitted struct {
	Library warmup.Library
	Before  []warmup.Step
	After   []warmup.Step
	Out     []warmup.Out // what was left out, before and then after
	Unknown []body.Pain  // what hurts where no place was recognised: only a person can say what to spare
	Asked   bool         // the health questions were answered here, so that a pregnancy is known
	Roller  bool
}

// Seconds is how long the steps take together.
func (f *Fitted) Seconds(steps []warmup.Step) int { return warmup.Seconds(steps, f.Library) }

// For is the routine of today. Only the athlete may ask: what is left out tells of the
// answers about health.
func (s *Service) For(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (Fitted, error) {
	if who.Athlete == 0 || who.Athlete != athlete {
		return Fitted{}, fault.New(fault.NotFound, "")
	}
	now := s.Now()
	has, roller, err := s.Store.RepertoireFor(ctx, who.Club, athlete)
	if err != nil {
		return Fitted{}, err
	}
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return Fitted{}, err
	}
	checks, err := s.Store.Checks(ctx, who.Club, athlete)
	if err != nil {
		return Fitted{}, err
	}
	today := file.Athlete.Today(now)
	c := warmup.Circumstances{Roller: roller, Pains: roster.Aching(file.Sessions, today)}
	f := Fitted{Library: has.Library(), Roller: roller, Unknown: body.Unknown(c.Pains)}
	c.State, f.Asked = roster.BodyState(checks, today)
	var after []warmup.Out
	f.Before, f.Out = warmup.Fit(has.Routine.Before, c, f.Library)
	f.After, after = warmup.Fit(has.Routine.After, c, f.Library)
	f.Out = append(f.Out, after...)
	return f, nil
}

// HasRoller says whether the athlete said to have a roller.
func (s *Service) HasRoller(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (bool, error) {
	if !who.For(athlete) {
		return false, fault.New(fault.NotFound, "")
	}
	_, roller, err := s.Store.RepertoireFor(ctx, who.Club, athlete)
	return roller, err
}

// SetRoller says whether the athlete has a roller; the athlete's own to say.
func (s *Service) SetRoller(ctx context.Context, who roster.Actor, has bool) error {
	if who.Athlete == 0 {
		return fault.New(fault.NotFound, "")
	}
	return s.Store.SetRoller(ctx, who, who.Athlete, has)
}

// Repertoire is what the club has, for its coaches.
func (s *Service) Repertoire(ctx context.Context, who roster.Actor) (roster.Repertoire, error) {
	if who.Coach == 0 {
		return roster.Repertoire{}, fault.New(fault.NotFound, "")
	}
	return s.Store.Repertoire(ctx, who.Club)
}

// Edit keeps another version of the routine, made of the one given. Faults stand at
// paths such as before[2].count; unread is what could not even be read. Where somebody
// changed it meanwhile it is fault.Conflict.
func (s *Service) Edit(ctx context.Context, who roster.Actor, of roster.RoutineID, r warmup.Routine, unread []fault.Field, key roster.Key) (roster.RoutineID, error) {
	has, err := s.mine(ctx, who)
	if err != nil {
		return 0, err
	}
	faults := slices.Clone(unread)
	if len(faults) == 0 {
		faults = r.Check(has.Library())
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	return s.edit(ctx, who, of, r, key)
}

func (s *Service) edit(ctx context.Context, who roster.Actor, of roster.RoutineID, r warmup.Routine, key roster.Key) (roster.RoutineID, error) {
	id, err := s.Store.EditRoutine(ctx, who, of, r, s.Now(), key)
	if fault.KindOf(err) == fault.Conflict {
		return 0, &fault.Error{Kind: fault.Conflict, Message: "The routine was changed somewhere else meanwhile. What you made is below; storing it now replaces that.", Cause: err}
	}
	return id, err
}

// Reset goes back to the routine that everybody begins with, as a version of its own.
func (s *Service) Reset(ctx context.Context, who roster.Actor, of roster.RoutineID, key roster.Key) error {
	if _, err := s.mine(ctx, who); err != nil {
		return err
	}
	_, err := s.edit(ctx, who, of, warmup.Default(), key)
	return err
}

// Add keeps a movement of the club's own. Faults stand at name, kind, how, usual and
// loads; unread is what could not even be read.
func (s *Service) Add(ctx context.Context, who roster.Actor, m warmup.Move, unread []fault.Field, key roster.Key) (roster.MovementID, error) {
	has, err := s.mine(ctx, who)
	if err != nil {
		return 0, err
	}
	m.Name, m.How = oneLine(m.Name), oneLine(m.How)
	faults := slices.Clone(unread)
	for _, f := range m.Check() {
		if !slices.ContainsFunc(faults, func(u fault.Field) bool { return u.Place == f.Place }) {
			faults = append(faults, f)
		}
	}
	open := 0
	for i := range has.Movements {
		if has.Movements[i].AwayAt.IsZero() {
			open++
		}
	}
	if open >= MostMovements {
		faults = append(faults, fault.Field{Place: "name", Message: fmt.Sprintf("that would be more than %d movements of your own; put one away first", MostMovements)})
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	return s.Store.AddMovement(ctx, who, m, s.Now(), key)
}

// oneLine is text without breaks and blank ends.
func oneLine(text string) string { return strings.Join(strings.Fields(roster.Clean(text)), " ") }

// PutAway puts a movement away: it can no longer be chosen. A routine that has it keeps
// it.
func (s *Service) PutAway(ctx context.Context, who roster.Actor, id roster.MovementID) error {
	if _, err := s.mine(ctx, who); err != nil {
		return err
	}
	return s.Store.PutAway(ctx, who, id, s.Now())
}

// mine is what the club has, for a coach who may change it: no deputy.
func (s *Service) mine(ctx context.Context, who roster.Actor) (roster.Repertoire, error) {
	switch {
	case who.Coach == 0:
		return roster.Repertoire{}, fault.New(fault.NotFound, "")
	case who.Deputy:
		return roster.Repertoire{}, fault.New(fault.Forbidden, "A deputy does not change the club's routine.")
	}
	return s.Store.Repertoire(ctx, who.Club)
}

// Lengths are how long the club's routine takes, in seconds, before a session and
// after it, with everything that is in it.
func (s *Service) Lengths(ctx context.Context, club roster.ClubID) (before, after int, err error) {
	all, err := s.Store.Repertoire(ctx, club)
	if err != nil {
		return 0, 0, err
	}
	library := all.Library()
	return warmup.Seconds(all.Routine.Before, library), warmup.Seconds(all.Routine.After, library), nil
}
