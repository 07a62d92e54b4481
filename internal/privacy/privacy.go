// Package privacy is what people may ask of what is kept about them: to see it, to
// take it along, to know who looked at it, and to be erased. It also forgets those
// who left, after the time that the club sets.
package privacy

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
)

// Service keeps those promises. Now is the clock; List is where it stands who was
// erased, nil where nothing is kept of that beside the store.
type Service struct {
	Store Store
	List  List
	Now   func() time.Time
}

// What says what of an athlete a coach looked at.
type What string

// The things that can be looked at. The roster is no look at one person.
const (
	Page     What = "page"     // the athlete's page, and what is known of the person
	Sessions What = "sessions" // single sessions, or all of them
	Heart    What = "heart"    // recordings, measurements, ceilings
	Health   What = "health"   // health answers and what they led to
	Kept     What = "kept"     // the list of what is kept
	Archive  What = "archive"  // all of it, as a file
)

// Look is what a coach looked at on one day.
type Look struct {
	Coach roster.CoachID
	By    string   // the coach's name
	On    day.Date // where the club is
	What  What
	First time.Time
	Last  time.Time
	Times int
}

// Count is how many rows of a table are about the athlete.
type Count struct {
	Table string
	Rows  int
	About string // what the table holds, as the database says it; may be empty
}

// About is what is kept of an athlete, in sum.
type About struct {
	Athlete  roster.Athlete
	Counts   []Count          // by table; only of those that hold something
	Consents []roster.Consent // the newest first, those taken back too
	Looks    []Look           // the newest day first
	Asked    time.Time        // when the athlete asked to be erased; zero: did not
	Erased   time.Time        // from when on that happens by itself; zero where nobody asked
	Keeping  Keeping
	Until    time.Time // from when on that happens because the athlete never began; zero: not for that
}

// About sums up what is kept. Who may not see it does not find it.
func (s *Service) About(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (About, error) {
	a, err := s.subject(ctx, who, athlete)
	if err != nil {
		return About{}, err
	}
	v := About{Athlete: a}
	if v.Counts, err = s.Store.Counts(ctx, who.Club, athlete); err != nil {
		return About{}, err
	}
	if v.Consents, err = s.Store.Consents(ctx, who.Club, athlete); err != nil {
		return About{}, err
	}
	if v.Looks, err = s.Store.Looks(ctx, who.Club, athlete); err != nil {
		return About{}, err
	}
	if v.Asked, err = s.Store.Asked(ctx, who.Club, athlete); err != nil {
		return About{}, err
	}
	if !v.Asked.IsZero() {
		v.Erased = v.Asked.Add(patience)
	}
	if v.Keeping, err = s.Store.Keeping(ctx, who.Club); err != nil {
		return About{}, err
	}
	v.Until, err = s.until(ctx, &a)
	return v, err
}

// Looked notes that a coach looked at something of the athlete, on the club's date.
func (s *Service) Looked(ctx context.Context, club roster.Club, coach roster.CoachID, athlete roster.AthleteID, what What) error {
	now := s.Now()
	return s.Store.Look(ctx, club.ID, coach, athlete, what, day.Of(now, roster.PlaceOf(club.Zone)), now)
}

// subject is the athlete, for whoever may see everything that is kept: the athlete,
// and the coaches who see the athlete at all, but no deputies.
func (s *Service) subject(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (roster.Athlete, error) {
	if !who.For(athlete) || who.Deputy {
		return roster.Athlete{}, fault.New(fault.NotFound, "")
	}
	a, err := s.Store.Athlete(ctx, who.Club, athlete)
	switch {
	case err != nil:
		return roster.Athlete{}, err
	case !who.Sees(&a):
		return roster.Athlete{}, fault.New(fault.NotFound, "")
	}
	return a, nil
}
