package httpd

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// exercisesAt is the library.
const exercisesAt = "/exercises"

// exercisesPage is the library by pattern.
func (s *server) exercisesPage(w http.ResponseWriter, r *http.Request) error {
	own, library, err := s.Lift.Library(r.Context(), actorOf(r))
	if err != nil {
		return err
	}
	keeper := visitorOf(r).IsKeeper()
	all := roster.Known(own)
	v := page.Exercises{Desk: s.desk(r, "Exercises for strength", part.InPathway)}
	v.Desk.Loads = []string{part.FigureStyle, part.LiftStyle}
	if keeper {
		v.NewHref = exercisesAt + "/new"
	}
	for _, pattern := range strength.Patterns() {
		g := page.ExercisesOf{ID: pattern.String(), Name: wording.Capital(pattern.Words())}
		for _, e := range all.Of(pattern) {
			card := exerciseCard(&e, all)
			if i := slices.IndexFunc(own, func(o roster.OwnExercise) bool { return o.ID == e.ID }); i >= 0 {
				_, open := library.Find(e.ID)
				card.Own, card.Away = true, !open
				if keeper {
					card.Href = exercisesAt + "/" + idText(own[i].Number)
				}
			}
			g.Items = append(g.Items, card)
		}
		v.Groups = append(v.Groups, g)
	}
	return s.page(w, r, http.StatusOK, page.ExercisesPage(v))
}

func exerciseCard(e *strength.Exercise, all strength.Library) page.ExerciseCard {
	about := []string{levelWords(e.Level)}
	if needs := needsWords(e.Needs); needs != "" {
		about = append(about, needs)
	}
	if e.Hard {
		about = append(about, "hard on the legs")
	}
	return page.ExerciseCard{
		Name: e.Name, About: wording.Capital(strings.Join(about, ", ")), Loads: "Loads " + e.Loads.String() + ".", Figure: e.Figure,
		Cues: e.Cues, Forms: formsOf(e, all), Caution: e.Caution,
	}
}

func levelWords(level int) string {
	return [...]string{"easy", "in between", "hard"}[min(max(level-1, 0), 2)]
}

// newExercise is the empty form.
func (s *server) newExercise(w http.ResponseWriter, r *http.Request) error {
	key, err := s.newKey()
	if err != nil {
		return err
	}
	f := &form{values: url.Values{}}
	f.fill("key", string(key), "measure", "weight", "level", "1", "needs", strength.Dumbbells.String())
	return s.showExercise(w, r, http.StatusOK, 0, f)
}

// addExercise keeps another exercise.
func (s *server) addExercise(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	e := f.exercise()
	return s.exerciseDone(w, r, 0, f, s.Lift.Add(r.Context(), actorOf(r), e, f.faults, roster.Key(f.text("key"))))
}

// ownExercise is the exercise of the address.
func (s *server) ownExercise(r *http.Request) (roster.OwnExercise, error) {
	id, err := idIn[roster.ExerciseID](r, "exercise")
	if err != nil {
		return roster.OwnExercise{}, err
	}
	own, _, err := s.Lift.Library(r.Context(), actorOf(r))
	if err != nil {
		return roster.OwnExercise{}, err
	}
	for _, e := range own {
		if e.Number == id {
			return e, nil
		}
	}
	return roster.OwnExercise{}, fault.New(fault.NotFound, "")
}

// exercisePage is the form for an exercise of the club's own.
func (s *server) exercisePage(w http.ResponseWriter, r *http.Request) error {
	e, err := s.ownExercise(r)
	if err != nil {
		return err
	}
	f := &form{values: url.Values{}}
	f.fillExercise(&e)
	return s.showExercise(w, r, http.StatusOK, e.Number, f)
}

