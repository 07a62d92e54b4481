package fake

import (
	"cmp"
	"context"
	"slices"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

var _ heart.Store = (*Store)(nil)

// dated is the recording with its session's date.
func (s *Store) dated(r roster.Recording) roster.Recording {
	at := slices.IndexFunc(s.Logged, func(one roster.Session) bool { return one.ID == r.Session })
	r.On = s.Logged[at].Date
	return r
}

// recording is the place of the session's recording, or -1.
func (s *Store) recording(session roster.SessionID) int {
	return slices.IndexFunc(s.Recorded, func(r roster.Recording) bool { return r.Session == session })
}

// Recording of a session, with its body.
func (s *Store) Recording(_ context.Context, club roster.ClubID, athlete roster.AthleteID, session roster.SessionID) (roster.Recording, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return roster.Recording{}, err
	}
	if _, err := s.find(club, athlete, session); err != nil {
		return roster.Recording{}, err
	}
	at := s.recording(session)
	if at < 0 {
		return roster.Recording{}, notFound()
	}
	return s.dated(s.Recorded[at]), nil
}

// Recordings of the athlete, the newest session first, without bodies.
func (s *Store) Recordings(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Recording, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Recording
	for _, r := range s.Recorded {
		if r.Athlete == athlete && s.Athletes[athlete].Club == club {
			r.Body = nil
			list = append(list, s.dated(r))
		}
	}
	slices.SortStableFunc(list, func(a, b roster.Recording) int { return cmp.Compare(b.On, a.On) })
	return list, err
}

// show writes the figures of the session's blocks, if its version is the one given.
func (s *Store) show(who roster.Actor, one roster.Session) error {
	at, err := s.find(who.Club, one.Athlete, one.ID)
	if err != nil || s.Logged[at].Version != one.Version {
		return fault.New(fault.Conflict, "")
	}
	blocks := slices.Clone(s.Logged[at].Blocks)
	for i := range blocks {
		blocks[i].Heart = readiness.Heart{}
		if i < len(one.Blocks) {
			blocks[i].Heart = one.Blocks[i].Heart
		}
	}
	s.Logged[at].Blocks = blocks
	s.Logged[at].Version++
	return nil
}

// Attach stores a recording with what it shows.
func (s *Store) Attach(_ context.Context, who roster.Actor, r roster.Recording, one roster.Session) (roster.RecordingID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	r.Athlete, r.Session = one.Athlete, one.ID
	taken := func(o roster.Recording) bool {
		return o.Athlete == r.Athlete && o.Session != r.Session && o.Digest == r.Digest
	}
	if slices.ContainsFunc(s.Recorded, taken) {
		return 0, fault.New(fault.Conflict, "")
	}
	at := s.recording(one.ID)
	if r.ID != 0 && (at < 0 || s.Recorded[at].ID != r.ID) {
		return 0, notFound()
	}
	if err := s.show(who, one); err != nil {
		return 0, err
	}
	if r.ID == 0 {
		r.ID = roster.RecordingID(s.next())
	}
	if at >= 0 {
		s.Recorded = slices.Delete(s.Recorded, at, at+1)
	}
	s.Recorded = append(s.Recorded, r)
	s.Audit = append(s.Audit, who)
	return r.ID, nil
}

// Detach removes the recording of a session.
func (s *Store) Detach(_ context.Context, who roster.Actor, athlete roster.AthleteID, one roster.Session) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	at := s.recording(one.ID)
	if at < 0 {
		return notFound()
	}
	one.Athlete, one.Blocks = athlete, nil
	if err := s.show(who, one); err != nil {
		return err
	}
	s.Recorded = slices.Delete(s.Recorded, at, at+1)
	s.Audit = append(s.Audit, who)
	return nil
}

// Measurements of the athlete, the oldest date first.
func (s *Store) Measurements(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Measurement, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Measurement
	for _, m := range s.Measured {
		if m.Athlete == athlete && s.Athletes[athlete].Club == club {
			list = append(list, m)
		}
	}
	slices.SortStableFunc(list, func(a, b roster.Measurement) int {
		return cmp.Or(cmp.Compare(a.On, b.On), a.At.Compare(b.At), cmp.Compare(a.ID, b.ID))
	})
	return list, err
}

// Measure stores one once.
func (s *Store) Measure(_ context.Context, who roster.Actor, m roster.Measurement) (roster.MeasurementID, error) {
	done, err := s.enter()
	defer done()
	if err != nil {
		return 0, err
	}
	if _, err := s.athlete(who.Club, m.Athlete); err != nil {
		return 0, err
	}
	id, again := s.once("measurement", who.Club, m.Key)
	if !again {
		m.ID, m.By = roster.MeasurementID(id), s.People[m.ByCoach].Name
		s.Measured = append(s.Measured, m)
		s.Audit = append(s.Audit, who)
	}
	return roster.MeasurementID(id), nil
}

// Unmeasure takes one back.
func (s *Store) Unmeasure(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.MeasurementID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(who.Club, athlete); err != nil {
		return err
	}
	at := slices.IndexFunc(s.Measured, func(m roster.Measurement) bool { return m.ID == id && m.Athlete == athlete })
	if at < 0 {
		return notFound()
	}
	s.Measured = slices.Delete(s.Measured, at, at+1)
	s.Audit = append(s.Audit, who)
	return nil
}

// PassOver marks a peak as one not to be offered.
func (s *Store) PassOver(_ context.Context, who roster.Actor, athlete roster.AthleteID, id roster.RecordingID) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(who.Club, athlete); err != nil {
		return err
	}
	at := slices.IndexFunc(s.Recorded, func(r roster.Recording) bool { return r.ID == id && r.Athlete == athlete })
	if at < 0 {
		return notFound()
	}
	s.Recorded[at].PassedBy = true
	s.Audit = append(s.Audit, who)
	return nil
}

// SetFormula picks a formula.
func (s *Store) SetFormula(_ context.Context, who roster.Actor, athlete roster.AthleteID, name string) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, athlete)
	if err != nil {
		return err
	}
	f, known := intensity.ParseFormula(name)
	if !known {
		return fault.New(fault.Invalid, "")
	}
	a.Formula = f
	a.Version++
	s.Athletes[athlete] = a
	s.Audit = append(s.Audit, who)
	return nil
}
