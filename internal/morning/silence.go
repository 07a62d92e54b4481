package morning

import (
	"context"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Silence is since when nothing was heard of an athlete, as the roster has it.
type Silence struct {
	Since day.Date // of the last session of which something was done; without one, when the phase began
	Holds bool     // it counts as silence today (rule 9.3): here, not away, not held, nothing to stop for
	First bool     // and did not yesterday
}

// Silence tells it of one athlete of the club; one whose phase is not on the pathway any
// more is fault.NotFound.
func (s *Service) Silence(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (Silence, error) {
	now := s.Now()
	file, err := s.Store.File(ctx, club, athlete, roster.Latest(now))
	if err != nil {
		return Silence{}, err
	}
	shelves, err := s.Store.Shelves(ctx, club)
	if err != nil {
		return Silence{}, err
	}
	shelf, today := shelves[file.Athlete.Pathway], file.Athlete.Today(now)
	if shelf == nil {
		return Silence{}, fault.New(fault.NotFound, "")
	}
	var r Row
	t := Silence{Holds: r.silent(&file, shelf, today)}
	if t.Since = r.Heard(); t.Since == 0 {
		t.Since = file.Athlete.PhaseSince
	}
	t.First = t.Holds && !new(Row).silent(&file, shelf, today-1)
	return t, nil
}

// silent fills the row in as of the day, and says whether the athlete is silent then.
func (r *Row) silent(f *roster.File, shelf *roster.Shelf, asked day.Date) bool {
	r.look(f, shelf, asked, f.Athlete.Place(), nil)
	r.Away, r.Coming = away(r), coming(r)
	return f.Athlete.LeftAt.IsZero() && r.Coming.Kind == Arrived && r.Away.Kind == Here && !r.mustStop() &&
		r.Verdict.Flags.Has(readiness.FlagQuiet) && !r.justBack()
}
