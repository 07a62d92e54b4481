package fake

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/decide"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/roster"
)

var (
	_ entry.Store   = (*Store)(nil)
	_ morning.Store = (*Store)(nil)
	_ decide.Store  = (*Store)(nil)
)

// Shelf is the default pathway.
func (s *Store) Shelf(ctx context.Context, club roster.ClubID, _ roster.PathwayID) (*roster.Shelf, error) {
	return s.NewestShelf(ctx, club)
}

// Shelves are the default pathway alone.
func (s *Store) Shelves(ctx context.Context, club roster.ClubID) (map[roster.PathwayID]*roster.Shelf, error) {
	shelf, err := s.NewestShelf(ctx, club)
	if err != nil {
		return nil, err
	}
	return map[roster.PathwayID]*roster.Shelf{shelf.ID: shelf}, nil
}

// File of one athlete, with every session.
func (s *Store) File(_ context.Context, club roster.ClubID, id roster.AthleteID, _ day.Date) (roster.File, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.File{}, err
	}
	a, err := s.athlete(club, id)
	if err != nil {
		return roster.File{}, err
	}
	return s.file(a), nil
}

func (s *Store) file(a roster.Athlete) roster.File {
	f := roster.File{Athlete: a, Sessions: s.sessions(a.ID)}
	for _, l := range s.Leaving {
		if l.Athlete == a.ID {
			f.Leave = append(f.Leave, l)
		}
	}
	if d := s.newest(a.ID); d != nil {
		copied := *d
		copied.Clearance = roster.Clearance{}
		f.Newest = &copied
	}
	for _, d := range s.Decided {
		if d.Athlete == a.ID && d.UndoneAt.IsZero() && d.Clearance != (roster.Clearance{}) {
			f.Cleared = &d.Clearance
		}
	}
	return f
}

// Files of all who have not left, by name.
func (s *Store) Files(_ context.Context, club roster.ClubID, _ day.Date) ([]roster.File, error) {
	done, err := s.enter()
	defer done()
	var list []roster.File
	for _, a := range s.Athletes {
		if a.Club == club && a.LeftAt.IsZero() {
			list = append(list, s.file(a))
		}
	}
	return byName(list, func(f roster.File) string { return f.Athlete.Name }), err
}

func (s *Store) sessions(id roster.AthleteID) []roster.Session {
	var list []roster.Session
	for _, one := range s.Logged {
		if one.Athlete == id {
			list = append(list, one)
		}
	}
	slices.SortFunc(list, func(a, b roster.Session) int { return b.StartedAt.Compare(a.StartedAt) })
	return list
}

// Sessions of the athlete, the newest first.
func (s *Store) Sessions(_ context.Context, club roster.ClubID, id roster.AthleteID) ([]roster.Session, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return nil, err
	}
	if _, err := s.athlete(club, id); err != nil {
		return nil, err
	}
	return s.sessions(id), nil
}

func (s *Store) find(club roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (int, error) {
	if _, err := s.athlete(club, athlete); err != nil {
		return -1, err
	}
	at := slices.IndexFunc(s.Logged, func(one roster.Session) bool { return one.ID == id && one.Athlete == athlete })
	if at < 0 {
		return -1, notFound()
	}
	return at, nil
}

// Session is one session of the athlete.
func (s *Store) Session(_ context.Context, club roster.ClubID, athlete roster.AthleteID, id roster.SessionID) (roster.Session, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.Session{}, err
	}
	at, err := s.find(club, athlete, id)
	if err != nil {
		return roster.Session{}, err
	}
	return s.Logged[at], nil
}

// twin says whether another session began at that instant.
func (s *Store) twin(one roster.Session) bool {
	return slices.ContainsFunc(s.Logged, func(o roster.Session) bool {
		return o.ID != one.ID && o.Athlete == one.Athlete && o.Kind == one.Kind && o.StartedAt.Equal(one.StartedAt)
	})
}

// Log stores a session once.
func (s *Store) Log(_ context.Context, who roster.Actor, one roster.Session, alarm roster.Alarm) (roster.SessionID, bool, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, false, err
	}
	if _, err := s.athlete(who.Club, one.Athlete); err != nil {
		return 0, false, err
	}
	for _, o := range s.Logged {
		if o.Athlete == one.Athlete && o.Key == one.Key {
			return o.ID, true, nil
		}
	}
	if s.twin(one) {
		return 0, false, fault.New(fault.Conflict, "")
	}
	one.ID, one.Version = roster.SessionID(s.next()), 1
	one.Routine = s.routineOf(who.Club, &one, 0)
	s.Logged = append(s.Logged, one)
	s.Alarmed = append(s.Alarmed, alarm)
	s.Audit = append(s.Audit, who)
	return one.ID, false, nil
}

// routineOf is the routine that a session remembers: that of when a warm-up or a
// cool-down was first told; was is the place of the session before, counted from 1, or 0.
func (s *Store) routineOf(club roster.ClubID, one *roster.Session, was int) roster.RoutineID {
	if one.WarmUp == "" && one.CoolDown == "" {
		return 0
	}
	if was > 0 && (s.Logged[was-1].WarmUp != "" || s.Logged[was-1].CoolDown != "") {
		return s.Logged[was-1].Routine
	}
	return s.repertoire(club).Routine.ID
}

