package httpd

import (
	"net/http"
	"slices"

	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/web/page"
)

// consentPage is what there is to agree to, and where it is taken back.
func (s *server) consentPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	return s.showConsent(w, r, http.StatusOK, j, nil)
}

// agree keeps the consents and goes on to the questions.
func (s *server) agree(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	g := join.Agreement{Guardian: f.text("guardian_name")}
	for _, text := range join.Texts(j.Minors) {
		if f.ticked(string(text.Kind)) {
			g.Kinds = append(g.Kinds, text.Kind)
		}
	}
	err = s.Join.Agree(r.Context(), actorOf(r), j.id, g)
	if f.take(err) {
		return s.showConsent(w, r, http.StatusUnprocessableEntity, j, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, j.joining(j.afterConsent(r.URL.Query().Get("section"))))
	return nil
}

// withdraw takes the consents back.
func (s *server) withdraw(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	if err := s.Join.Withdraw(r.Context(), actorOf(r), b.id); err != nil {
		return err
	}
	s.redirect(w, r, b.home()+"?said=withdrawn")
	return nil
}

// showConsent shows it; f is what came back with faults, or nil.
func (s *server) showConsent(w http.ResponseWriter, r *http.Request, status int, j joiner, f *form) error {
	v := page.Joining{
		Step: page.Step{Number: 1, Of: len(j.Sections) + 1}, Title: "Before you begin, " + firstName(j.Athlete.Name),
		Intro:  []string{clubOf(r).Name + " takes people from walking to thirty minutes of running. Before anything is asked, this is what it means to take part."},
		Action: j.consent(r.URL.Query().Get("section")), Button: "I agree, go on",
	}
	if j.Fresh {
		v.Step, v.Title = page.Step{}, "Before the questions, "+firstName(j.Athlete.Name)
		v.Intro = []string{"When you came in, this was not asked here. It is asked once, and you may read it again at any time."}
	}
	if j.Agreed {
		v.Step = page.Step{}
		v.Title, v.Intro, v.Button = "What you agreed to", []string{s.agreedWords(r, j)}, "Go on"
		v.Withdraw = page.Confirm{
			Action: j.joining("withdraw"), Button: "I take my consent back",
			Words: "Nothing is prescribed to you from then on, and your coach sees that you took it back. What is kept stays until you ask for it to be erased. You can agree again whenever you like.",
		}
	}
	for _, text := range join.Texts(j.Minors) {
		v.Consent = append(v.Consent, page.Consent{
			Name: string(text.Kind), Title: text.Title, Points: text.Points, Tick: text.Tick,
			On: f == nil && j.stands(text.Kind) || f != nil && f.ticked(string(text.Kind)),
		})
	}
	if j.Minors {
		name := page.Question{Name: "guardian_name", Kind: "line", Label: "Name of the parent or guardian", Hint: "Only under 18.", Optional: true, Value: j.guardian()}
		if f != nil {
			name.Value = f.text("guardian_name")
		}
		v.Questions = []page.Question{name}
	}
	if f != nil {
		v.Errors, v.Mistakes = f.errors(), f.mistakes(nil)
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	v.Key, v.Phone = string(key), s.joiningPhone(r, j, "Before you begin", j.home())
	return s.page(w, r, status, page.JoiningPage(v))
}

// stands says whether a consent of the kind was given and not taken back.
func (j joiner) stands(kind roster.ConsentKind) bool {
	return slices.ContainsFunc(j.Consents, func(c roster.Consent) bool { return c.Kind == kind })
}

// guardian is the guardian who agreed; empty: none did.
func (j joiner) guardian() string {
	for _, c := range j.Consents {
		if c.Kind == roster.Guardian {
			return c.Guardian
		}
	}
	return ""
}

// agreedWords say when it was agreed to.
func (s *server) agreedWords(r *http.Request, j joiner) string {
	newest := j.Consents[0]
	for _, c := range j.Consents {
		if c.On > newest.On {
			newest = c
		}
	}
	words := "You agreed " + datesFor(r).When(newest.On, j.Today) + "."
	if newest.ByCoach != 0 {
		words = "You agreed " + datesFor(r).When(newest.On, j.Today) + ", with a coach beside you."
	}
	return words + " Here it is to be read again."
}
