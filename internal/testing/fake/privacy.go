package fake

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"maps"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/access"
	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/privacy"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var _ privacy.Store = (*Store)(nil)

// Seen is a look as it was noted.
type Seen struct {
	Club    roster.ClubID
	Athlete roster.AthleteID
	privacy.Look
}

// Look notes one.
func (s *Store) Look(_ context.Context, club roster.ClubID, coach roster.CoachID, athlete roster.AthleteID, what privacy.What, on day.Date, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(club, athlete); err != nil {
		return err
	}
	for i := range s.Looked {
		if l := &s.Looked[i]; l.Coach == coach && l.Athlete == athlete && l.On == on && l.What == what {
			l.Last, l.Times = at, l.Times+1
			return nil
		}
	}
	s.Looked = append(s.Looked, Seen{club, athlete, privacy.Look{Coach: coach, By: s.People[coach].Name, On: on, What: what, First: at, Last: at, Times: 1}})
	return nil
}

// Looks at the athlete, the newest day first.
func (s *Store) Looks(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]privacy.Look, error) {
	done, err := s.enter()
	defer done()
	var list []privacy.Look
	for _, l := range s.Looked {
		if l.Club == club && l.Athlete == athlete {
			list = append(list, l.Look)
		}
	}
	slices.SortStableFunc(list, func(a, b privacy.Look) int { return cmp.Compare(b.On, a.On) })
	return list, err
}

// rowsAtOnce is so small that tests see several pieces.
const rowsAtOnce = 2

// Tables are three, which is enough to see that all are asked.
func (s *Store) Tables(context.Context, roster.ClubID) ([]privacy.Table, error) {
	done, err := s.enter()
	defer done()
	return []privacy.Table{{Name: "athlete"}, {Name: "note", Number: "note_id"}, {Name: "leave", About: "Times away, as they were told."}}, err
}

// Counts of the rows.
func (s *Store) Counts(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]privacy.Count, error) {
	done, err := s.enter()
	defer done()
	counts := []privacy.Count{{Table: "athlete", Rows: 1}}
	for table, rows := range map[string]int{"session": len(s.sessions(athlete)), "note": len(s.notes(club, athlete))} {
		if rows > 0 {
			counts = append(counts, privacy.Count{Table: table, Rows: rows})
		}
	}
	slices.SortFunc(counts, func(a, b privacy.Count) int { return cmp.Compare(a.Table, b.Table) })
	return counts, err
}

func (s *Store) notes(club roster.ClubID, athlete roster.AthleteID) []roster.Note {
	return slices.DeleteFunc(slices.Clone(s.Written), func(n roster.Note) bool { return n.Athlete != athlete || s.Athletes[athlete].Club != club })
}

// Rows of the athlete and of the notes, two at a time.
func (s *Store) Rows(_ context.Context, club roster.ClubID, athlete roster.AthleteID, table privacy.Table, from int64) ([][]byte, int64, error) {
	done, err := s.enter()
	defer done()
	a, found := s.athlete(club, athlete)
	if err != nil || found != nil {
		return nil, 0, cmp.Or(err, found)
	}
	var all []any
	switch table.Name {
	case "athlete":
		all = []any{a}
	case "note":
		for _, n := range s.notes(club, athlete) {
			all = append(all, n)
		}
	}
	var rows [][]byte
	for _, row := range all[from:min(int(from)+rowsAtOnce, len(all))] {
		text, err := json.Marshal(row)
		if err != nil {
			return nil, 0, err
		}
		rows = append(rows, text)
	}
	if next := from + rowsAtOnce; next < int64(len(all)) {
		return rows, next, nil
	}
	return rows, 0, nil
}

// Lines are those of what the athlete did.
func (s *Store) Lines(_ context.Context, _ roster.ClubID, athlete roster.AthleteID) ([][]byte, error) {
	done, err := s.enter()
	defer done()
	var lines [][]byte
	for _, who := range s.Audit {
		if who.Athlete == athlete {
			lines = append(lines, []byte(`{"change": "something.done"}`))
		}
	}
	return lines, err
}