// Correct replaces a session of the version given.
func (s *Store) Correct(_ context.Context, who roster.Actor, one roster.Session, alarm roster.Alarm) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	at, err := s.find(who.Club, one.Athlete, one.ID)
	if err != nil {
		return err
	}
	if s.Logged[at].Version != one.Version || s.twin(one) {
		return fault.New(fault.Conflict, "")
	}
	one.Version++
	one.Routine = s.routineOf(who.Club, &one, at+1)
	one.Turn, one.Lifts = s.Logged[at].Turn, s.Logged[at].Lifts
	s.Logged[at] = one
	s.Alarmed = append(s.Alarmed, alarm)
	s.Audit = append(s.Audit, who)
	return nil
}

// Delete removes a session of the version given.
func (s *Store) Delete(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.SessionID, version int) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	at, err := s.find(who.Club, athlete, id)
	if err != nil {
		return err
	}
	if s.Logged[at].Version != version {
		return fault.New(fault.Conflict, "")
	}
	s.Logged = slices.Delete(s.Logged, at, at+1)
	s.Recorded = slices.DeleteFunc(s.Recorded, func(r roster.Recording) bool { return r.Session == id })
	s.Audit = append(s.Audit, who)
	return nil
}

// newest is the newest decision that stands, or nil.
func (s *Store) newest(id roster.AthleteID) *roster.Decision {
	for i := range slices.Backward(s.Decided) {
		if d := &s.Decided[i]; d.Athlete == id && d.UndoneAt.IsZero() {
			return d
		}
	}
	return nil
}

// Keep stores a decision once, with where it leads.
func (s *Store) Keep(_ context.Context, who roster.Actor, d roster.Decision, version int) (roster.DecisionID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	for _, o := range s.Decided {
		if o.Key == d.Key && o.UndoneAt.IsZero() {
			return o.ID, nil
		}
		if o.Key == d.Key {
			return 0, fault.New(fault.Conflict, "")
		}
	}
	a, err := s.athlete(who.Club, d.Athlete)
	if err != nil {
		return 0, err
	}
	if a.Version != version {
		return 0, fault.New(fault.Conflict, "")
	}
	a.Standing, a.Version = d.After, a.Version+1
	if d.Word != "" {
		a.CoachWord = d.Word
	}
	s.Athletes[a.ID] = a
	d.ID, d.By = roster.DecisionID(s.next()), s.People[who.Coach].Name
	s.Decided = append(s.Decided, d)
	s.Audit = append(s.Audit, who)
	return d.ID, nil
}

func (s *Store) decision(club roster.ClubID, id roster.DecisionID) *roster.Decision {
	for i := range s.Decided {
		if d := &s.Decided[i]; d.ID == id && s.Athletes[d.Athlete].Club == club {
			return d
		}
	}
	return nil
}

// Decision is one decision of the club.
func (s *Store) Decision(_ context.Context, club roster.ClubID, id roster.DecisionID) (roster.Decision, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.Decision{}, err
	}
	if d := s.decision(club, id); d != nil {
		return *d, nil
	}
	return roster.Decision{}, notFound()
}

// Undo takes the newest decision back.
func (s *Store) Undo(_ context.Context, who roster.Actor, id roster.DecisionID, at time.Time) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	d := s.decision(who.Club, id)
	switch {
	case d == nil:
		return notFound()
	case !d.UndoneAt.IsZero():
		return nil
	}
	a := s.Athletes[d.Athlete]
	if s.newest(d.Athlete) != d || a.Standing != d.After {
		return fault.New(fault.Conflict, "")
	}
	a.Standing, a.Version, d.UndoneAt = d.Before, a.Version+1, at
	s.Athletes[a.ID] = a
	s.Audit = append(s.Audit, who)
	return nil
}

// Decisions about the athlete, the newest first.
func (s *Store) Decisions(_ context.Context, club roster.ClubID, id roster.AthleteID) ([]roster.Decision, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Decision
	for _, d := range slices.Backward(s.Decided) {
		if d.Athlete == id && s.Athletes[id].Club == club {
			list = append(list, d)
		}
	}
	return list, err
}

// Since are the club's decisions made at the instant or later that stand, the newest
// first.
func (s *Store) Since(_ context.Context, club roster.ClubID, at time.Time) ([]roster.Decision, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Decision
	for _, d := range slices.Backward(s.Decided) {
		if d.UndoneAt.IsZero() && !d.At.Before(at) && s.Athletes[d.Athlete].Club == club {
			list = append(list, d)
		}
	}
	return list, err
}

// Notes about the athlete, the newest first.
func (s *Store) Notes(_ context.Context, club roster.ClubID, id roster.AthleteID) ([]roster.Note, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Note
	for _, n := range slices.Backward(s.Written) {
		if n.Athlete == id && s.Athletes[id].Club == club {
			list = append(list, n)
		}
	}
	return list, err
}
