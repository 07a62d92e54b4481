// Package enrol keeps the club's list of athletes: who is here, since when, in
// which time zone, away when, and what coaches noted.
package enrol

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Enrol keeps the list.
type Enrol struct {
	store Store
	now   func() time.Time
}

// New makes the use case.
func New(store Store, now func() time.Time) *Enrol { return &Enrol{store: store, now: now} }

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
}

// Shelf is the pathway on which newcomers begin.
func (e *Enrol) Shelf(ctx context.Context, club roster.ClubID) (*roster.Shelf, error) {
	return e.store.NewestShelf(ctx, club)
}

// Athlete is one athlete of the club, or fault.NotFound.
func (e *Enrol) Athlete(ctx context.Context, club roster.ClubID, id roster.AthleteID) (roster.Athlete, error) {
	return e.store.Athlete(ctx, club, id)
}

// Add takes a new athlete in, beginning today with the phase (a fault stands at
// phase). The same key again gives the athlete of then.
func (e *Enrol) Add(ctx context.Context, who roster.Actor, p Person, phase string, key roster.Key) (roster.AthleteID, error) {
	shelf, err := e.store.NewestShelf(ctx, who.Club)
	if err != nil {
		return 0, err
	}
	p = p.tidy()
	today := day.Of(e.now(), placeOf(p.Zone))
	faults := p.check(today)
	if shelf.Find(phase) < 0 {
		faults = append(faults, fault.Field{Place: "phase", Message: "please choose the phase to begin with"})
	}
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	a := p.onto(roster.Athlete{Club: who.Club, JoinedOn: today})
	a.Pathway, a.Phase, a.PhaseSince = shelf.ID, phase, today
	return e.store.Add(ctx, who, a, key)
}

// Change replaces what is known of the athlete, if nobody did since the version;
// else fault.Conflict.
func (e *Enrol) Change(ctx context.Context, who roster.Actor, id roster.AthleteID, version int, p Person) error {
	a, err := e.store.Athlete(ctx, who.Club, id)
	if err != nil {
		return err
	}
	p = p.tidy()
	if err := fault.At(p.check(day.Of(e.now(), placeOf(p.Zone)))...); err != nil {
		return err
	}
	a = p.onto(a)
	a.Version = version
	return e.store.Change(ctx, who, a)
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
func (e *Enrol) Leave(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return e.store.Leave(ctx, who, id, e.now())
}

// Return marks that the athlete is back in the club.
func (e *Enrol) Return(ctx context.Context, who roster.Actor, id roster.AthleteID) error {
	return e.store.Leave(ctx, who, id, time.Time{})
}
