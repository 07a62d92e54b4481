// Package outdoors is the weather as somebody typed it, and what it means for one
// person's session. Nothing is asked of any service outside.
package outdoors

import (
	"context"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weather"
)

// Service keeps the weather. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// How long weather says something (ours): it is shown as that of now for FreshFor
// before and after its hour, and says of a session that it was hot for HotFor. What is
// older than KeptDays is removed when new weather is told.
const (
	FreshFor = 6 * time.Hour
	HotFor   = 3 * time.Hour
	KeptDays = 14
)

// Typed is the weather as it was typed. Faults stand at temperature, humidity and hour.
type Typed struct {
	Temperature, Humidity string
	Shade                 bool
	Hour                  readiness.Maybe // minutes after midnight of today where it is typed; not given: now
	Place                 *time.Location  // where it is typed

	Unread []fault.Field // what could not even be read; refused together with the rest
}

// Outlook is weather with what it means.
type Outlook struct {
	roster.Weather
	Advice weather.Advice
	Fresh  bool // its hour is not far from now
}

// Tell stores the weather: an athlete's own, or, with athlete 0, a coach's for the club.
func (s *Service) Tell(ctx context.Context, who roster.Actor, athlete roster.AthleteID, t Typed, key roster.Key) (roster.WeatherID, error) {
	if athlete != who.Athlete || athlete == 0 && who.Coach == 0 {
		return 0, fault.New(fault.NotFound, "")
	}
	now := s.Now()
	air, err := weather.Read(t.Temperature, t.Humidity, t.Shade)
	faults := append(t.Unread, fault.FieldsOf(err)...)
	if err := fault.At(faults...); err != nil {
		return 0, err
	}
	w := roster.Weather{Athlete: athlete, Air: air, At: t.at(now), ToldAt: now, ByCoach: who.Coach}
	return s.Store.TellWeather(ctx, who, w, key)
}

// at is the hour that the weather is of.
func (t *Typed) at(now time.Time) time.Time {
	minutes, given := t.Hour.Get()
	if !given {
		return now
	}
	y, m, d := now.In(t.Place).Date()
	return time.Date(y, m, d, 0, minutes, 0, 0, t.Place)
}

// Club is the newest weather of the club's day, judged for a beginner; nil: nobody told
// any today.
func (s *Service) Club(ctx context.Context, who roster.Actor, place *time.Location) (*Outlook, error) {
	now := s.Now()
	w, err := s.newest(ctx, who.Club, 0, now, place)
	if w == nil || err != nil {
		return nil, err
	}
	return outlook(w, weather.Person{}, now)
}

// Look is the newest weather of the athlete's day with what it means for the athlete:
// the own before the club's, that of now before what is hours old. Nil: nobody told any
// today. Only the athlete may ask: the advice rests on answers about health.
func (s *Service) Look(ctx context.Context, who roster.Actor, a *roster.Athlete) (*Outlook, error) {
	if who.Athlete == 0 || who.Athlete != a.ID {
		return nil, fault.New(fault.NotFound, "")
	}
	now := s.Now()
	w, err := s.newest(ctx, who.Club, a.ID, now, a.Place())
	if w == nil || err != nil {
		return nil, err
	}
	p, err := s.person(ctx, who.Club, a.ID, now)
	if err != nil {
		return nil, err
	}
	return outlook(w, p, now)
}

func outlook(w *roster.Weather, p weather.Person, now time.Time) (*Outlook, error) {
	ad, err := weather.Assess(w.Air, p)
	return &Outlook{Weather: *w, Advice: ad, Fresh: near(w, now, FreshFor)}, err
}

// near says whether the hour of the weather is no further from the instant.
func near(w *roster.Weather, at time.Time, far time.Duration) bool { return w.At.Sub(at).Abs() <= far }

// newest is what of the day is shown.
func (s *Service) newest(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, now time.Time, place *time.Location) (*roster.Weather, error) {
	y, m, d := now.In(place).Date()
	from := time.Date(y, m, d, 0, 0, 0, 0, place)
	all, err := s.Store.Weather(ctx, club, athlete, from, time.Date(y, m, d+1, 0, 0, 0, 0, place))
	if err != nil || len(all) == 0 {
		return nil, err
	}
	var best *roster.Weather
	for i := range all {
		w := &all[i]
		if near(w, now, FreshFor) && (best == nil || w.Own() && !best.Own()) {
			best = w
		}
	}
	if best == nil {
		best = &all[0]
	}
	return best, nil
}

// Hot is the weather that says of the hour that pulse tells nothing about effort; nil
// where there is none, or it says nothing of the sort. The own counts before the
// club's, and what is nearest to the hour.
func (s *Service) Hot(ctx context.Context, who roster.Actor, athlete roster.AthleteID, at time.Time) (*roster.Weather, error) {
	if !who.For(athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	all, err := s.Store.Weather(ctx, who.Club, athlete, at.Add(-HotFor), at.Add(HotFor+time.Nanosecond))
	if err != nil {
		return nil, err
	}
	var best *roster.Weather
	for i := range all {
		w := &all[i]
		switch {
		case best == nil, w.Own() && !best.Own(), w.Own() == best.Own() && w.At.Sub(at).Abs() < best.At.Sub(at).Abs():
			best = w
		}
	}
	if best == nil {
		return nil, nil
	}
	ad, err := weather.Assess(best.Air, weather.Person{})
	if err != nil || !ad.Hot {
		return nil, err
	}
	return best, nil
}

// What makes somebody experienced and used to heat (ours, each on the careful side).
const (
	monthsOfRunning = 84  // days since joining
	longRun         = 300 // seconds of a run in the present phase
	hotSessions     = 5   // sessions in the heat
	hotDays         = 14  // within so many days (7–14 days: from memory)
	unwellDays      = 14  // after an illness
)

// person is what makes heat harder for the athlete. Whoever gave no answers here
// counts as at risk.
func (s *Service) person(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, now time.Time) (weather.Person, error) {
	file, err := s.Store.File(ctx, club, athlete, roster.Latest(now))
	if err != nil {
		return weather.Person{}, err
	}
	checks, err := s.Store.Checks(ctx, club, athlete)
	if err != nil {
		return weather.Person{}, err
	}
	shelf, err := s.Store.Shelf(ctx, club, file.Athlete.Pathway)
	if err != nil {
		return weather.Person{}, err
	}
	today := file.Athlete.Today(now)
	return weather.Person{Experienced: experienced(&file.Athlete, shelf, today), UsedToHeat: usedToHeat(file.Sessions, today), AtRisk: atRisk(checks, file.Leave, today)}, nil
}
