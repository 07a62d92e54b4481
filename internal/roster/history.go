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
	Leave    []day.Span
	Newest   *Decision // the newest decision that stands; nil: none yet
}

// Place is the athlete's time zone, UTC where the name is not known.
func (a *Athlete) Place() *time.Location {
	place, err := time.LoadLocation(a.Zone)
	if err != nil {
		return time.UTC
	}
	return place
}

// History lays the file out as the rules read it, on the day asked about.
func (f *File) History(p *pathway.Pathway, asked day.Date) readiness.History {
	a := &f.Athlete
	sessions := make([]readiness.Session, len(f.Sessions))
	for i := range f.Sessions {
		sessions[i] = f.Sessions[i].Session
	}
	return readiness.History{
		AsOf: asked, Place: a.Place(), HeartUsable: a.HeartUsable,
		Pathway: p, Phase: a.Phase, PhaseSince: a.PhaseSince, LastPassed: a.LastPassed,
		SessionsAWeek: a.SessionsAWeek,
		ClearedOn:     a.ClearedOn, ClearedAt: a.ClearedAt, InjuredOn: a.InjuredOn,
		Leave: f.Leave, Sessions: sessions,
	}
}
