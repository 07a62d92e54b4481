package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// pathwayPage shows the phases, and who stands where.
func (s *server) pathwayPage(w http.ResponseWriter, r *http.Request) error {
	ladders, err := s.Morning.Pathway(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	v := page.Pathway{Desk: s.desk(r, "Pathway", part.InPathway), Exercises: exercisesAt}
	if visitorOf(r).IsKeeper() {
		v.Routine = part.Link{Href: routineAt, Words: "Before and after a session"}
	}
	for i := range ladders {
		v.Name = ladders[0].Shelf.Name
		v.Ladders = append(v.Ladders, ladderOf(&ladders[i], len(ladders) > 1))
	}
	return s.page(w, r, http.StatusOK, page.PathwayPage(v))
}

func ladderOf(l *morning.Ladder, several bool) page.Ladder {
	var v page.Ladder
	if several {
		v.Title = "Version " + strconv.Itoa(l.Shelf.Version) + ", " + wording.Count(l.Here, "athlete", "athletes")
	}
	for i := range l.Steps {
		step := &l.Steps[i]
		if step.Number == 1 {
			v.Stages = append(v.Stages, page.Stage{Name: wording.Capital(step.Phase.Stage)})
		}
		stage := &v.Stages[len(v.Stages)-1]
		stage.Phases = append(stage.Phases, rungOf(step, i > 0))
	}
	return v
}

func rungOf(step *morning.Step, above bool) page.Phase {
	v := page.Phase{
		ID: step.Phase.ID, Plan: pathway.Words(step.Phase.Blocks), Strip: planStrip(step.Phase.Blocks, part.Medium), Run: minutesWords(step.Ran),
	}
	switch {
	case !above, step.Ran == 0 && step.Rise == 0:
	case step.Rise > 0:
		v.Rise = pathway.Time(step.Rise) + " more"
	case step.Rise < 0:
		v.Rise = pathway.Time(-step.Rise) + " less"
	default:
		v.Rise = "as much"
	}
	if len(step.Half) > 0 {
		v.Half = pathway.Words(step.Half)
	}
	switch {
	case step.Here > 0 && step.OnHalf > 0:
		v.Here = strconv.Itoa(step.Here) + " here, " + strconv.Itoa(step.OnHalf) + " on the half step"
	case step.Here > 0:
		v.Here = strconv.Itoa(step.Here) + " here"
	case step.OnHalf > 0:
		v.Here = strconv.Itoa(step.OnHalf) + " on the half step"
	}
	return v
}
