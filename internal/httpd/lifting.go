package httpd

import (
	"net/http"
	"net/url"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// strengthAt is where an athlete's strength session stands; a coach enters one beside
// the athlete's programme.
const strengthAt = "/strength"

// lifting is the session's address.
func (b subject) lifting() string {
	if b.byCoach() {
		return b.base + strengthAt + "/log"
	}
	return strengthAt
}

// liftPage is today's strength session.
func (s *server) liftPage(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	f := &form{values: url.Values{}}
	f.fill("kind", readiness.Strength.String(), "key", string(key), "date", t.Date.String())
	f.liftsOf(&t)
	return s.showLift(w, r, http.StatusOK, b, &t, f, part.Notice{})
}

// lifts are whose strength session the page is about, and what is next.
func (s *server) lifts(r *http.Request) (subject, lift.Today, error) {
	b, err := subjectOf(r)
	if err != nil {
		return b, lift.Today{}, err
	}
	tomorrow, err := s.runTomorrow(r, b)
	if err != nil {
		return b, lift.Today{}, err
	}
	t, err := s.Lift.Today(r.Context(), actorOf(r), b.id, tomorrow)
	return b, t, err
}

// logLift takes in a strength session; a tap on a step brings the form back.
func (s *server) logLift(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	if f.steps(&t) {
		return s.showLift(w, r, http.StatusOK, b, &t, f, part.Notice{})
	}
	if f.text("as") == "planned" {
		f.asPlanned()
	}
	f.values.Set("kind", readiness.Strength.String())
	told := toldOf(f)
	told.Minutes, told.Planned = f.maybe("minutes"), max(f.maybe("planned").Or(0), 0)
	unread := f.faults
	f.faults = nil
	a := answersOf(f)
	kept, err := s.Lift.Told(r.Context(), actorOf(r), b.id, told)
	if err != nil {
		return err
	}
	a.e.Turn, a.e.Lifts = kept.Turn, kept.Lifts
	a.e.PlannedMinutes = readiness.Some(told.Planned)
	if !a.e.Minutes.Known() {
		a.e.Minutes = kept.Minutes
	}
	a.e.Unread = onePerPlace(append(a.e.Unread, append(unread, kept.Faults...)...))
	result, err := s.Entry.Log(r.Context(), actorOf(r), b.id, a.e)
	if err != nil {
		return s.liftAgain(w, r, b, &t, a, result.There, err)
	}
	said := "logged"
	if result.Again {
		said = "logged-before"
	}
	return s.after(w, r, b, result, said)
}

// onePerPlace keeps the first fault of each place.
func onePerPlace(faults []fault.Field) []fault.Field {
	seen, kept := map[string]bool{}, faults[:0]
	for _, f := range faults {
		if !seen[f.Place] {
			kept = append(kept, f)
		}
		seen[f.Place] = true
	}
	return kept
}

// liftAgain shows the form once more with what was typed: with its faults, or with the
// session that is there already; any other error is given back.
func (s *server) liftAgain(w http.ResponseWriter, r *http.Request, b subject, t *lift.Today, a *answers, there roster.Session, cause error) error {
	switch kind := fault.KindOf(cause); {
	case kind == fault.Invalid:
		a.refused(cause)
		if len(a.faults) == 0 {
			return cause
		}
		return s.showLift(w, r, http.StatusUnprocessableEntity, b, t, a.form, part.Notice{})
	case kind == fault.Conflict && there.ID != 0:
		d := datesFor(r)
		a.wrong("clock", "a session of this minute is there already")
		notice := part.Notice{Warn: true, Text: fault.MessageOf(cause), More: []string{"There: " + d.Near(there.Date, t.Date) + " at " + d.Clock(there.StartedAt, t.Athlete.Place()) + "."}}
		return s.showLift(w, r, http.StatusConflict, b, t, a.form, notice)
	}
	return cause
}

// showLift shows the session with what stands in the form.
func (s *server) showLift(w http.ResponseWriter, r *http.Request, status int, b subject, t *lift.Today, f *form, notice part.Notice) error {
	d := datesFor(r)
	v := page.Lifting{Title: "Strength", Action: b.lifting(), Key: f.text("key"), Turn: f.text("turn"), Planned: f.text("planned"), Errors: f.errors()}
	v.Stop, v.Warn = liftStop(t), t.Need.Words()
	switch {
	case !t.Has():
		v.Purpose = "No programme yet. Your coach gives you one. " + purposeWords
		if b.byCoach() {
			v.Purpose = "No programme yet. " + purposeWords
		}
	case v.Stop == nil:
		v.Lines = f.liftLines(t, d)
		v.After = afterForm(f, nil, t.Date)
		v.Title += ", session " + t.Turn
		v.About = countWords(len(t.Lines), "exercise") + ", about " + minutesShort(t.Minutes)
		v.Caution, v.Notes = cautionWords, liftNotes(t, d)
		v.Purpose = purposeWords
		healthOf(&v, t, actorOf(r).Deputy)
	}
	v.Mistakes = f.mistakes(liftLabels(v.Lines))
	v.Others = liftWays(b, t)
	v.Phone = s.phoneFor(r, b, &t.Athlete, v.Title, "")
	v.Phone.Back = b.home()
	if b.byCoach() {
		v.Phone.Back = b.base + strengthAt
	}
	v.Phone.Loads = []string{part.FigureStyle, part.LiftStyle, part.LiftScript}
	if notice.Text != "" {
		v.Phone.Notice = notice
	}
	return s.page(w, r, status, page.LiftingPage(v))
}

// healthOf says what is left out and what to be careful with; a deputy is not told why
// where the reason is one of health.
func healthOf(v *page.Lifting, t *lift.Today, deputy bool) {
	for _, w := range t.Swaps {
		words := w.Words
		if deputy {
			words = w.Guarded
		}
		v.Swaps = append(v.Swaps, words)
	}
	if deputy {
		v.Warn = ""
		return
	}
	v.Cautions = t.Cautions
	if t.Way == lift.WithCare {
		v.Notes = append(v.Notes, "Running is paused, or an injury is noted. Do only what does not hurt at all, and ask your coach which of these are right for now. This is no medical advice.")
	}
}

// liftWays are the other things to do from here.
func liftWays(b subject, t *lift.Today) []part.Link {
	links := []part.Link{{Href: b.base + strengthAt + "/gear", Words: "What there is to lift with"}}
	if t.Has() {
		links = append(links, part.Link{Href: b.log(readiness.Strength.String()), Words: "It was another strength session"})
	}
	return append(links, part.Link{Href: b.list(), Words: "My sessions"})
}

// liftStop is why no strength session is prescribed; nil where one is.
func liftStop(t *lift.Today) *page.Stop {
	no := "Halfhour is a training diary and gives no medical advice."
	switch t.Way {
	case lift.GetWell:
		return &page.Stop{Kind: "paused", Title: "Get well first", Words: []string{"No strength training while you are ill, nor on the first day after.", no}}
	case lift.Referred:
		return &page.Stop{Kind: "referred", Title: "No strength for now", Words: []string{"Nothing is prescribed until a doctor and your coach have looked at it.", no}}
	case lift.NotHereYet:
		return &page.Stop{Kind: "before", Title: "Before the first session", Words: []string{"The questions about health and your coach’s word come first.", no}}
	}
	return nil
}

// runTomorrow says whether the week has a run tomorrow, so that what is hard on the legs
// is left out today.
func (s *server) runTomorrow(r *http.Request, b subject) (bool, error) {
	weeks, err := s.Days.Course(r.Context(), actorOf(r), b.id, 0, 2)
	if err != nil {
		return false, err
	}
	for i := range weeks {
		for _, one := range weeks[i].Sessions() {
			if one.Kind == weekplan.Run && one.State == days.Planned && one.On == weeks[0].Today+1 {
				return true, nil
			}
		}
	}
	return false, nil
}

// liftCard says on Today and on an athlete's page what strength session is next; empty
// where there is no programme.
func (s *server) liftCard(r *http.Request, b subject, today day.Date) (page.LiftCard, error) {
	g, err := s.Lift.Glance(r.Context(), actorOf(r), b.id)
	if err != nil {
		return page.LiftCard{}, err
	}
	card := page.LiftCard{Href: b.base + strengthAt, Link: "To the session"}
	if b.byCoach() {
		card.Link = "Programme and exercises"
	}
	if g.Turn == "" {
		card.Words = "No programme yet."
		return card, nil
	}
	card.Has = true
	card.Words = "Next is session " + g.Turn + ", " + countWords(g.Count, "exercise") + "."
	if g.Last != 0 {
		card.Words += " The last one was " + datesFor(r).When(g.Last, today) + "."
	}
	return card, nil
}
