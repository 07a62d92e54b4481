package morning

import (
	"context"
	"slices"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
)

// Ladder is one version of a pathway with who stands where.
type Ladder struct {
	Shelf *roster.Shelf
	Steps []Step
	Here  int // athletes on this version
}

// Step is one phase of it.
type Step struct {
	Phase  *pathway.Phase
	Number int             // of its stage, from 1
	Of     int             // phases of its stage
	Ran    int             // seconds of running
	Rise   int             // seconds of running more than in the phase below; 0 on the first
	Half   []pathway.Block // the half step before it; empty: none
	Here   int             // athletes on the phase
	OnHalf int             // athletes on the half step
}

// Pathway shows the pathway versions that somebody stands on, and the newest; the
// newest first, with the athletes whom the coach sees.
func (s *Service) Pathway(ctx context.Context, who roster.Actor) ([]Ladder, error) {
	shelves, err := s.Store.Shelves(ctx, who.Club)
	if err != nil {
		return nil, err
	}
	files, err := s.Store.Files(ctx, who.Club, roster.Latest(s.Now()))
	if err != nil {
		return nil, err
	}
	files = seen(files, who)
	ladders := make([]Ladder, 0, len(shelves))
	for _, shelf := range shelves {
		ladders = append(ladders, ladder(shelf, files))
	}
	slices.SortFunc(ladders, func(a, b Ladder) int { return int(b.Shelf.ID - a.Shelf.ID) })
	return ladders, nil
}

func ladder(shelf *roster.Shelf, files []roster.File) Ladder {
	l := Ladder{Shelf: shelf, Steps: make([]Step, len(shelf.Phases))}
	for i := range shelf.Phases {
		step := Step{Phase: &shelf.Phases[i], Half: shelf.HalfStep(i)}
		step.Number, step.Of = shelf.InStage(pathway.RungOf(i))
		step.Ran = pathway.SecondsOf(pathway.Run, step.Phase.Blocks)
		if i > 0 {
			step.Rise = step.Ran - l.Steps[i-1].Ran
		}
		l.Steps[i] = step
	}
	for i := range files {
		a := &files[i].Athlete
		rung := shelf.Find(a.Phase)
		if a.Pathway != shelf.ID || rung == pathway.NoRung {
			continue
		}
		l.Here++
		if rung.Half() {
			l.Steps[rung.Phase()].OnHalf++
		} else {
			l.Steps[rung.Phase()].Here++
		}
	}
	return l
}
