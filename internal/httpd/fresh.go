package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// After a long gap or an injury the health questions are asked again (rule 9.4): the
// same pages as in the beginning, the health sections only. The coach looks at the
// answers, and records a clearance or refers.

// health is the page about a fresh health check.
func (b subject) health() string { return b.base + "/health" }

// healthPage says why the questions are asked again, leads to them, and shows what
// the answers come to. A newcomer is led to the way in.
func (s *server) healthPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	if !j.Fresh {
		s.redirect(w, r, j.joining(""))
		return nil
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), j.id)
	if err != nil {
		return err
	}
	back := t.Verdict.WayBack()
	if !j.Draft && freshSince(j.Check, back.Since) {
		return s.showFresh(w, r, j)
	}
	d, first := datesFor(r), &j.Sections[0]
	v := page.HealthAgain{
		Title: "Your health, asked again", Words: []string{whyAgain(&back, &t, d)}, Seen: first.Seen,
		Begin: part.Link{Href: j.joining(j.next()), Words: "To the questions"},
	}
	if j.Draft && j.Next != first.ID {
		v.Begin.Words = "Go on with the questions"
	}
	if j.Check != nil && j.Check.Source != roster.FromPaper {
		v.Words = append(v.Words, "You answered them "+d.When(j.Check.HandedOn, j.Today)+". What you said then is filled in; please change what is different now.")
	}
	v.Phone = s.joiningPhone(r, j, v.Title, j.home())
	return s.page(w, r, http.StatusOK, page.HealthAgainPage(v))
}

// freshSince says whether the questions were answered on the day or later; without a
// day, whether a fresh check was ever handed in.
func freshSince(c *roster.HealthCheck, since day.Date) bool {
	switch {
	case c == nil:
		return false
	case since == 0:
		return c.Fresh
	case c.Source == roster.FromPaper:
		return c.AskedOn >= since
	}
	return c.HandedOn >= since
}

// whyAgain says why the questions are asked again.
func whyAgain(w *readiness.WayBack, t *entry.Today, d wording.Dates) string {
	const same = " So the questions about health from the beginning come once more; they take three minutes, and your coach looks at the answers before you go on."
	switch {
	case w.Injured:
		return "You were injured " + d.When(w.Since, t.Date) + "." + same
	case w.Check:
		return "You have not run for " + wording.Number(w.Days) + " days." + same
	}
	return "Nothing asks for it now, but if something about your health is different, tell it here: your coach looks at the answers."
}

// showFresh shows what the fresh answers come to.
func (s *server) showFresh(w http.ResponseWriter, r *http.Request, j joiner) error {
	d := datesFor(r)
	v := page.JoiningResult{
		Title: "Nothing speaks against going on", Words: []string{"You answered " + d.When(j.Check.HandedOn, j.Today) + ". Your answers are with your coach."},
		Heart: heartReasons(j.Result.Heart), Cautions: j.Result.Cautions,
		Waiting: []string{"Your coach looks at the answers and says how it goes on. That can take a day or two; Today shows it."},
		Answers: []part.Link{{Href: j.joining(j.Sections[0].ID), Words: "Look through my answers, or change them"}, {Href: j.joining("consent"), Words: "What I agreed to"}},
	}
	if j.Athlete.CheckSince == 0 {
		v.Waiting = []string{"Your coach has looked at your answers."}
	}
	if j.Open {
		s.adviseAgainst(&v, j)
		v.Waiting = []string{"Tell your coach what the doctor said, and give the page back if it was filled in. Your coach notes it and says how it goes on."}
	}
	v.Phone = s.joiningPhone(r, j, v.Title, j.home())
	return s.page(w, r, http.StatusOK, page.JoiningResultPage(v))
}

// look says that a coach has looked at fresh answers. Where a clearance is waited
// for, the form for it is next.
func (s *server) look(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	id := a.ID
	f, err := formOf(r)
	if err != nil {
		return err
	}
	check, err := strconv.ParseInt(f.text("check"), 10, 64)
	if err != nil {
		return errStale()
	}
	if err := s.Join.Look(r.Context(), actorOf(r), id, roster.CheckID(check), !f.ticked("heart_off")); err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), id)
	if err != nil {
		return err
	}
	if clearanceDue(&t) {
		s.redirect(w, r, athletePath(id)+"?said=looked&choice="+string(roster.Cleared))
		return nil
	}
	s.redirect(w, r, athletePath(id)+"?said=looked")
	return nil
}

