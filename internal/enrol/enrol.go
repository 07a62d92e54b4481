// Package enrol keeps the club's list of athletes: who is here, since when, in
// which time zone, away when, and what coaches noted.
package enrol

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Service keeps the list. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Person is what a coach fills in about an athlete. The names of the fields in
// faults stand beside them.
type Person struct {
	Name          string   // name
	Email         string   // email; may be empty
	BirthYear     int      // birth_year; 0: not told
	Zone          string   // zone
	SessionsAWeek int      // sessions_a_week
	HeartUsable   bool     // heart_usable
	CoachWord     string   // coach_word; may be empty
	InjuredOn     day.Date // injured_on; zero: none

	Unread []fault.Field // what could not even be read; refused together with the rest
}

// Shelf is the pathway on which newcomers begin.
func (s *Service) Shelf(ctx context.Context, club roster.ClubID) (*roster.Shelf, error) {
	return s.Store.NewestShelf(ctx, club)
}

// Athlete is one athlete of the club, or fault.NotFound.
func (s *Service) Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error) {
	return s.Store.Athlete(ctx, club, id)
}

// Gone are the athletes who left the club, of those whom the actor sees, by name.
func (s *Service) Gone(ctx context.Context, who roster.Actor) ([]roster.Athlete, error) {
	gone, err := s.Store.Gone(ctx, who.Club)
	return slices.DeleteFunc(gone, func(a roster.Athlete) bool { return !who.Sees(&a) }), err
}

// Leaves are the athlete's times away, the newest first; of another club's
// athlete there are none to find.
func (s *Service) Leaves(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Leave, error) {
	return s.Store.Leaves(ctx, club, athlete)
}

// Start is how a new athlete comes in. The zero value is by the questions: they are
// invited, and begin once the questions are answered and a coach has confirmed.
type Start struct {
	OnPaper bool         // a coach asked the health questions on paper: they are here at once
	Paper   roster.Paper // with OnPaper
	Phase   string       // phase; with OnPaper
}

// Add takes a new athlete in. With the health questions asked on paper they begin
// today with the phase (faults stand at phase, asked_on and asked_by); else they
// are invited. The same key again gives the athlete of then.
func (s *Service) Add(ctx context.Context, who roster.Actor, p Person, start Start, key roster.Key) (roster.AthleteID, error) {
	shelf, err := s.Store.NewestShelf(ctx, who.Club)
	if err != nil {
		return 0, err
	}
	club, err := s.Store.Club(ctx, who.Club)
	if err != nil {
		return 0, err
	}
	p = p.tidy()
	now := s.Now()
	today := day.Of(now, roster.PlaceOf(p.Zone))
	a := p.onto(roster.Athlete{Club: who.Club, JoinedOn: today, Arrival: roster.Invited, ArrivalSince: today})
	a.Pathway, a.Phase, a.PhaseSince = shelf.ID, shelf.Phases[0].ID, today
	var asked roster.HealthCheck
	faults := p.check(today, club.Minors)
	if start.OnPaper {
		start.Paper.By = roster.Clean(start.Paper.By)
		faults = append(faults, start.check(&p, club, &shelf.Pathway, today)...)
		a.Arrival, a.Phase = roster.Here, start.Phase
		asked = roster.HealthCheck{AskedOn: start.Paper.On, AskedBy: start.Paper.By, HandedAt: now}
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	return s.Store.Add(ctx, who, a, asked, key)
}

// check finds what is wrong with coming in by paper.
func (b Start) check(p *Person, club roster.Club, way *pathway.Pathway, today day.Date) []fault.Field {
	var faults []fault.Field
	if way.Find(b.Phase) == pathway.NoRung {
		faults = append(faults, fault.Field{Place: "phase", Message: "please choose the phase to begin with"})
	}
	faults = append(faults, b.Paper.Check(today)...)
	if club.Minors && p.minor(today) {
		faults = append(faults, fault.Field{Place: "birth_year", Message: "under 18 the questions are answered here and not on paper, with a parent or guardian who agrees"})
	}
	return slices.DeleteFunc(faults, func(f fault.Field) bool { return p.unread(f.Place) })
}

// Change replaces what is known of the athlete, if nobody did since the version;
// else fault.Conflict.
func (s *Service) Change(ctx context.Context, who roster.Actor, id roster.AthleteID, version int, p Person) error {
	a, err := s.Store.Athlete(ctx, who.Club, id)
	if err != nil {
		return err
	}
	club, err := s.Store.Club(ctx, who.Club)
	if err != nil {
		return err
	}
	p = p.tidy()
	if err := fault.At(p.check(day.Of(s.Now(), roster.PlaceOf(p.Zone)), club.Minors)...); err != nil {
		return err
	}
	a = p.onto(a)
	a.Version = version
	return s.Store.Change(ctx, who, a)
}

// PersonOf is the athlete as a coach fills him or her in.
func PersonOf(a *roster.Athlete) Person {
	return Person{
		Name: a.Name, Email: a.Email, BirthYear: a.BirthYear, Zone: a.Zone,
		SessionsAWeek: a.SessionsAWeek, HeartUsable: a.HeartUsable,
		CoachWord: a.CoachWord, InjuredOn: a.InjuredOn,
	}
}

func (p Person) onto(a roster.Athlete) roster.Athlete {
	a.Name, a.Email, a.BirthYear, a.Zone = p.Name, p.Email, p.BirthYear, p.Zone
	a.SessionsAWeek, a.HeartUsable = p.SessionsAWeek, p.HeartUsable
	a.CoachWord, a.InjuredOn = p.CoachWord, p.InjuredOn
	return a
}

// Leave marks that the athlete left the club; every login of the athlete ends.
func (s *Service) Leave(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return s.Store.Leave(ctx, who, id, s.Now())
}

// Return marks that the athlete is back in the club.
func (s *Service) Return(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return s.Store.Leave(ctx, who, id, time.Time{})
}
