package morning

import (
	"context"
	"slices"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
)

// Portrait is one athlete in full.
type Portrait struct {
	Row
	Evidence  []readiness.Condition
	Forecast  readiness.Forecast
	Sessions  []roster.Session // all, the newest first
	Weeks     []Week           // the oldest first, W0 last
	Settles   []Settling       // the oldest first
	Pains     []Site           // by name
	Phases    []Stay           // the oldest first, the present one last
	Decisions []roster.Decision
	Leaves    []roster.Leave
	Notes     []roster.Note
	Cleared   *roster.Clearance // the newest that stands; nil: none. Deputies see its limits alone
}

// Settling is how soon the breath came back in one session.
type Settling struct {
	Date   day.Date
	Median int // seconds
	Walk   int // seconds: its first walk after a run, as it was planned
}

// Site is one place that hurt, with every session that spoke of it.
type Site struct {
	Name   string
	Scores []Score // the oldest first
}

// Score is how much it hurt on a date, 0 to 10.
type Score struct {
	Date        day.Date
	During      int
	NextMorning readiness.Maybe
}

// Athlete is everything a coach's page shows of an athlete, who may have left.
func (s *Service) Athlete(ctx context.Context, club roster.ClubID, athlete roster.AthleteID) (*Portrait, error) {
	now := s.Now()
	file, err := s.Store.File(ctx, club, athlete, roster.Latest(now))
	if err != nil {
		return nil, err
	}
	p := &Portrait{}
	if err := s.gather(ctx, club, athlete, p); err != nil {
		return nil, err
	}
	shelves, err := s.Store.Shelves(ctx, club)
	if err != nil {
		return nil, err
	}
	place := file.Athlete.Place()
	p.look(&file, shelves[file.Athlete.Pathway], day.Of(now, place), place, nil)
	if p.Rung == pathway.NoRung {
		return nil, fault.New(fault.NotFound, "The pathway of this athlete cannot be found.")
	}
	p.tell(place)
	return p, nil
}

// gather reads what the rules do not need.
func (s *Service) gather(ctx context.Context, club roster.ClubID, athlete roster.AthleteID, p *Portrait) (err error) {
	if p.Sessions, err = s.Store.Sessions(ctx, club, athlete); err != nil {
		return err
	}
	if p.Decisions, err = s.Store.Decisions(ctx, club, athlete); err != nil {
		return err
	}
	if p.Leaves, err = s.Store.Leaves(ctx, club, athlete); err != nil {
		return err
	}
	p.Notes, err = s.Store.Notes(ctx, club, athlete)
	return err
}

// tell fills in what is made of everything since the start.
func (p *Portrait) tell(place *time.Location) {
	p.Away, p.Coming = away(&p.Row), coming(&p.Row)
	p.Next = next(&p.Row)
	p.Cleared = p.file.Cleared
	p.Sentence = p.Verdict.Sentence()
	p.Evidence = p.Verdict.Evidence()
	all := *p.file
	all.Sessions = p.Sessions
	h := all.HistoryIn(&p.Shelf.Pathway, p.Asked, place, nil)
	p.Forecast = readiness.Arrival(&h, &p.Verdict)
	p.Phases = p.stays()
	whole := readiness.Assess(&h)
	p.Weeks = p.weeks(&whole)
	p.settles()
	p.pains()
}

// settles lists the sessions with taps.
func (p *Portrait) settles() {
	for _, s := range slices.Backward(p.Sessions) {
		if median, ok := Median(s.Blocks); ok && s.Date <= p.Asked {
			p.Settles = append(p.Settles, Settling{s.Date, median, walkOf(s.Blocks)})
		}
	}
}

// walkOf is the first walk after a run, as it was planned, in seconds.
func walkOf(blocks []readiness.Block) int {
	for i := 1; i < len(blocks); i++ {
		if blocks[i].Kind == pathway.Walk && blocks[i-1].Kind == pathway.Run {
			return int(blocks[i].Planned)
		}
	}
	return 0
}

// pains lists the scores by site; sites are compared without regard to case
// (rule 6.1) and named as they were first written.
func (p *Portrait) pains() {
	for _, s := range slices.Backward(p.Sessions) {
		for _, pain := range s.Pain {
			i := slices.IndexFunc(p.Pains, func(site Site) bool {
				return readiness.SameSite(site.Name, pain.Site)
			})
			if i < 0 {
				i = len(p.Pains)
				p.Pains = append(p.Pains, Site{Name: strings.TrimSpace(pain.Site)})
			}
			p.Pains[i].Scores = append(p.Pains[i].Scores, Score{s.Date, int(pain.Score), pain.NextMorning})
		}
	}
	slices.SortFunc(p.Pains, func(a, b Site) int { return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
}
