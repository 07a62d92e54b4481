package fake

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
)

var _ join.Store = (*Store)(nil)

// Consents of the athlete, the newest first.
func (s *Store) Consents(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.Consent, error) {
	done, err := s.enter()
	defer done()
	var list []roster.Consent
	for _, c := range slices.Backward(s.Agreed) {
		if c.Athlete == athlete && s.Athletes[athlete].Club == club {
			list = append(list, c)
		}
	}
	return list, err
}

// Checks of the athlete, the newest first. What is given can be changed without
// changing what is kept.
func (s *Store) Checks(_ context.Context, club roster.ClubID, athlete roster.AthleteID) ([]roster.HealthCheck, error) {
	done, err := s.enter()
	defer done()
	var list []roster.HealthCheck
	for _, c := range slices.Backward(s.Checked) {
		if c.Athlete != athlete || s.Athletes[athlete].Club != club {
			continue
		}
		c.By, c.SeenName = s.People[c.ByCoach].Name, s.People[c.SeenBy].Name
		list = append(list, copied(c))
	}
	return list, err
}

// copied shares nothing with the check.
func copied(c roster.HealthCheck) roster.HealthCheck {
	answers := map[string][]string{}
	for id, values := range c.Answers {
		answers[id] = slices.Clone(values)
	}
	c.Answers, c.Sections, c.Why = answers, slices.Clone(c.Sections), slices.Clone(c.Why)
	return c
}

// check stores a check: a new one, or in place of the one of its version. The
// caller holds the lock.
func (s *Store) check(c *roster.HealthCheck) error {
	kept := copied(*c)
	if c.ID == 0 {
		draft := func(o roster.HealthCheck) bool { return o.Athlete == c.Athlete && o.Draft() }
		if c.Draft() && slices.ContainsFunc(s.Checked, draft) {
			return fault.New(fault.Conflict, "")
		}
		kept.ID, kept.Version = roster.CheckID(s.next()), 1
		s.Checked = append(s.Checked, kept)
		return nil
	}
	at := slices.IndexFunc(s.Checked, func(o roster.HealthCheck) bool {
		return o.ID == c.ID && o.Athlete == c.Athlete && o.Version == c.Version
	})
	if at < 0 {
		return fault.New(fault.Conflict, "")
	}
	kept.Version++
	s.Checked[at] = kept
	return nil
}

// SaveDraft stores a draft.
func (s *Store) SaveDraft(_ context.Context, who roster.Actor, c roster.HealthCheck) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	if _, err := s.athlete(who.Club, c.Athlete); err != nil {
		return err
	}
	s.Audit = append(s.Audit, who)
	return s.check(&c)
}

// Move carries out a step of coming in.
func (s *Store) Move(_ context.Context, who roster.Actor, m join.Move) error {
	done, err := s.enter()
	defer done()
	if err != nil {
		return err
	}
	a, err := s.athlete(who.Club, m.Athlete.ID)
	if err != nil {
		return err
	}
	if a.Version != m.Athlete.Version {
		return fault.New(fault.Conflict, "")
	}
	s.Alarmed = append(s.Alarmed, m.Alarm)
	if !m.Check.BegunAt.IsZero() {
		if err := s.check(&m.Check); err != nil {
			return err
		}
	}
	if !m.WithdrawnAt.IsZero() {
		s.endConsents(a.ID, "", m.WithdrawnAt)
	}
	for _, c := range m.Consents {
		s.endConsents(a.ID, c.Kind, c.At)
		c.ID = roster.ConsentID(s.next())
		s.Agreed = append(s.Agreed, c)
	}
	if m.Measured.Kind != "" {
		if id, again := s.once("measurement", who.Club, m.Measured.Key); !again {
			m.Measured.ID = roster.MeasurementID(id)
			s.Measured = append(s.Measured, m.Measured)
		}
	}
	m.Athlete.Version++
	s.Athletes[a.ID] = m.Athlete
	s.Audit = append(s.Audit, who)
	return nil
}

// endConsents takes back those that stand of a kind; of all where none is given.
func (s *Store) endConsents(athlete roster.AthleteID, kind roster.ConsentKind, at time.Time) {
	for i := range s.Agreed {
		if c := &s.Agreed[i]; c.Athlete == athlete && c.Stands() && (kind == "" || c.Kind == kind) {
			c.WithdrawnAt = at
		}
	}
}
