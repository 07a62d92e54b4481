package httpd

import (
	"net/http"
	"slices"

	"github.com/go-chi/chi/v5"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// joiner is somebody on the way in, and whose pages they are.
type joiner struct {
	subject
	*join.State
}

// joinerOf reads where the one in the address stands.
func (s *server) joinerOf(r *http.Request) (joiner, error) {
	b, err := subjectOf(r)
	if err != nil {
		return joiner{}, err
	}
	t, err := s.Join.State(r.Context(), actorOf(r), b.id)
	return joiner{b, t}, err
}

// joining is a page of joining: empty for where one stands, a section's ID, or
// consent, walk, paper.
func (b subject) joining(what string) string {
	if what != "" {
		what = "/" + what
	}
	return b.base + part.JoiningAt + what
}

// consent is the page of consent; in a fresh check it leads on to the section from
// which it was asked for.
func (j joiner) consent(section string) string {
	at := j.joining("consent")
	if section = j.afterConsent(section); section != "" {
		at += "?section=" + section
	}
	return at
}

// afterConsent is the section that comes after the consent; empty for where one
// stands, as for newcomers, and for what is no section.
func (j joiner) afterConsent(section string) string {
	if j.Fresh && slices.ContainsFunc(j.Sections, func(one join.Section) bool { return one.ID == section }) {
		return section
	}
	return ""
}

// review is the coach's page about the answers.
func (b subject) review() string { return b.base + "/review" }

// joiningPage leads to where somebody stands: each step is stored, so closing the
// browser loses nothing.
func (s *server) joiningPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	switch {
	case j.Athlete.Arrival == roster.Withdrawn || !j.Agreed && !j.Fresh:
		s.redirect(w, r, j.joining("consent"))
	case j.asked():
		s.redirect(w, r, j.joining(j.next()))
	case j.byCoach():
		s.redirect(w, r, j.review())
	case j.Fresh:
		s.redirect(w, r, j.health())
	default:
		return s.showResult(w, r, j)
	}
	return nil
}

// asked says whether there is something to answer: a newcomer who has not handed in
// yet, or whoever began anew.
func (j joiner) asked() bool { return j.Draft || j.Check == nil && !j.Fresh }

// next is the section to go on with.
func (j joiner) next() string {
	if j.Next == "" {
		return j.Sections[len(j.Sections)-1].ID
	}
	return j.Next
}

// sectionPage is a page of questions.
func (s *server) sectionPage(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	i, err := j.section(r)
	if err != nil {
		return err
	}
	if !j.Agreed {
		s.redirect(w, r, j.consent(j.Sections[i].ID))
		return nil
	}
	return s.showSection(w, r, http.StatusOK, j, i, j.answersTo(i), &form{})
}

// section finds the one in the address.
func (j joiner) section(r *http.Request) (int, error) {
	id := chi.URLParam(r, "section")
	i := slices.IndexFunc(j.Sections, func(one join.Section) bool { return one.ID == id })
	if i < 0 {
		return 0, fault.New(fault.NotFound, "")
	}
	return i, nil
}

// answersTo are the answers that a section is shown with: those of the draft, else
// those that were handed in before.
func (j joiner) answersTo(i int) screening.Answers {
	if !j.Sections[i].Done && j.Check != nil {
		return j.Check.Answers
	}
	return j.Answers
}

// answer keeps the answers to a section and goes on to the next one; after the last
// they are handed in.
func (s *server) answer(w http.ResponseWriter, r *http.Request) error {
	j, err := s.joinerOf(r)
	if err != nil {
		return err
	}
	i, err := j.section(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	answers := screening.Answers{}
	for _, q := range j.Sections[i].Questions {
		answers[q.ID] = f.all(q.ID)
	}
	err = s.Join.Answer(r.Context(), actorOf(r), j.id, j.Sections[i].ID, answers)
	if f.take(err) {
		return s.showSection(w, r, http.StatusUnprocessableEntity, j, i, answers, f)
	}
	if err != nil {
		return err
	}
	return s.onward(w, r, j, i)
}

// onward goes on after the i-th section: to the next one, to one that was left out,
// or to the end.
func (s *server) onward(w http.ResponseWriter, r *http.Request, j joiner, i int) error {
	if i+1 < len(j.Sections) {
		s.redirect(w, r, j.joining(j.Sections[i+1].ID))
		return nil
	}
	err := s.Join.HandIn(r.Context(), actorOf(r), j.id)
	f := &form{}
	if !f.take(err) {
		if err != nil {
			return err
		}
		s.redirect(w, r, j.joining(""))
		return nil
	}
	for k := range j.Sections {
		if place := j.place(k, f); place != "" {
			s.redirect(w, r, j.joining(j.Sections[k].ID)+"?look="+place)
			return nil
		}
	}
	return err
}

// place is where a fault stands in the k-th section: a question's ID, or the
// section's own; empty: nowhere in it.
func (j joiner) place(k int, f *form) string {
	one := &j.Sections[k]
	for _, fault := range f.faults {
		if fault.Place == one.ID || slices.ContainsFunc(one.Questions, func(q screening.Question) bool { return q.ID == fault.Place }) {
			return fault.Place
		}
	}
	return ""
}

// showSection shows the i-th section with the answers.
func (s *server) showSection(w http.ResponseWriter, r *http.Request, status int, j joiner, i int, a screening.Answers, f *form) error {
	one := &j.Sections[i]
	key, err := s.newKey()
	if err != nil {
		return err
	}
	v := page.Joining{
		Step: page.Step{Number: i + 2, Of: len(j.Sections) + 1}, Title: one.Title, Intro: []string{one.Intro}, Seen: one.Seen,
		Action: j.joining(one.ID), Key: string(key), Button: "Go on", Questions: questionsOf(one.Questions, a),
		Errors: f.errors(), Mistakes: f.mistaken(one.Questions),
	}
	if i+1 == len(j.Sections) {
		v.Button = "Done, to my coach"
		if j.byCoach() {
			v.Button = "Done"
		}
	}
	back := j.joining("consent")
	if j.Fresh {
		v.Step, back = page.Step{Number: i + 1, Of: len(j.Sections)}, j.health()
	}
	if i > 0 {
		back = j.joining(j.Sections[i-1].ID)
	}
	if place := r.URL.Query().Get("look"); len(f.faults) == 0 && place != "" {
		v.Mistakes = []part.Mistake{{Words: "These questions are still to be answered, or looked at once more."}}
	}
	v.Phone = s.joiningPhone(r, j, one.Title, back)
	v.Phone.Loads = append(v.Phone.Loads, part.JoinScript)
	return s.page(w, r, status, page.JoiningPage(v))
}

// joiningPhone is the frame of a page of joining.
func (s *server) joiningPhone(r *http.Request, j joiner, title, back string) part.Phone {
	frame := s.phone(r, title, "", back)
	frame.Loads = []string{part.JoinStyle}
	if j.byCoach() {
		frame.For = j.Athlete.Name
	}
	return frame
}
