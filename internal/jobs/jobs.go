// Package jobs does what is to be done after the answer: it sends letters, and runs
// the errands of each day. Work is handed on inside the transaction that makes it
// necessary and kept in River's tables in the same PostgreSQL (schema river), so it is
// neither lost nor done for something that was rolled back. Several programs on one
// database share the work.
//
// River's tables know no club, and row security cannot part them. So what is in them
// says nothing: the name of the work, and numbers of rows, which only a transaction
// that names the club can read. Errors are kept there too: whoever does the work gives
// none that holds an address, a name or anything typed.
package jobs

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// schema is where River's tables are; the migrations make them.
const schema = "river"

// Queues: letters wait for slow mail servers, and must hold nothing else up.
const (
	mailQueue  = "mail"
	houseQueue = river.QueueDefault
)

// A letter is tried with pauses that grow from a second to three hours, for a week in
// all: as long as any is worth sending. One that is not worth it any more ends itself,
// so that a mail server that is gone over a weekend keeps no weekly letter back.
const (
	tries     = 66
	pauseMost = 3 * time.Hour
)

// pause is how long to wait after that try.
func pause(attempt int) time.Duration {
	n := min(attempt, 100)
	return min(time.Duration(n*n*n*n)*time.Second, pauseMost)
}

// waysInTries is how often it is tried to write down letters to those who asked for a
// way in: a day in all, after which they have asked again.
const waysInTries = 14

// letter is the work of sending one letter.
type letter struct {
	Club   roster.ClubID   `json:"club" river:"unique"`
	Letter roster.LetterID `json:"letter" river:"unique"`
}

// Kind names the work in River's tables.
func (letter) Kind() string { return "letter" }

// InsertOpts says how it is worked: once for each letter, ever (as long as River
// remembers; the letter itself remembers longer).
func (letter) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: mailQueue, MaxAttempts: tries, UniqueOpts: river.UniqueOpts{ByArgs: true, ByState: everyState()}}
}

// waysIn is the work of writing to everybody who has an address; there may be nobody.
type waysIn struct {
	People []person `json:"people"`
}

// person is a coach or an athlete by number.
type person struct {
	Club    roster.ClubID    `json:"club"`
	Coach   roster.CoachID   `json:"coach,omitempty"`
	Athlete roster.AthleteID `json:"athlete,omitempty"`
}

// Kind names the work in River's tables.
func (waysIn) Kind() string { return "ways_in" }

// InsertOpts says how it is worked.
func (waysIn) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: mailQueue, MaxAttempts: waysInTries}
}

// Errands hands work on inside somebody else's transaction.
type Errands struct {
	client *river.Client[pgx.Tx]
}

// NewErrands makes one; it works nothing itself, and needs no connection of its own.
func NewErrands() (*Errands, error) {
	client, err := river.NewClient(riverpgxv5.New(nil), &river.Config{Schema: schema})
	if err != nil {
		return nil, fmt.Errorf("the errands cannot be set up: %w", err)
	}
	return &Errands{client: client}, nil
}

// Letter hands on that a letter is to be sent, and not before the instant.
func (e *Errands) Letter(ctx context.Context, tx pgx.Tx, club roster.ClubID, id roster.LetterID, from time.Time) error {
	_, err := e.client.InsertTx(ctx, tx, letter{Club: club, Letter: id}, &river.InsertOpts{ScheduledAt: from})
	return err
}

// WaysIn hands on that the people are to be written to. For nobody the same row is
// written with an empty list, so that nothing tells the one from the other.
func (e *Errands) WaysIn(ctx context.Context, tx pgx.Tx, people []post.Person) error {
	work := waysIn{People: make([]person, len(people))}
	for i, p := range people {
		work.People[i] = person(p)
	}
	_, err := e.client.InsertTx(ctx, tx, work, nil)
	return err
}
