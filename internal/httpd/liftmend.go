package httpd

import (
	"net/http"
	"net/url"
	"strconv"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// setsPage is the form for the sets of a session that is there. Its minutes, effort and
// pain are corrected with the session.
func (s *server) setsPage(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	lifted, known, err := s.Lift.Session(r.Context(), actorOf(r), b.id, stored.ID)
	if err != nil {
		return err
	}
	f := &form{values: url.Values{}}
	f.storedLifts(&lifted, known, stored.Version)
	return s.showSets(w, r, http.StatusOK, b, &stored, f)
}

// correctSets takes in what was done, as it is told now.
func (s *server) correctSets(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	if _, _, err := s.Lift.Session(r.Context(), actorOf(r), b.id, stored.ID); err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	if f.text("step") != "" {
		_, t, err := s.lifts(r)
		if err != nil {
			return err
		}
		f.steps(&t)
		return s.showSets(w, r, http.StatusOK, b, &stored, f)
	}
	version, known := f.number("version")
	if !known {
		return errStale()
	}
	told := toldOf(f)
	err = s.Lift.Correct(r.Context(), actorOf(r), b.id, stored.ID, version, told, f.faults)
	if fault.KindOf(err) == fault.Conflict {
		f.values.Set("version", strconv.Itoa(stored.Version))
		return s.showSets(w, r, http.StatusConflict, b, &stored, f, part.Notice{Warn: true, Text: fault.MessageOf(err)})
	}
	f.faults = nil
	if f.take(err) {
		return s.showSets(w, r, http.StatusUnprocessableEntity, b, &stored, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.home()+"?said=corrected")
	return nil
}

func (s *server) showSets(w http.ResponseWriter, r *http.Request, status int, b subject, stored *roster.Session, f *form, notice ...part.Notice) error {
	t, err := s.Lift.Today(r.Context(), actorOf(r), b.id, false)
	if err != nil {
		return err
	}
	t.Lines = nil // what is next has no place here
	d := datesFor(r)
	v := page.Lifting{
		Title: "The sets of " + sessionOf(d.Near(stored.Date, t.Date)), Action: b.session(stored.ID, "/sets"),
		Version: f.text("version"), Turn: f.text("turn"), Lines: f.liftLines(&t, d), Errors: f.errors(),
		Others: []part.Link{{Href: b.session(stored.ID, ""), Words: "Its minutes, effort and pain"}},
	}
	v.Mistakes = f.mistakes(liftLabels(v.Lines))
	v.Phone = s.phoneFor(r, b, &t.Athlete, v.Title, "")
	v.Phone.Loads = []string{part.FigureStyle, part.LiftStyle, part.LiftScript}
	for _, n := range notice {
		v.Phone.Notice = n
	}
	return s.page(w, r, status, page.LiftingPage(v))
}

// setsOf is where the sets of a session are corrected; empty where none were told.
func (s *server) setsOf(r *http.Request, b subject, stored *roster.Session) (string, error) {
	if stored.Kind != readiness.Strength {
		return "", nil
	}
	_, _, err := s.Lift.Session(r.Context(), actorOf(r), b.id, stored.ID)
	switch {
	case fault.KindOf(err) == fault.NotFound:
		return "", nil
	case err != nil:
		return "", err
	}
	return b.session(stored.ID, "/sets"), nil
}

// gearPage says what there is to lift with.
func (s *server) gearPage(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	f := &form{values: url.Values{}}
	f.fillKit(&t.Kit)
	return s.showGear(w, r, http.StatusOK, b, &t, f)
}

// setGear takes it in.
func (s *server) setGear(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	kit := f.kit()
	err = s.Lift.Equip(r.Context(), actorOf(r), b.id, kit, f.faults)
	f.faults = nil
	if f.take(err) {
		return s.showGear(w, r, http.StatusUnprocessableEntity, b, &t, f)
	}
	if err != nil {
		return err
	}
	to := strengthAt
	if b.byCoach() {
		to = b.base + strengthAt
	}
	s.redirect(w, r, to+"?said=changed")
	return nil
}

func (s *server) showGear(w http.ResponseWriter, r *http.Request, status int, b subject, t *lift.Today, f *form) error {
	v := page.KitForm{
		Action: b.base + strengthAt + "/gear", Has: gearPicks(f.all("has")), Weights: f.values.Get("weights"),
		Least: f.text("least"), Most: f.text("most"), Step: f.text("step"), Errors: f.errors(),
	}
	v.Mistakes = f.mistakes(map[string]string{"rack.list": "Dumbbells", "rack.least": "Lightest", "rack.most": "Heaviest", "rack.step": "Steps"})
	for i := range v.Mistakes {
		v.Mistakes[i].Field = kitField(v.Mistakes[i].Field)
	}
	v.Phone = s.phoneFor(r, b, &t.Athlete, "To lift with", "")
	v.Phone.Back = b.base + strengthAt
	return s.page(w, r, status, page.KitPage(v))
}
