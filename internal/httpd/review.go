package httpd

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/join"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/screening"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// reviewPage is what somebody answered, for the coach who says where to begin.
func (s *server) reviewPage(w http.ResponseWriter, r *http.Request) error {
	return s.showReview(w, r, http.StatusOK, &form{})
}

// confirm takes a newcomer in where the coach says.
func (s *server) confirm(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	c := join.Confirmation{Phase: f.text("phase"), HeartUsable: !f.ticked("heart_off")}
	c.SessionsAWeek, _ = f.number("sessions_a_week")
	c.Version, _ = f.number("version")
	f.faults = nil
	err = s.Join.Confirm(r.Context(), actorOf(r), id, c)
	if f.take(err) {
		return s.showReview(w, r, http.StatusUnprocessableEntity, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, athletePath(id)+"?said=begun")
	return nil
}

// showReview shows it; the form is what came back with faults, or empty.
func (s *server) showReview(w http.ResponseWriter, r *http.Request, status int, f *form) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	t, err := s.Join.Review(r.Context(), actorOf(r), id)
	if err != nil {
		return err
	}
	d, first := datesFor(r), firstName(t.Athlete.Name)
	j := joiner{subject{id: id, base: athletePath(id)}, &t.State}
	v := page.Review{
		Desk: s.desk(r, t.Athlete.Name, part.InRoster), Name: t.Athlete.Name, Href: athletePath(id), About: aboutAnswers(j, d),
		Heart: heartReasons(t.Result.Heart), Injuries: injuryLines(j), Bone: t.Result.Bone, Cautions: t.Result.Cautions,
		Facts: factsOf(j), Walk: walkWords(j, d), Sections: answeredOf(j), Consents: consentLines(t.Consents, d, j),
		Fill: part.Link{Href: j.joining(""), Words: "Answer together with " + first}, Errors: f.errors(), Mistakes: f.mistakes(reviewLabels()),
	}
	if t.Check != nil && len(t.Sections) > 0 {
		v.Fill = part.Link{Href: j.joining(t.Sections[0].ID), Words: "Go through the answers together"}
	}
	v.Desk.Loads = []string{part.JoinStyle}
	v.Lead, v.Sub = reviewLead(j)
	if err := s.reviewForms(&v, t, j, f); err != nil {
		return err
	}
	return s.page(w, r, status, page.ReviewPage(v))
}

// injuryLines are what is known of injuries, with what was written about them.
func injuryLines(j joiner) []string {
	lines := slices.Clone(j.Result.Injuries)
	if j.Check != nil {
		for _, own := range j.Check.Answers[screening.InjuryText] {
			lines = append(lines, "In "+firstName(j.Athlete.Name)+"’s words: "+own)
		}
	}
	return lines
}

// reviewLabels name the fields as the page does.
func reviewLabels() map[string]string {
	return map[string]string{
		"phase": "Phase to begin with", "sessions_a_week": "Sessions a week",
		"given_on": "Given on", "given_by": "By whom", "limits": "Limits",
	}
}

// reviewLead say what the answers come to, and what is to be done now.
func reviewLead(j joiner) (lead, sub string) {
	first := firstName(j.Athlete.Name)
	if lead, sub = freshTitle(j); lead != "" {
		return lead, sub
	}
	switch {
	case j.Athlete.Arrival == roster.Withdrawn:
		return first + " has taken the consent back.", "Nothing is prescribed. " + first + " can agree again on the phone; whatever else is kept stays until it is erased."
	case j.Check == nil:
		return first + " has not answered yet.", "The questions wait behind the link, on the phone. You can also answer them together, on this screen."
	case j.Open:
		return "A doctor is to be asked first.", "Nothing is prescribed to " + first + " anywhere until you have recorded a clearance."
	case j.Athlete.Arrival == roster.Answered:
		return "Nothing speaks against beginning.", "Look at what matters, then say where " + first + " begins."
	}
	return "What " + first + " answered.", ""
}

// aboutAnswers say when and how somebody answered.
func aboutAnswers(j joiner, d wording.Dates) string {
	words := ""
	if j.Result.Age > 0 {
		words = strconv.Itoa(j.Result.Age) + ", "
	}
	c := j.Check
	if c == nil {
		return "invited " + d.When(j.Athlete.ArrivalSince, j.Today)
	}
	return words + answeredWords(c, d, j)
}

// answeredWords are "answered yesterday, on the phone".
func answeredWords(c *roster.HealthCheck, d wording.Dates, j joiner) string {
	switch c.Source {
	case roster.FromPaper:
		return "asked on paper " + d.When(c.AskedOn, j.Today) + " by " + c.AskedBy
	case roster.FromCoach:
		return "answered " + d.When(c.HandedOn, j.Today) + ", together with " + c.By
	}
	return "answered " + d.When(c.HandedOn, j.Today) + ", on the phone"
}

// factsOf are the answers that are figures.
func factsOf(j joiner) []page.Figure {
	var facts []page.Figure
	add := func(name, value, caution string) {
		if value != "" {
			facts = append(facts, page.Figure{Name: name, Value: value, Caution: caution})
		}
	}
	if j.Result.Age > 0 {
		add("Age", strconv.Itoa(j.Result.Age), "by the year of birth")
	}
	if j.Result.BMI > 0 {
		add("Body mass index", fmt.Sprintf("%.0f", j.Result.BMI), j.said(screening.Height)+", "+j.said(screening.Weight))
	}
	add("Resting heart rate", j.said(screening.Resting), "as told")
	add("Can train", j.said(screening.Times), "")
	return facts
}