// Asked is when the athlete asked.
func (s *Store) Asked(_ context.Context, club roster.ClubID, athlete roster.AthleteID) (time.Time, error) {
	done, err := s.enter()
	defer done()
	if s.Athletes[athlete].Club != club {
		return time.Time{}, err
	}
	return s.Erasing[athlete], err
}

// Asking are all who asked.
func (s *Store) Asking(_ context.Context, club roster.ClubID) ([]privacy.Asking, error) {
	done, err := s.enter()
	defer done()
	var list []privacy.Asking
	for id, at := range s.Erasing {
		if a := s.Athletes[id]; a.Club == club {
			list = append(list, privacy.Asking{Athlete: id, Name: a.Name, Coach: a.Coach, At: at})
		}
	}
	slices.SortFunc(list, func(a, b privacy.Asking) int { return a.At.Compare(b.At) })
	return list, err
}

// AskErasure keeps the first time.
func (s *Store) AskErasure(_ context.Context, who roster.Actor, athlete roster.AthleteID, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, there := s.Erasing[athlete]; !there {
		s.Erasing[athlete] = at
		s.Audit = append(s.Audit, who)
	}
	return nil
}

// TakeBackErasure forgets it.
func (s *Store) TakeBackErasure(_ context.Context, who roster.Actor, athlete roster.AthleteID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, there := s.Erasing[athlete]; !there {
		return notFound()
	}
	delete(s.Erasing, athlete)
	s.Audit = append(s.Audit, who)
	return nil
}

// EraseDue is Erase where the reason still holds.
func (s *Store) EraseDue(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, year int, why privacy.Reason) error {
	asked, there := s.Erasing[athlete]
	switch {
	case !why.Asked.IsZero() && !(there && asked.Equal(why.Asked)), !why.Left.IsZero() && !s.Athletes[athlete].LeftAt.Equal(why.Left),
		why.Waiting != 0 && (s.Athletes[athlete].Version != why.Waiting || s.Athletes[athlete].Arrival == roster.Here):
		return notFound()
	}
	return s.Erase(ctx, roster.Actor{Club: club}, athlete, year)
}

// Own is what is kept of a coach.
func (s *Store) Own(_ context.Context, club roster.ClubID, coach roster.CoachID) ([]byte, error) {
	done, err := s.enter()
	defer done()
	p, ok := s.People[coach]
	if err == nil && (!ok || p.Club != club) {
		err = notFound()
	}
	if err != nil {
		return nil, err
	}
	return json.Marshal(map[string]any{"coach": map[string]any{"name": p.Name, "email": p.Email}})
}

// MarkOf is the mark that the athlete leaves.
func MarkOf(athlete roster.AthleteID) privacy.Mark {
	return sha256.Sum256([]byte(StopSecret(0, athlete)))
}

// Erased are the marks of those who were erased.
func (s *Store) Erased(_ context.Context, club roster.ClubID) ([]privacy.Gone, error) {
	done, err := s.enter()
	defer done()
	return s.Gones[club], err
}

// Marked are the athletes for whom one of the marks is.
func (s *Store) Marked(_ context.Context, club roster.ClubID, marks []privacy.Mark) (all []roster.AthleteID, err error) {
	done, err := s.enter()
	defer done()
	for _, a := range s.Athletes {
		if a.Club == club && slices.Contains(marks, MarkOf(a.ID)) {
			all = append(all, a.ID)
		}
	}
	return all, err
}

