// Package calendar is the week elsewhere: a private address at which the calendar
// program of an athlete or a coach fetches the sessions, made, made anew and taken
// away by whom it is of. What was handed out is remembered, so that a session that
// moved stays the same one in that program, and one called off is struck out there.
package calendar

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// How far a calendar reaches from the present week, in weeks.
const (
	Back  = 2
	Ahead = 4
)

// Service keeps addresses of calendars. Random gives the bytes of secrets and must be
// fit for them; Now is the clock.
type Service struct {
	Store  Store
	Random io.Reader
	Now    func() time.Time
}

// Secret is 32 random bytes, written in 43 letters, digits, minuses and underscores:
// the part of an address by which a calendar is found. It is kept nowhere.
type Secret string

// Hash is the SHA-256 of a secret, which is what is kept of it.
type Hash [32]byte

// Hash is what is kept of the secret.
func (s Secret) Hash() Hash { return sha256.Sum256([]byte(s)) }

// Sound says whether the text has the shape of a secret, so that junk never reaches
// the store.
func (s Secret) Sound() bool {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(string(s))
	return err == nil && len(raw) == len(Hash{})
}

// Address is that of a calendar as its owner sees it; the secret itself is shown once
// and kept nowhere.
type Address struct {
	MadeAt    time.Time // zero: there is none
	FetchedOn day.Date  // in UTC; zero: no program has fetched it yet
}

// Subscription is a calendar as it is fetched: whose it is.
type Subscription struct {
	ID      int64  // within the club
	Name    string // what the UIDs end with
	Club    roster.Club
	Coach   *roster.Coach // one of the two is set
	Athlete *roster.Athlete
	Detail  roster.Detail // of a coach: whether others' programs may know names
}

// Actor is the owner as the one who looks.
func (s *Subscription) Actor() roster.Actor {
	if s.Athlete != nil {
		return roster.Actor{Club: s.Club.ID, Athlete: s.Athlete.ID}
	}
	return roster.Actor{
		Club: s.Club.ID, Coach: s.Coach.ID, Deputy: s.Coach.Deputy, OwnOnly: s.Club.OwnOnly && !s.Coach.Owner,
	}
}

// Fresh makes a secret. It opens nothing until it is given to Make.
func (s *Service) Fresh() (Secret, error) {
	var raw [len(Hash{})]byte
	if _, err := io.ReadFull(s.Random, raw[:]); err != nil {
		return "", fmt.Errorf("read random bytes: %w", err)
	}
	return Secret(base64.RawURLEncoding.EncodeToString(raw[:])), nil
}

// Mine is the address of the actor's own calendar.
func (s *Service) Mine(ctx context.Context, who roster.Actor) (Address, error) {
	return s.Store.CalendarOf(ctx, who)
}

// Make lets the secret open the actor's calendar; the one before opens it no more. The
// same secret again changes nothing.
func (s *Service) Make(ctx context.Context, who roster.Actor, secret Secret) error {
	if !secret.Sound() {
		return fault.At(fault.Field{Place: "key", Message: "this form is not whole; please open it again"})
	}
	return s.Store.MakeCalendar(ctx, who, secret.Hash(), s.Now())
}

// End takes the address away. One that is gone already is no error.
func (s *Service) End(ctx context.Context, who roster.Actor) error {
	err := s.Store.EndCalendar(ctx, who)
	if fault.KindOf(err) == fault.NotFound {
		return nil
	}
	return err
}

// Open finds the calendar of a secret: fault.NotFound where there is none (any more),
// fault.Gone where its owner has left, or took the consent back.
func (s *Service) Open(ctx context.Context, secret Secret) (Subscription, error) {
	if !secret.Sound() {
		return Subscription{}, fault.New(fault.NotFound, "")
	}
	sub, err := s.Store.Calendar(ctx, secret.Hash())
	if err != nil {
		return Subscription{}, err
	}
	if sub.Athlete != nil && (!sub.Athlete.LeftAt.IsZero() || sub.Athlete.Arrival == roster.Withdrawn) {
		return Subscription{}, fault.New(fault.Gone, "")
	}
	return sub, nil
}

// Renew sets what is to stand in the calendar now against what stood there when it
// was fetched last, and gives the events with their lasting names, ordered by day.
// Weeks before the first Monday are forgotten.
func (s *Service) Renew(ctx context.Context, sub *Subscription, first day.Date, wanted []Entry) ([]Event, error) {
	var events []Event
	at := s.Now().UTC().Truncate(time.Second)
	err := s.Store.RenewCalendar(ctx, sub, first, day.Of(at, time.UTC), func(kept []Kept) []Kept {
		var now []Kept
		now, events = merge(kept, wanted, at)
		return now
	})
	for i := range events {
		events[i].UID = events[i].slot + "." + sub.Name
	}
	return events, err
}

// Phoneless are the athletes of the club as whom nobody is signed in, so that paper is
// what reaches them.
func (s *Service) Phoneless(ctx context.Context, who roster.Actor) ([]roster.AthleteID, error) {
	return s.Store.Phoneless(ctx, who.Club, s.Now())
}