// clearanceDue says whether a fresh health check is asked for that no clearance has
// answered.
func clearanceDue(t *entry.Today) bool {
	w := t.Verdict.WayBack()
	return w.Check && t.Athlete.ClearedOn < w.Since || w.Injured
}

// lookForm is the form with which a coach says so.
func lookForm(t *join.Review, j joiner) *page.Look {
	if !t.Fresh || t.Check == nil || t.Athlete.CheckSince == 0 {
		return nil
	}
	return &page.Look{
		Action: j.review() + "/look", Check: strconv.FormatInt(int64(t.Check.ID), 10),
		HeartOff: !t.Result.Heart.Usable || !t.Athlete.HeartUsable, Name: firstName(t.Athlete.Name),
		Refer: part.Link{Href: j.base + "?choice=" + string(roster.Refer) + "#decision", Words: "Refer to a doctor"},
	}
}

// askAgain asks on Today for a fresh health check, or says how far it is.
func (s *server) askAgain(r *http.Request, v *page.Today, t *entry.Today, b subject) error {
	referred := t.Way == entry.Referred && t.Athlete.Arrival == roster.Here
	asking := t.Way <= entry.OnLeave || t.Way == entry.CheckFirst || t.Way == entry.FromTomorrow
	w := t.Verdict.WayBack()
	if v.Before != nil || !referred && !(asking && clearanceDue(t)) {
		return nil
	}
	state, err := s.Join.State(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	c := state.Check
	switch {
	case referred && c != nil && c.Advised && c.HandedOn >= t.Athlete.HeldSince:
		v.Before = &page.Before{
			Words: []string{"What you answered about your health says that a doctor should be asked first."},
			Next:  part.Link{Href: b.health(), Words: "Why, and whom to ask"},
		}
	case referred:
	case freshSince(c, w.Since) && t.Athlete.CheckSince != 0:
		v.Before = &page.Before{Words: []string{"You have answered the health questions. Your coach looks at them."}, Next: part.Link{Href: b.health(), Words: "What my answers come to"}}
	case !freshSince(c, w.Since):
		d := datesFor(r)
		v.Before = &page.Before{Words: []string{whyAgain(&w, t, d)}, Next: part.Link{Href: b.health(), Words: "To the health questions"}}
	}
	return nil
}

// answeredRows say on the roster who answered anew: a coach may look at the answers,
// a deputy reads that a coach does.
func answeredRows(v *page.Roster, m *morning.Morning, keeper bool) {
	for i, row := range m.Decide {
		if row.Athlete.CheckSince == 0 {
			continue
		}
		shown := &v.Decide[i]
		look := part.Act{Words: "Look at the answers", Href: athletePath(row.Athlete.ID) + "/review"}
		alone := row.Why == morning.WhyAnswered
		switch {
		case alone && keeper:
			shown.First, shown.Second = look, part.Act{}
		case alone:
			shown.First, shown.Second, shown.Why = part.Act{}, part.Act{}, wording.Reason(row, false)
		case keeper:
			look.Words = "Read the answers"
			shown.Second = look
		}
	}
}

// freshLines put on the athlete's page that answers wait, and the way to ask again.
func freshLines(h *page.Health, j joiner) {
	if !j.Fresh {
		return
	}
	if j.Athlete.CheckSince != 0 {
		h.Lines = append([]string{"The health questions were answered anew: please look."}, h.Lines...)
	}
	h.Links = append(h.Links, part.Link{Href: j.health(), Words: "Ask the health questions again"})
}

// freshTitle heads the coach's page of fresh answers; empty of others.
func freshTitle(j joiner) (lead, sub string) {
	if !j.Fresh || j.Check == nil || j.Athlete.CheckSince == 0 {
		return "", ""
	}
	if j.Result.Advice != screening.NotNeeded {
		return "Answered anew: a doctor should be asked.", "Look at what matters. A clearance, or that you refer, is recorded on the athlete's page."
	}
	return "Answered anew: nothing speaks against going on.", "Look at what matters, then say that you have looked."
}
