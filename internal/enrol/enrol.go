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

// Add takes a new athlete in, beginning today with the phase (a fault stands at
// phase). The same key again gives the athlete of then.
func (s *Service) Add(ctx context.Context, who roster.Actor, p Person, phase string, key roster.Key) (roster.AthleteID, error) {
	shelf, err := s.Store.NewestShelf(ctx, who.Club)
	if err != nil {
		return 0, err
	}
	p = p.tidy()
	today := day.Of(s.Now(), placeOf(p.Zone))
	faults := p.check(today)
	if shelf.Find(phase) == pathway.NoRung {
		faults = append(faults, fault.Field{Place: "phase", Message: "please choose the phase to begin with"})
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	a := p.onto(roster.Athlete{Club: who.Club, JoinedOn: today})
	a.Pathway, a.Phase, a.PhaseSince = shelf.ID, phase, today
	return s.Store.Add(ctx, who, a, key)
}

// Change replaces what is known of the athlete, if nobody did since the version;
// else fault.Conflict.
func (s *Service) Change(ctx context.Context, who roster.Actor, id roster.AthleteID, version int, p Person) error {
	a, err := s.Store.Athlete(ctx, who.Club, id)
	if err != nil {
		return err
	}
	p = p.tidy()
	if err := fault.At(p.check(day.Of(s.Now(), placeOf(p.Zone)))...); err != nil {
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

// placeOf is the zone of the name, UTC where it is not known.
func placeOf(zone string) *time.Location {
	a := roster.Athlete{Zone: zone}
	return a.Place()
}

// Leave marks that the athlete left the club; every login of the athlete ends.
func (s *Service) Leave(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return s.Store.Leave(ctx, who, id, s.Now())
}

// Return marks that the athlete is back in the club.
func (s *Service) Return(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return s.Store.Leave(ctx, who, id, time.Time{})
}
