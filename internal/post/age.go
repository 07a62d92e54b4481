package post

import (
	"context"
	"errors"
	"time"

	"halfhour.app/halfhour/internal/roster"
)

// Kept is how long a letter is kept from when it was written, in the database as in a
// file: long enough to ask where it went, and past every link in it. Ours.
const Kept = 30 * 24 * time.Hour

// WeeklyKept is how long weekly letters are kept as they were sent: a year, so that a
// coach can look up what was told at this time of the season before. Ours.
const WeeklyKept = 366 * 24 * time.Hour

// Stamp is by which a letter is known: its number, and when it was written, to the
// second in the name of a file. A number alone may come again in a database that was
// brought back from a copy.
type Stamp struct {
	ID     roster.LetterID
	MadeAt time.Time
}

// second is the stamp as a file has it.
func (s Stamp) second() Stamp { return Stamp{s.ID, s.MadeAt.UTC().Truncate(time.Second)} }

// Files is where letters went that no mail server took.
type Files interface {
	// Clubs are those of which there is a letter or was one.
	Clubs() ([]roster.ClubID, error)
	// Stamps are those of the club's letters.
	Stamps(club roster.ClubID) ([]Stamp, error)
	// Remove removes letters, and what was left of one half written. One that is not
	// there is no fault.
	Remove(club roster.ClubID, letters []Stamp) error
}

// Gone is how many letters went.
type Gone struct {
	Rows  int // too old
	Files int // too old, or to somebody who was erased
}

// Tidy removes the letters that are older than Kept (WeeklyKept), and every file whose
// letter is no longer there, because it grew old or because somebody was erased whom it
// was for or about. It may be
// run as often as one likes; what goes wrong in one club does not keep it from others.
func (s *Service) Tidy(ctx context.Context) (Gone, error) {
	clubs, err := s.Store.EveryClub(ctx)
	if err != nil {
		return Gone{}, err
	}
	var gone Gone
	var faults []error
	for _, club := range clubs {
		n, err := s.Store.ForgetLetters(ctx, club, s.Now().Add(-Kept), s.Now().Add(-WeeklyKept))
		gone.Rows += n
		faults = append(faults, err)
	}
	var filed []roster.ClubID
	if s.Files != nil {
		filed, err = s.Files.Clubs()
		faults = append(faults, err)
	}
	for _, club := range filed {
		n, err := s.TidyFiles(ctx, club)
		gone.Files += n
		faults = append(faults, err)
	}
	return gone, errors.Join(faults...)
}

// TidyFiles removes the club's files whose letters are no longer there, and gives how
// many. The files are listed before the letters are asked for: of a file, the letter
// was there first.
func (s *Service) TidyFiles(ctx context.Context, club roster.ClubID) (int, error) {
	if s.Files == nil {
		return 0, nil
	}
	filed, err := s.Files.Stamps(club)
	if err != nil {
		return 0, err
	}
	ids := make([]roster.LetterID, len(filed))
	for i, f := range filed {
		ids[i] = f.ID
	}
	there, err := s.Store.LettersThere(ctx, club, ids)
	if err != nil {
		return 0, err
	}
	known := map[Stamp]bool{}
	for _, t := range there {
		known[t.second()] = true
	}
	var gone []Stamp
	for _, f := range filed {
		if !known[f.second()] {
			gone = append(gone, f)
		}
	}
	return len(gone), s.Files.Remove(club, gone)
}
