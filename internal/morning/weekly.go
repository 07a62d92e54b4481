package morning

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Weekly is how a club stands at an instant, and what the seven days up to it
// brought. Everybody is in one of the lists of rows; who moved is in Moved besides.
type Weekly struct {
	Morning  *Morning
	At       time.Time // how things stand then
	From     time.Time // the same time of day a week before, in the club's zone
	Stop     []*Row    // to refer, to pause or to ease back, the most careful first
	Ready    []*Row    // ready to move up, or arrived
	Stalling []*Row
	Jumped   []*Row // whose load jumped
	Other    []*Row // any other decision
	Moved    []Move // by name, then in the order of the decisions
}

// Move is a decision of the seven days that changed where somebody stands.
type Move struct {
	Row      *Row
	Decision *roster.Decision
}

// Weekly reads what a letter to the coach tells: everybody whom the coach sees, or,
// unless all are asked for, only the coach's own and those of nobody. With a day of
// zero, or one that is not over, it is how things stand now; with an earlier one how
// they stood at its end in the club's zone, as far as what is kept tells: sessions of
// later dates are left out, and standings are taken back by the decisions made since.
// Corrections of a session and of a time away stand as they are now, and who has left
// since is not in it.
func (s *Service) Weekly(ctx context.Context, club roster.Club, who roster.Actor, all bool, asOf day.Date) (*Weekly, error) {
	places := places{}
	place := places.of(club.Zone)
	w := &Weekly{At: s.Now()}
	past := asOf != 0 && asOf < day.Of(w.At, place)
	if past {
		w.At = (asOf + 1).Start(place).Add(-time.Nanosecond)
	}
	w.From = w.At.In(place).AddDate(0, 0, -7)
	shelves, err := s.Store.Shelves(ctx, club.ID)
	if err != nil {
		return nil, err
	}
	files, err := s.Store.Files(ctx, club.ID, roster.Latest(w.At))
	if err != nil {
		return nil, err
	}
	decisions, err := s.Store.Since(ctx, club.ID, w.From.Add(-week))
	if err != nil {
		return nil, err
	}
	if files = seen(files, who); past {
		files = takenBack(files, decisions, w.At, places)
	}
	w.Morning = &Morning{Asked: day.Of(w.At, place)}
	rows := s.rows(w.Morning.others(files, who, !all), shelves, places, w.At)
	w.Morning.sort(rows)
	w.sort()
	w.moves(rows, decisions)
	return w, nil
}

// week is more than long enough for every decision that may still answer a proposal
// (answerHolds), wherever the athlete is.
const week = 7 * 24 * time.Hour

// sort lays out those to decide on.
func (w *Weekly) sort() {
	for _, r := range w.Morning.Decide {
		to := &w.Other
		switch r.Why {
		case WhyRefer, WhyPause, WhyEaseBack:
			to = &w.Stop
		case WhyMoveUp, WhyArrived:
			to = &w.Ready
		case WhyStalling:
			to = &w.Stalling
		case WhyLoadJump:
			to = &w.Jumped
		}
		*to = append(*to, r)
	}
}

// moves finds the decisions of the seven days that changed a standing, of those who
// in the letter. The rows come by name, the decisions the newest first.
func (w *Weekly) moves(rows []Row, decisions []roster.Decision) {
	at := make(map[roster.AthleteID]int, len(rows))
	for i := range rows {
		at[rows[i].Athlete.ID] = i
	}
	for i := range slices.Backward(decisions) {
		d := &decisions[i]
		row, known := at[d.Athlete]
		if known && d.At.After(w.From) && !d.At.After(w.At) && (d.Before.Phase != d.After.Phase || d.Before.Held != d.After.Held) {
			w.Moved = append(w.Moved, Move{Row: &rows[row], Decision: d})
		}
	}
	slices.SortStableFunc(w.Moved, func(a, b Move) int { return at[a.Row.Athlete.ID] - at[b.Row.Athlete.ID] })
}

// News says whether there is anything that a coach who knows last week's letter does
// not know: somebody to decide on, who moved, who waits to be taken in, or who fell
// silent in these seven days.
func (w *Weekly) News() bool {
	waits := func(r *Row) bool { return r.Coming.Kind == Waiting }
	return len(w.Morning.Decide)+len(w.Moved) > 0 || slices.ContainsFunc(w.Morning.Coming, waits) ||
		slices.ContainsFunc(w.Morning.Quiet, (*Row).quietSince)
}

// quietSince says that the silence is younger than the letter before: a week ago it
// was none.
func (r *Row) quietSince() bool {
	h := r.file.HistoryIn(&r.Shelf.Pathway, r.Asked-7, r.file.Athlete.Place(), nil)
	return r.Athlete.PhaseSince > r.Asked-7 || !readiness.Assess(&h).Flags.Has(readiness.FlagQuiet)
}

// takenBack lays out the files as they were at an instant that is past. The decisions
// come the newest first.
func takenBack(files []roster.File, decisions []roster.Decision, at time.Time, places places) []roster.File {
	was := map[roster.AthleteID]*roster.Standing{}
	newest := map[roster.AthleteID]*roster.Decision{}
	for i := range decisions {
		d := &decisions[i]
		if d.At.After(at) {
			was[d.Athlete] = &d.Before
		} else if newest[d.Athlete] == nil {
			newest[d.Athlete] = d
		}
	}
	files = slices.DeleteFunc(files, func(f roster.File) bool { return f.Athlete.JoinedOn > day.Of(at, places.of(f.Athlete.Zone)) })
	for i := range files {
		f := &files[i]
		asked := day.Of(at, places.of(f.Athlete.Zone))
		if standing := was[f.Athlete.ID]; standing != nil {
			f.Athlete.Standing, f.Newest = *standing, nil
		}
		if n := f.Newest; n == nil || n.At.After(at) {
			f.Newest = newest[f.Athlete.ID]
		}
		arriveAgain(&f.Athlete, asked)
		f.Sessions = slices.DeleteFunc(f.Sessions, func(s roster.Session) bool { return s.Date > asked })
	}
	return files
}

// arriveAgain takes back what is dated later than the day: a step of coming in by the
// step before it, as far as that is known.
func arriveAgain(a *roster.Athlete, asked day.Date) {
	if a.ArrivalSince > asked {
		a.ArrivalSince = a.JoinedOn
		if a.Arrival == roster.Withdrawn {
			a.Arrival = roster.Here
		} else {
			a.Arrival = roster.Invited
		}
	}
	if a.CheckSince > asked {
		a.CheckSince = 0
	}
	if a.InjuredOn > asked {
		a.InjuredOn = 0
	}
}