// Erase removes the athlete and what refers to the athlete.
func (s *Store) Erase(_ context.Context, who roster.Actor, athlete roster.AthleteID, year int) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if s.Stuck[athlete] {
		return fault.New(fault.Unavailable, "")
	}
	if _, err := s.athlete(who.Club, athlete); err != nil {
		return err
	}
	s.Gones[who.Club] = append(s.Gones[who.Club], privacy.Gone{Mark: MarkOf(athlete), On: day.On(year, 1, 1)})
	t := s.Tallied[who.Club]
	at := slices.IndexFunc(t, func(t privacy.Tally) bool { return t.Year == year })
	if at < 0 {
		t = append(t, privacy.Tally{Year: year})
		at = len(t) - 1
	}
	t[at].Erased++
	t[at].Sessions += len(s.sessions(athlete))
	s.Tallied[who.Club] = t
	delete(s.Athletes, athlete)
	delete(s.Erasing, athlete)
	maps.DeleteFunc(s.Leaving, func(_ roster.LeaveID, l roster.Leave) bool { return l.Athlete == athlete })
	maps.DeleteFunc(s.Kept, func(_ roster.LoginID, l access.Login) bool { return l.Athlete == athlete })
	maps.DeleteFunc(s.Opened, func(_ roster.LoginID, l access.Login) bool { return l.Athlete == athlete })
	maps.DeleteFunc(s.codes, func(_ access.Hash, c access.Code) bool { return c.Athlete == athlete })
	s.Looked = slices.DeleteFunc(s.Looked, func(l Seen) bool { return l.Athlete == athlete })
	s.Written = slices.DeleteFunc(s.Written, func(n roster.Note) bool { return n.Athlete == athlete })
	s.Logged = slices.DeleteFunc(s.Logged, func(l roster.Session) bool { return l.Athlete == athlete })
	s.Decided = slices.DeleteFunc(s.Decided, func(d roster.Decision) bool { return d.Athlete == athlete })
	s.Recorded = slices.DeleteFunc(s.Recorded, func(r roster.Recording) bool { return r.Athlete == athlete })
	s.Measured = slices.DeleteFunc(s.Measured, func(m roster.Measurement) bool { return m.Athlete == athlete })
	s.Letters = slices.DeleteFunc(s.Letters, func(l Letter) bool { return l.Letter.Athlete == athlete })
	s.Audit = append(s.Audit, who)
	return nil
}

// Waiting are those who are coming in and never trained.
func (s *Store) Waiting(_ context.Context, club roster.ClubID) ([]privacy.Waiter, error) {
	done, err := s.enter()
	defer done()
	var all []privacy.Waiter
	for _, a := range s.Athletes {
		trained := slices.ContainsFunc(s.sessions(a.ID), func(l roster.Session) bool { return l.Kind == readiness.Planned || l.Kind == readiness.Strength })
		if a.Club != club || a.Arrival == roster.Here || !a.LeftAt.IsZero() || trained {
			continue
		}
		w := privacy.Waiter{Athlete: a, Last: a.ArrivalSince.UTC()}
		for _, l := range s.Kept {
			if l.Athlete == a.ID && l.SeenAt.After(w.Last) {
				w.Last = l.SeenAt
			}
		}
		all = append(all, w)
	}
	return byName(all, func(w privacy.Waiter) string { return w.Athlete.Name }), err
}

// Keeping of the club, as usual where nobody set it.
func (s *Store) Keeping(_ context.Context, club roster.ClubID) (privacy.Keeping, error) {
	done, err := s.enter()
	defer done()
	k, set := s.Keeps[club]
	if !set {
		k.Months = privacy.UsuallyKept
	}
	return k, err
}

// SetKeeping changes it.
func (s *Store) SetKeeping(_ context.Context, who roster.Actor, k privacy.Keeping) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	s.Keeps[who.Club] = k
	s.Audit = append(s.Audit, who)
	return nil
}

// Tallies of the club.
func (s *Store) Tallies(_ context.Context, club roster.ClubID) ([]privacy.Tally, error) {
	done, err := s.enter()
	defer done()
	return slices.Clone(s.Tallied[club]), err
}

// EveryClub are the numbers of all clubs.
func (s *Store) EveryClub(context.Context) ([]roster.ClubID, error) {
	done, err := s.enter()
	defer done()
	return slices.Sorted(maps.Keys(s.Clubs)), err
}
