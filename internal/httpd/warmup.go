package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/body"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/routine"
	"halfhour.app/halfhour/internal/warmup"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// The checklists of an athlete, and whether there is a roller.
const (
	warmUpAt   = "/warm-up"
	coolDownAt = "/cool-down"
	rollerAt   = part.MeAt + "/roller"
)

// warmUpPage is what is done before a session, step by step.
func (s *server) warmUpPage(w http.ResponseWriter, r *http.Request) error {
	f, err := s.Routine.For(r.Context(), actorOf(r), visitorOf(r).Athlete.ID)
	if err != nil {
		return err
	}
	v := s.checklist(r, "Before you go", &f, f.Before)
	v.Purpose = warmup.Purpose
	v.Next = []part.Link{{Href: part.GoAt, Words: "To the session"}, {Href: coolDownAt, Words: "Afterwards: the cool-down"}}
	madeFor(&v, &f)
	return s.page(w, r, http.StatusOK, page.ChecklistPage(v))
}

// coolDownPage is what is done after it.
func (s *server) coolDownPage(w http.ResponseWriter, r *http.Request) error {
	f, err := s.Routine.For(r.Context(), actorOf(r), visitorOf(r).Athlete.ID)
	if err != nil {
		return err
	}
	v := s.checklist(r, "Afterwards", &f, f.After)
	v.Purpose = warmup.AfterPurpose
	v.Next = []part.Link{{Href: part.TodayAt, Words: "To Today"}}
	return s.page(w, r, http.StatusOK, page.ChecklistPage(v))
}

// checklist lays out the steps by their kinds.
func (s *server) checklist(r *http.Request, title string, f *routine.Fitted, steps []warmup.Step) page.Checklist {
	v := page.Checklist{
		Phone: s.phone(r, title, "", part.TodayAt), Title: title, Caution: warmup.Caution,
		Total: wording.Capital(aboutMinutes(f.Seconds(steps))) + ", in this order.",
	}
	v.Phone.Loads = []string{part.FigureStyle, part.WarmStyle}
	for _, step := range steps {
		m, _ := f.Library.Find(step.Move)
		if kind := m.Kind.Words(); len(v.Groups) == 0 || v.Groups[len(v.Groups)-1].Kind != kind {
			v.Groups = append(v.Groups, page.Checks{Kind: kind})
		}
		g := &v.Groups[len(v.Groups)-1]
		g.Steps = append(g.Steps, page.Check{ID: m.ID, Name: m.Name, Much: step.Words(f.Library), How: m.How, Figure: m.Figure})
	}
	return v
}

// madeFor says what was left out for the athlete, and what only a person can see to.
func madeFor(v *page.Checklist, f *routine.Fitted) {
	for i := range f.Out {
		o := &f.Out[i]
		if o.Cause == warmup.NoRoller {
			v.Roller = part.Link{Href: part.MeAt + "#roller", Words: "There is more with a roller: say that you have one"}
			continue
		}
		m, _ := f.Library.Find(o.Move)
		words := strings.TrimSpace(m.Name+" "+o.Words()) + "."
		if other, found := f.Library.Find(o.Instead); found {
			words += " Instead: " + other.Name + "."
		}
		v.Out = append(v.Out, wording.Capital(words))
	}
	for _, p := range f.Unknown {
		v.Notes = append(v.Notes, "You told of pain: “"+p.Words+"”. No movement could be matched to it, so leave out whatever moves it.")
	}
	if !f.Asked {
		v.Notes = append(v.Notes, "Pregnant, or lately given birth? Leave out the roller and whatever hops, and ask your midwife or doctor what else.")
	}
}

// aboutMinutes writes a time in whole minutes: "about 9 minutes".
func aboutMinutes(seconds int) string {
	if seconds < 90 {
		return "about a minute"
	}
	return "about " + strconv.Itoa((seconds+30)/60) + " minutes"
}

// setRoller notes whether the athlete has a roller.
func (s *server) setRoller(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	if err := s.Routine.SetRoller(r.Context(), actorOf(r), f.ticked("roller")); err != nil {
		return err
	}
	s.redirect(w, r, part.MeAt+"?said=changed")
	return nil
}

// warmUpFor puts the warm-up onto Today.
func (s *server) warmUpFor(r *http.Request, v *page.Today, t *entry.Today) error {
	if !pathway.HasRun(t.Plan) {
		return nil
	}
	f, err := s.Routine.For(r.Context(), actorOf(r), t.Athlete.ID)
	if err != nil {
		return err
	}
	v.WarmUp = "Before you go, " + aboutMinutes(f.Seconds(f.Before))
	names := make([]string, len(f.Before))
	for i, step := range f.Before {
		m, _ := f.Library.Find(step.Move)
		if names[i] = m.Name; i > 0 {
			names[i] = lowered(names[i])
		}
	}
	v.WarmHow = strings.Join(names, ", ") + "."
	v.WarmAt = []part.Link{{Href: warmUpAt, Words: "Step by step, with drawings"}, {Href: coolDownAt, Words: "Afterwards, " + aboutMinutes(f.Seconds(f.After))}}
	return nil
}

// weekStep is one step before or after the session, for the phone.
type weekStep struct {
	Words   string `json:"words"` // "Leg swings to front and back, 10 times each side"
	How     string `json:"how"`
	Seconds int    `json:"seconds"`
}

func weekSteps(f *routine.Fitted, steps []warmup.Step) []weekStep {
	all := make([]weekStep, len(steps))
	for i, step := range steps {
		m, _ := f.Library.Find(step.Move)
		all[i] = weekStep{Words: m.Name + ", " + step.Words(f.Library), How: m.How, Seconds: step.Seconds(f.Library)}
	}
	return all
}

// demandWords are what a movement may ask beside the places it loads, in words after
// "it also".
var demandWords = map[body.Demand]string{
	body.OnBack: "lies on the back", body.OnFront: "lies on the belly, or hangs in the front of the trunk",
	body.Strains: "strains the abdominal wall", body.Hops: "hops: both feet leave the ground",
}

// demandKeys are the demands as the form names them, in its order.
var demandKeys = []struct {
	key string
	is  body.Demand
}{{"on_back", body.OnBack}, {"on_front", body.OnFront}, {"strains", body.Strains}, {"hops", body.Hops}}

// countText is a number of a row; empty for none.
func countText(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