// changeExercise replaces it, or puts it away.
func (s *server) changeExercise(w http.ResponseWriter, r *http.Request) error {
	was, err := s.ownExercise(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	version, known := f.number("version")
	if !known {
		return errStale()
	}
	e := roster.OwnExercise{Number: was.Number, Exercise: f.exercise(), Version: version}
	err = s.Lift.Change(r.Context(), actorOf(r), e, f.ticked("away"), f.faults)
	if fault.KindOf(err) == fault.Conflict {
		f.values.Set("version", strconv.Itoa(was.Version))
		f.faults = []fault.Field{{Place: "", Message: fault.MessageOf(err)}}
		return s.showExercise(w, r, http.StatusConflict, was.Number, f)
	}
	return s.exerciseDone(w, r, was.Number, f, err)
}

// exerciseDone leads on, or shows the form once more with its faults.
func (s *server) exerciseDone(w http.ResponseWriter, r *http.Request, id roster.ExerciseID, f *form, err error) error {
	f.faults = nil
	if f.take(err) {
		for i := range f.faults {
			f.faults[i].Place, _, _ = strings.Cut(f.faults[i].Place, "[")
		}
		return s.showExercise(w, r, http.StatusUnprocessableEntity, id, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, exercisesAt+"?said=changed")
	return nil
}

func (s *server) showExercise(w http.ResponseWriter, r *http.Request, status int, id roster.ExerciseID, f *form) error {
	v := page.ExerciseForm{
		Desk: s.desk(r, "Exercise", part.InPathway), Title: "An exercise of your own", Action: exercisesAt, Key: f.text("key"), Version: f.text("version"),
		Name: f.text("name"), Pattern: f.text("pattern"), Measure: f.text("measure"), Level: f.text("level"), Sides: f.ticked("sides"), Hard: f.ticked("hard"),
		Needs: gearPicks(f.all("needs")), Cues: f.values.Get("cues"), Easier: f.text("easier"), Harder: f.text("harder"), Caution: f.text("caution"),
		Away: f.ticked("away"), Errors: f.errors(),
	}
	v.Desk.Loads = []string{part.LiftStyle}
	if id != 0 {
		v.Title, v.Action = "Change "+v.Name, exercisesAt+"/"+idText(id)
	}
	for _, pattern := range strength.Patterns() {
		v.Patterns = append(v.Patterns, part.Option{Value: pattern.String(), Words: wording.Capital(pattern.Words())})
	}
	for _, site := range body.Sites() {
		v.Loads = append(v.Loads, page.Picked{Value: site.String(), Words: wording.Capital(site.String()), On: slices.Contains(f.all("loads"), site.String())})
	}
	for _, d := range demandList() {
		v.Demands = append(v.Demands, page.Picked{Value: d.name, Words: wording.Capital(d.is.Words()), On: slices.Contains(f.all("demands"), d.name)})
	}
	v.Mistakes = f.mistakes(map[string]string{"name": "Name", "pattern": "What it trains", "measure": "What is counted", "cues": "How it is done", "loads": "What it loads", "level": "How hard it is"})
	return s.page(w, r, status, page.ExercisePage(v))
}

// demandList are what an exercise may ask besides, by their names in the form.
func demandList() []struct {
	name string
	is   body.Demand
} {
	return []struct {
		name string
		is   body.Demand
	}{{"on_back", body.OnBack}, {"on_front", body.OnFront}, {"strains", body.Strains}, {"hops", body.Hops}}
}

// measureNames are what is counted, by their names in the form.
func measureNames() []string { return []string{"weight", "reps", "hold"} }

// exercise reads the form.
func (f *form) exercise() strength.Exercise {
	e := strength.Exercise{
		Name: f.values.Get("name"), Needs: f.gear("needs"), Sides: f.ticked("sides"), Hard: f.ticked("hard"),
		Easier: f.values.Get("easier"), Harder: f.values.Get("harder"), Caution: f.values.Get("caution"),
	}
	var known bool
	if e.Pattern, known = strength.ParsePattern(f.text("pattern")); !known {
		f.wrong("pattern", "please choose from the list")
	}
	measure := slices.Index(measureNames(), f.text("measure"))
	if e.Measure = strength.Measure(max(measure, 0)); measure < 0 {
		f.wrong("measure", "please choose what is counted")
	}
	e.Level, _ = f.number("level")
	for _, line := range strings.Split(roster.Clean(f.values.Get("cues")), "\n") {
		if strings.TrimSpace(line) != "" {
			e.Cues = append(e.Cues, line)
		}
	}
	for _, name := range f.all("loads") {
		site, known := body.ParseSite(name)
		if e.Loads |= site; !known {
			f.wrong("loads", "please choose from the list")
		}
	}
	for _, d := range demandList() {
		if slices.Contains(f.all("demands"), d.name) {
			e.Demands |= d.is
		}
	}
	return e
}

// fillExercise lays an exercise into the form.
func (f *form) fillExercise(e *roster.OwnExercise) {
	f.fill("version", strconv.Itoa(e.Version), "name", e.Name, "pattern", e.Pattern.String(), "measure", measureNames()[min(int(e.Measure), 2)],
		"level", strconv.Itoa(e.Level), "sides", tick(e.Sides), "hard", tick(e.Hard), "cues", strings.Join(e.Cues, "\n"),
		"easier", e.Easier, "harder", e.Harder, "caution", e.Caution, "away", tick(!e.AwayAt.IsZero()))
	for _, thing := range e.Needs.Things() {
		f.fill("needs", thing.String())
	}
	for _, site := range e.Loads.Each() {
		f.fill("loads", site.String())
	}
	for _, d := range demandList() {
		if e.Demands&d.is != 0 {
			f.fill("demands", d.name)
		}
	}
}
