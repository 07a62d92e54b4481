// Package demo fills an empty database with a club of invented people, so that
// there is something to look at before there are people of one's own. Nothing is
// put behind anybody's back: sessions are logged as a phone logs them, decisions
// are made as a coach makes them, each at the moment at which it would have been.
// The lives are simulated up to their last weeks, which a story tells, so that
// everything the engine can say is there to be seen on the day of the run.
package demo

import (
	"context"
	"errors"
	"io"
	"sync"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/outdoors"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/roster"
)

// How a coach comes into a demo. Everybody may know: all of it is invented.
const (
	ClubName = "Tern Quay Starters"
	Email    = "marta@ternquay.example"
	Password = "one step at a time"
)

// defaultZone is the club's time zone where nobody says another.
const defaultZone = "Europe/Lisbon"

// Store is what the use cases need that a demo goes through.
type Store interface {
	access.Store
	days.Store
	enrol.Store
	entry.Store
	decide.Store
	heart.Store
	outdoors.Store
	privacy.Store
	join.Store
	lift.Store
	// Files are all athletes who have not left (see the roster's store).
	Files(ctx context.Context, club roster.ClubID, asked day.Date) ([]roster.File, error)
	// Decisions are all decisions about the athlete, the newest first.
	Decisions(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Decision, error)
}

// Deps is what a demo is made with.
type Deps struct {
	Store  Store
	Hasher access.Hasher
	Random io.Reader // for links; must be fit for secrets
	Zone   string    // IANA name of the club's and everybody's time zone; empty: Europe/Lisbon
}

// Guests is how to come in and look around.
type Guests struct {
	Club            string
	Email, Password string      // of a coach, as they were when the club was made
	Athlete         string      // the name of an athlete
	Link            access.Link // and a fresh sign-in link of theirs
	Again           bool        // the club was there already; nothing was put into it
}

// atOnce is how many lives are lived side by side.
const atOnce = 4

// Fill makes the demo club with about twelve weeks of history that ends the day
// before now. A club that is whole already stays as it is; one that was left half
// made is finished, as of the day on which it was begun. Where there is a club of
// real people it is fault.Conflict, and nothing is changed.
func Fill(ctx context.Context, d Deps, now time.Time) (Guests, error) {
	h, err := d.open(ctx, now)
	if err != nil {
		return Guests{}, err
	}
	people := cast()
	whole, err := h.whole(ctx, len(people)+len(arrivals()))
	if err != nil {
		return Guests{}, err
	}
	if !whole {
		if err := h.fill(ctx, people); err != nil {
			return Guests{}, err
		}
	}
	return h.welcome(ctx, whole)
}

// Age is how many days ago the demo that is there was made; 0 where there is none
// yet or it was left half made. Where there is a club of real people it is
// fault.Conflict.
func Age(ctx context.Context, d Deps, now time.Time) (int, error) {
	needed, err := (&house{Deps: d}).doors(now).SetUpNeeded(ctx)
	if err != nil || needed {
		return 0, err
	}
	h, err := d.open(ctx, now)
	if err != nil {
		return 0, err
	}
	people := cast()
	whole, err := h.whole(ctx, len(people)+len(arrivals()))
	if err != nil || !whole {
		return 0, err
	}
	if err := h.anchor(ctx, &people[0]); err != nil {
		return 0, err
	}
	return int(day.Of(now, h.place) - h.today), nil
}

// fill lives all the lives. The last person comes in after all others are done, so
// that a club with everybody in it is whole.
func (h *house) fill(ctx context.Context, people []member) error {
	if err := h.anchor(ctx, &people[0]); err != nil {
		return err
	}
	if err := h.keep(ctx); err != nil {
		return err
	}
	last := len(people) - 1
	if err := side(ctx, people[:last], h.live); err != nil {
		return err
	}
	if err := h.weekly(ctx); err != nil {
		return err
	}
	if err := h.comeIn(ctx); err != nil {
		return err
	}
	if err := h.air(ctx); err != nil {
		return err
	}
	return h.live(ctx, &people[last])
}

// side does the same for several people at once and gives what went wrong; after
// the first error no more begin.
func side(ctx context.Context, people []member, do func(context.Context, *member) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	waiting := make(chan *member, len(people))
	for i := range people {
		waiting <- &people[i]
	}
	close(waiting)
	var group sync.WaitGroup
	var mu sync.Mutex
	var faults []error
	for range min(atOnce, len(people)) {
		group.Go(func() {
			for m := range waiting {
				if err := do(ctx, m); err != nil {
					mu.Lock()
					faults = append(faults, err)
					mu.Unlock()
					stop()
					return
				}
			}
		})
	}
	group.Wait()
	return errors.Join(faults...)
}

// refused says that there is a club which is no demo.
func refused() error {
	return fault.New(fault.Conflict, "There is a club of real people in this database, so no demo is put into it. Please take another data folder.")
}
