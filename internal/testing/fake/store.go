// Package fake keeps a few clubs in memory, for tests of use cases and pages
// that need no database. It keeps the promises of the stores' contracts as far
// as those tests can see them; whether the real store keeps them, its own tests
// ask.
package fake

import (
	"context"
	"slices"
	"sync"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// Store is everything that is kept. Tests may fill the maps before they use it.
type Store struct {
	mu       sync.Mutex
	last     int64
	Down     error // what every call gives, when set: the database is away
	Clubs    map[roster.ClubID]roster.Club
	People   map[roster.CoachID]Person
	Athletes map[roster.AthleteID]roster.Athlete
	Kept     map[roster.LoginID]access.Login
	Opened   map[roster.LoginID]access.Login // those that ended, too
	tokens   map[access.Hash]roster.LoginID
	codes    map[access.Hash]access.Code
	tries    map[access.Hash][]time.Time
	keys     map[string]int64
	Keyed    []access.Passkey // those that were not removed
	asked    map[access.Hash]time.Time
	Leaving  map[roster.LeaveID]roster.Leave
	Written  []roster.Note
	Logged   []roster.Session
	Alarmed  []roster.Alarm    // what came with each logging, correction and step of coming in, in their order
	Decided  []roster.Decision // in the order they were made
	Recorded []roster.Recording
	Measured []roster.Measurement
	Agreed   []roster.Consent                 // in the order they were given
	Checked  []roster.HealthCheck             // in the order they were begun
	AskedIn  [][]post.Person                  // for each who asked for a way in by mail
	Letters  []Letter                         // in the order they were written
	Wishes   map[roster.CoachID]roster.Wishes // what coaches want by mail; who is not in it wants what everybody gets at first
	Weekly   []post.Due                       // whose weekly letters are due when, by club and coach
	Audit    []roster.Actor                   // one for each change
	Mailed   map[roster.AthleteID]post.Mails  // which mail athletes want; who is not in it wants what everybody gets at first
	Gentle   map[roster.ClubID]post.GentleWord
	Given    map[roster.AthleteID]roster.Handed
	Looked   []Seen
	Erasing  map[roster.AthleteID]time.Time // who asked to be erased, and when
	Stuck    map[roster.AthleteID]bool      // whom the store fails to erase
	Keeps    map[roster.ClubID]privacy.Keeping
	Tallied  map[roster.ClubID][]privacy.Tally
	Gones    map[roster.ClubID][]privacy.Gone

	Calendars []Calendar // in the order they were made
	Air       []Aired    // in the order they were told
	Routines  []Edited   // in the order they were made
	Movements []Moved
	Programs  []roster.Program // in the order they were given
	Kits      map[roster.AthleteID]roster.Kit
	Added     []Exercised               // own exercises of clubs
	Rollers   map[roster.AthleteID]bool // who has one
	Pins      []roster.Pin              // in the order they were made
	Groups    map[roster.GroupID]roster.Group
	Holidays  map[roster.HolidayID]roster.Holiday
	owns      map[int64]roster.ClubID // whose the groups and holidays are

	Unplanned map[roster.ClubID]error // for which clubs Plan fails
}

// Person is a coach with the password's hash.
type Person struct {
	roster.Coach
	Hash string
}

// New is an empty store.
func New() *Store {
	return &Store{
		Clubs: map[roster.ClubID]roster.Club{}, People: map[roster.CoachID]Person{},
		Athletes: map[roster.AthleteID]roster.Athlete{}, Kept: map[roster.LoginID]access.Login{}, Opened: map[roster.LoginID]access.Login{},
		tokens: map[access.Hash]roster.LoginID{}, codes: map[access.Hash]access.Code{},
		tries: map[access.Hash][]time.Time{}, keys: map[string]int64{}, asked: map[access.Hash]time.Time{}, Leaving: map[roster.LeaveID]roster.Leave{},
		Given:  map[roster.AthleteID]roster.Handed{},
		Wishes: map[roster.CoachID]roster.Wishes{}, Mailed: map[roster.AthleteID]post.Mails{}, Gentle: map[roster.ClubID]post.GentleWord{},
		Erasing: map[roster.AthleteID]time.Time{}, Stuck: map[roster.AthleteID]bool{},
		Rollers: map[roster.AthleteID]bool{}, Kits: map[roster.AthleteID]roster.Kit{},
		Groups: map[roster.GroupID]roster.Group{}, Holidays: map[roster.HolidayID]roster.Holiday{}, owns: map[int64]roster.ClubID{},
		Keeps: map[roster.ClubID]privacy.Keeping{}, Tallied: map[roster.ClubID][]privacy.Tally{}, Gones: map[roster.ClubID][]privacy.Gone{},
	}
}

// next is a fresh ID; the caller holds the lock.
func (s *Store) next() int64 { s.last++; return s.last }

// enter takes the lock, or says that the store is down.
func (s *Store) enter() (func(), error) {
	s.mu.Lock()
	if s.Down != nil {
		defer s.mu.Unlock()
		return func() {}, fault.Wrap(fault.Unavailable, s.Down)
	}
	return s.mu.Unlock, nil
}

func notFound() error { return fault.New(fault.NotFound, "") }

// Begin adds a club with an owner and gives both.
func (s *Store) Begin(name, email, hash string) (roster.Club, roster.Coach) {
	s.mu.Lock()
	defer s.mu.Unlock()
	club := roster.Club{ID: roster.ClubID(s.next()), Name: name, Zone: "Europe/Lisbon"}
	s.Clubs[club.ID] = club
	coach := roster.Coach{ID: roster.CoachID(s.next()), Club: club.ID, Name: "Owner of " + name, Email: email, Owner: true}
	s.People[coach.ID] = Person{coach, hash}
	return club, coach
}

// Coach adds a coach who is no owner.
func (s *Store) Coach(club roster.ClubID, name, email, hash string) roster.Coach {
	s.mu.Lock()
	defer s.mu.Unlock()
	coach := roster.Coach{ID: roster.CoachID(s.next()), Club: club, Name: name, Email: email}
	s.People[coach.ID] = Person{coach, hash}
	return coach
}

// Runner adds an athlete.
func (s *Store) Runner(club roster.ClubID, name string) roster.Athlete {
	s.mu.Lock()
	defer s.mu.Unlock()
	a := roster.Athlete{
		ID: roster.AthleteID(s.next()), Club: club, Name: name, Zone: "Europe/Lisbon",
		SessionsAWeek: 3, HeartUsable: true, Version: 1, Arrival: roster.Here,
		Standing: roster.Standing{Pathway: 1, Phase: "L1"},
	}
	s.Athletes[a.ID] = a
	return a
}

// NewestShelf is the default pathway.
func (s *Store) NewestShelf(context.Context, roster.ClubID) (*roster.Shelf, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return nil, err
	}
	return &roster.Shelf{ID: 1, Name: "Default", Version: 1, Pathway: *pathway.Default()}, nil
}

// byName sorts by a name.
func byName[T any](list []T, name func(T) string) []T {
	slices.SortFunc(list, func(a, b T) int {
		switch {
		case name(a) < name(b):
			return -1
		case name(a) > name(b):
			return 1
		}
		return 0
	})
	return list
}
