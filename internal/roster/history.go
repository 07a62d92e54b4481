package roster

import (
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// File is everything the rules read of one athlete, as the store gives it.
type File struct {
	Athlete  Athlete
	Sessions []Session
	Leave    []Leave
	Newest   *Decision  // the newest decision that stands, without its Verdict and its Clearance; nil: none yet
	Cleared  *Clearance // the newest that stands; nil: none, or many athletes were read together
}

// PhaseOn is the phase of the date, as far as it is known: before the present one began,
// that of the decision which ended it, else that of the newest session to the date.
func (f *File) PhaseOn(on day.Date) string {
	a, n := &f.Athlete, f.Newest
	if on >= a.PhaseSince {
		return a.Phase
	}
	if n != nil && n.Before.Phase != "" && n.After.PhaseSince == a.PhaseSince && on >= n.Before.PhaseSince {
		return n.Before.Phase
	}
	phase, newest := a.Phase, time.Time{}
	for i := range f.Sessions {
		s := &f.Sessions[i]
		if s.Phase != "" && s.Date <= on && !s.StartedAt.Before(newest) {
			phase, newest = s.Phase, s.StartedAt
		}
	}
	return phase
}

// toldLate says whether the athlete told of the session only after the newest clearance,
// so that whoever gave it knew nothing of it. What a coach enters, a coach has read.
func (a *Athlete) toldLate(s *Session) bool {
	return !a.ClearedAt.IsZero() && s.ByCoach == 0 && s.LoggedAt.After(a.ClearedAt)
}

// PlaceOf is the time zone of the name, UTC where it is not known.
func PlaceOf(zone string) *time.Location {
	place, err := time.LoadLocation(zone)
	if err != nil {
		return time.UTC
	}
	return place
}

// Place is the athlete's time zone.
func (a *Athlete) Place() *time.Location { return PlaceOf(a.Zone) }

// Place is the club's time zone.
func (c *Club) Place() *time.Location { return PlaceOf(c.Zone) }

// History lays the file out as the rules read it, on the day asked about.
func (f *File) History(p *pathway.Pathway, asked day.Date) readiness.History {
	return f.HistoryIn(p, asked, f.Athlete.Place(), nil)
}

// HistoryIn is History for callers that read many athletes: with the place looked
// up already, and the sessions laid into a slice whose room is used again.
func (f *File) HistoryIn(p *pathway.Pathway, asked day.Date, place *time.Location, sessions []readiness.Session) readiness.History {
	a := &f.Athlete
	sessions = sessions[:0]
	if cap(sessions) < len(f.Sessions) {
		sessions = make([]readiness.Session, 0, len(f.Sessions))
	}
	for i := range f.Sessions {
		s := &f.Sessions[i]
		sessions = append(sessions, s.Session)
		sessions[i].Late = a.toldLate(s)
	}
	return readiness.History{
		AsOf: asked, Place: place, HeartUsable: a.HeartUsable,
		Pathway: p, Phase: a.Phase, PhaseSince: a.PhaseSince, LastPassed: a.LastPassed,
		SessionsAWeek: a.SessionsAWeek,
		ClearedOn:     a.ClearedOn, ClearedAt: a.ClearedAt, InjuredOn: a.InjuredOn,
		Leave: f.spans(), Sessions: sessions,
	}
}
