package privacy

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// patience is how long an athlete who asked to be erased may take it back.
const patience = 7 * 24 * time.Hour

// Asking is an athlete who asked to be erased.
type Asking struct {
	Athlete roster.AthleteID
	Name    string
	Coach   roster.CoachID // whose athlete it is; 0: everybody's
	At      time.Time
}

// Due is from when on it happens by itself.
func (a Asking) Due() time.Time { return a.At.Add(patience) }

// Tally is what is counted of the people who were erased in a year.
type Tally struct {
	Year       int
	Erased     int
	Sessions   int
	RunMinutes int
	Reached    int // how many had run for thirty minutes without a break
}

// Ask keeps that the athlete wants to be erased. Only the athlete can ask: a coach
// erases at once.
func (s *Service) Ask(ctx context.Context, who roster.Actor) error {
	if who.Athlete == 0 {
		return fault.New(fault.NotFound, "")
	}
	return s.Store.AskErasure(ctx, who, who.Athlete, s.Now())
}

// TakeBack forgets that the athlete asked; where nobody asked it changes nothing.
func (s *Service) TakeBack(ctx context.Context, who roster.Actor) error {
	if who.Athlete == 0 {
		return fault.New(fault.NotFound, "")
	}
	err := s.Store.TakeBackErasure(ctx, who, who.Athlete)
	if fault.KindOf(err) == fault.NotFound {
		return nil
	}
	return err
}

// Asking are all who asked, of those whom the coach sees, the longest waiting first.
func (s *Service) Asking(ctx context.Context, who roster.Actor) ([]Asking, error) {
	all, err := s.Store.Asking(ctx, who.Club)
	return slices.DeleteFunc(all, func(a Asking) bool {
		return !who.Sees(&roster.Athlete{Club: who.Club, ID: a.Athlete, Coach: a.Coach})
	}), err
}

// Erase removes everything about an athlete at once, for a coach who typed the
// athlete's name; a fault stands at name.
func (s *Service) Erase(ctx context.Context, who roster.Actor, athlete roster.AthleteID, typed string) error {
	if who.Coach == 0 {
		return fault.New(fault.NotFound, "")
	}
	a, err := s.subject(ctx, who, athlete)
	if err != nil {
		return err
	}
	if !sameName(typed, a.Name) {
		return fault.At(fault.Field{Place: "name", Message: "please type the name as it stands above; nothing was erased"})
	}
	return s.Store.Erase(ctx, who, athlete, s.year())
}

// sameName compares what was typed with a name, whatever the case and the spaces.
func sameName(typed, name string) bool {
	plain := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return typed != "" && strings.EqualFold(plain(typed), plain(name))
}

// year is the one in which somebody who is erased now is counted.
func (s *Service) year() int { return s.Now().UTC().Year() }

// Reason is why the program erases somebody by itself; one of the three is set.
type Reason struct {
	Asked   time.Time // when the athlete asked
	Left    time.Time // when the athlete left
	Waiting int       // the version of an athlete who never began
}

// Done is what the daily errand did.
type Done struct {
	Asked int // people erased because they asked
	Left  int // and because they left long ago

	Waited int // and because they never began
}

// Daily erases who asked seven days ago or more, who left longer ago than the club
// keeps people, and who never began. It may be run as often as one likes: what is done is done. What
// goes wrong with one person does not keep it from the others.
func (s *Service) Daily(ctx context.Context) (Done, error) {
	clubs, err := s.Store.EveryClub(ctx)
	if err != nil {
		return Done{}, err
	}
	var done Done
	var faults []error
	for _, club := range clubs {
		faults = append(faults, s.granted(ctx, club, &done), s.expired(ctx, club, &done), s.waited(ctx, club, &done))
	}
	return done, errors.Join(faults...)
}

// granted erases who asked.
func (s *Service) granted(ctx context.Context, club roster.ClubID, done *Done) error {
	asking, err := s.Store.Asking(ctx, club)
	if err != nil {
		return err
	}
	var faults []error
	for _, a := range asking {
		if s.Now().Before(a.Due()) {
			continue
		}
		faults = append(faults, s.count(ctx, club, a.Athlete, Reason{Asked: a.At}, &done.Asked))
	}
	return errors.Join(faults...)
}

// expired erases who left long ago.
func (s *Service) expired(ctx context.Context, club roster.ClubID, done *Done) error {
	leavers, err := s.leavers(ctx, club)
	if err != nil {
		return err
	}
	var faults []error
	for _, l := range leavers {
		if s.Now().Before(l.Until) {
			continue
		}
		faults = append(faults, s.count(ctx, club, l.Athlete.ID, Reason{Left: l.Athlete.LeftAt}, &done.Left))
	}
	return errors.Join(faults...)
}

// count erases one and counts it, unless another was quicker or the reason is gone.
func (s *Service) count(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, why Reason, n *int) error {
	err := s.Store.EraseDue(ctx, club, athlete, s.year(), why)
	switch {
	case err == nil:
		*n++
	case fault.KindOf(err) == fault.NotFound:
		return nil
	}
	return err
}
