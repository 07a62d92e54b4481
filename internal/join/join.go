// Package join is how somebody comes in before the first step: consent, health
// questions, where to begin, and the coach's word. What answers lead to is worked
// out when it is read; nothing is prescribed before a coach has confirmed.
package join

import (
	"context"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
)

// Service takes people in. Now is the clock.
type Service struct {
	Store Store
	Now   func() time.Time
}

// Section is a page of questions, and whether it was answered.
type Section struct {
	screening.Section
	Done bool
}

// State is where somebody stands on the way in, or, for somebody who is here, with
// a fresh health check.
type State struct {
	Athlete  roster.Athlete
	Today    day.Date // the athlete's own date
	Shelf    *roster.Shelf
	Minors   bool             // the club takes people under 18 with a guardian's consent
	Fresh    bool             // only the health sections are asked: the athlete is here
	Consents []roster.Consent // those that stand
	Agreed   bool             // everything that has to be agreed to is, in its present words
	Sections []Section
	Next     string                // ID of the first section that was not answered; empty: all were
	Draft    bool                  // there are answers that are not handed in
	Answers  screening.Answers     // of the draft, else of Check; nil: none yet
	Check    *roster.HealthCheck   // the newest that was handed in; nil: none
	Earlier  []*roster.HealthCheck // those handed in before it, the newest first
	Result   screening.Result      // of Check; zero without one, and of paper
	Walk     *roster.Session       // the newest walk since the answers came in, while the coach's turn lasts; nil: none
	Open     bool                  // a clearance is asked for and not given yet
	newcomer bool                  // no planned session yet
	draft    *roster.HealthCheck
}

// State tells where the athlete stands; for the athlete and the coaches of the club,
// deputies aside.
func (s *Service) State(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (*State, error) {
	switch {
	case !who.For(athlete):
		return nil, fault.New(fault.NotFound, "")
	case who.Deputy:
		return nil, notForDeputies()
	}
	now := s.Now()
	file, err := s.Store.File(ctx, who.Club, athlete, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	if !who.Sees(&file.Athlete) {
		return nil, fault.New(fault.NotFound, "")
	}
	club, err := s.Store.Club(ctx, who.Club)
	if err != nil {
		return nil, err
	}
	t := &State{Athlete: file.Athlete, Today: file.Athlete.Today(now), Minors: club.Minors, Fresh: file.Athlete.Arrival == roster.Here}
	consents, err := s.Store.Consents(ctx, who.Club, athlete)
	if err != nil {
		return nil, err
	}
	t.consents(consents)
	checks, err := s.Store.Checks(ctx, who.Club, athlete)
	if err != nil {
		return nil, err
	}
	t.checks(checks)
	t.sections()
	return t, s.place(ctx, t, &file)
}

// place finds the pathway, and what the sessions say.
func (s *Service) place(ctx context.Context, t *State, file *roster.File) (err error) {
	t.newcomer = true
	for i := range file.Sessions {
		one := &file.Sessions[i]
		t.newcomer = t.newcomer && one.Kind != readiness.Planned
		first := t.Athlete.Arrival == roster.Answered && one.Kind == readiness.Extra && one.Date >= t.Athlete.ArrivalSince
		if first && (t.Walk == nil || one.StartedAt.After(t.Walk.StartedAt)) {
			t.Walk = one
		}
	}
	if t.newcomer && !t.Fresh {
		t.Shelf, err = s.Store.NewestShelf(ctx, t.Athlete.Club)
	} else {
		t.Shelf, err = s.Store.Shelf(ctx, t.Athlete.Club, t.Athlete.Pathway)
	}
	if err != nil {
		return err
	}
	h := file.History(&t.Shelf.Pathway, t.Today)
	h.Phase = t.standsOn()
	verdict := readiness.Assess(&h)
	t.Open = t.Athlete.Held == roster.Referred || verdict.Action == readiness.Refer
	return nil
}

// consents keeps those that stand.
func (t *State) consents(all []roster.Consent) {
	for _, c := range all {
		if c.Stands() {
			t.Consents = append(t.Consents, c)
		}
	}
	t.Agreed = t.agreed(roster.ToKeeping) && t.agreed(roster.ToHealth) && (t.agreed(roster.IsAdult) || t.Minors && t.agreed(roster.Guardian))
}

// agreed says whether a consent of the kind stands, to the present words.
func (t *State) agreed(kind roster.ConsentKind) bool {
	c := t.consent(kind)
	return c != nil && c.Text >= TextVersion
}

// consent is the one of the kind that stands; nil: none does.
func (t *State) consent(kind roster.ConsentKind) *roster.Consent {
	for i := range t.Consents {
		if t.Consents[i].Kind == kind {
			return &t.Consents[i]
		}
	}
	return nil
}

// checks sorts out the draft and what was handed in, the newest first.
func (t *State) checks(all []roster.HealthCheck) {
	for i := range all {
		c := &all[i]
		switch {
		case c.Draft():
			t.Draft, t.draft, t.Answers = true, c, c.Answers
		case t.Check == nil:
			t.Check = c
		default:
			t.Earlier = append(t.Earlier, c)
		}
	}
	if t.Check == nil || t.Check.Source == roster.FromPaper {
		return
	}
	if !t.Draft {
		t.Answers = t.Check.Answers
	}
	t.Result = screening.Assess(t.Check.Answers, t.Check.HandedOn)
}

// sections lays out what is asked, and what of it was answered.
func (t *State) sections() {
	for _, one := range screening.Sections(t.circumstances()) {
		done := t.goesOn() && slices.Contains(t.draft.Sections, one.ID)
		if !done && t.Next == "" {
			t.Next = one.ID
		}
		t.Sections = append(t.Sections, Section{Section: one, Done: done})
	}
}

// goesOn says whether there is a draft of the present questions. What was answered to
// another version is asked anew, and so is a newcomer's once they are here.
func (t *State) goesOn() bool {
	return t.draft != nil && t.draft.Form == screening.Form && t.draft.Fresh == t.Fresh
}

func (t *State) circumstances() screening.Circumstances {
	return screening.Circumstances{Fresh: t.Fresh, Minors: t.Minors}
}

// standsOn is a phase of the pathway that is surely on it, for what is asked of the
// engine here.
func (t *State) standsOn() string {
	if t.newcomer && !t.Fresh {
		return t.Shelf.Phases[0].ID
	}
	return t.Athlete.Phase
}