// said is the answer to a question in words, of the answers handed in.
func (j joiner) said(question string) string {
	if j.Check == nil {
		return ""
	}
	for i := range j.Sections {
		for k := range j.Sections[i].Questions {
			if q := &j.Sections[i].Questions[k]; q.ID == question {
				return strings.Join(q.Said(j.Check.Answers), ", ")
			}
		}
	}
	return ""
}

// walkWords say how the first walk went.
func walkWords(j joiner, d wording.Dates) string {
	if j.Walk == nil {
		return ""
	}
	words := "A first walk of ten minutes " + d.When(j.Walk.Date, j.Today)
	if told := talkWords(j.Walk.Talk); told != "" {
		words += ": " + told
	}
	if effort, told := j.Walk.Effort.Get(); told {
		words += ", effort " + strconv.Itoa(effort) + " of 10"
	}
	return words + "."
}

// answeredOf are all answers, section by section. The bones stay private.
func answeredOf(j joiner) []page.Answered {
	if j.Check == nil || j.Check.Source == roster.FromPaper {
		return nil
	}
	var sections []page.Answered
	for i := range j.Sections {
		one := &j.Sections[i]
		v := page.Answered{Title: one.Title, Private: one.ID == screening.Bones}
		for k := range one.Questions {
			q := &one.Questions[k]
			if !q.OnlyIf.Holds(j.Check.Answers) {
				continue
			}
			words := strings.Join(q.Said(j.Check.Answers), "; ")
			if words == "" {
				words = "left empty"
			}
			v.Rows = append(v.Rows, page.Answer{Asked: q.Label, Words: words})
		}
		sections = append(sections, v)
	}
	return sections
}

// consentLines say what was agreed to, a line for each day and way.
func consentLines(consents []roster.Consent, d wording.Dates, j joiner) []string {
	var lines []string
	said := map[string]string{}
	for _, text := range join.Texts(true) {
		for _, c := range consents {
			if c.Kind != text.Kind {
				continue
			}
			when := "Agreed " + d.When(c.On, j.Today)
			if c.ByCoach != 0 {
				when += ", with a coach beside"
			}
			if said[when] == "" {
				lines = append(lines, when)
			} else {
				said[when] += ", "
			}
			said[when] += consentName(c)
		}
	}
	for i, when := range lines {
		lines[i] = when + ": " + said[when] + "."
	}
	return lines
}

// consentName says what was agreed to inside a sentence.
func consentName(c roster.Consent) string {
	switch c.Kind {
	case roster.ToKeeping:
		return "what is kept"
	case roster.ToHealth:
		return "answers about health"
	case roster.IsAdult:
		return "being 18 or older"
	}
	return "on behalf of somebody under 18 by " + c.Guardian
}

// reviewForms put in what the coach can do now: record a clearance, or say where to
// begin.
func (s *server) reviewForms(v *page.Review, t *join.Review, j joiner, f *form) error {
	key := f.text("key")
	if !soundKey(key) {
		fresh, err := s.newKey()
		if err != nil {
			return err
		}
		key = string(fresh)
	}
	v.Look = lookForm(t, j)
	if t.Open && t.Check != nil {
		v.Advice = &page.Advice{Title: "Clearance advised", Words: []string{firstName(t.Athlete.Name) + " reads why on the phone, and has a page to show to the doctor."}, Why: j.why()}
		if t.Result.Advice == screening.StopAndClearance {
			v.Advice.Title = "Stop, and clearance advised"
		}
		v.Clearance = &page.Clearance{
			Action: j.base + "/clearance", Key: key, Version: strconv.Itoa(t.Athlete.Version), Most: t.Today.String(),
			On: f.text("given_on"), By: f.text("given_by"), Limits: f.text("limits"), Paper: j.joining("paper"),
		}
		return nil
	}
	if t.Athlete.Arrival == roster.Answered {
		v.Begin = beginForm(t, j, f, key)
	}
	return nil
}

// beginForm is where to begin, as proposed or as typed.
func beginForm(t *join.Review, j joiner, f *form, key string) *page.Begin {
	rung := t.Shelf.Find(t.Phase)
	b := page.Begin{
		Action: j.review(), Key: key, Version: strconv.Itoa(t.Athlete.Version), Name: firstName(t.Athlete.Name), Proposed: t.Phase,
		Title: wording.Phase(&t.Shelf.Pathway, rung), Plan: pathway.Words(t.Shelf.Blocks(rung)), Strip: planStrip(t.Shelf.Blocks(rung), part.Medium),
		Reasons: t.Reasons, Phases: phaseOptions(&t.Shelf.Pathway), Phase: f.text("phase"),
		AWeek: strconv.Itoa(t.SessionsAWeek), HeartOff: !t.HeartUsable, Button: firstName(t.Athlete.Name) + " begins here",
	}
	if f.values.Has("phase") {
		b.AWeek, b.HeartOff = f.text("sessions_a_week"), f.ticked("heart_off")
	}
	return &b
}
