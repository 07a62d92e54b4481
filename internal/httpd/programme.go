package httpd

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/lift"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// programmePage is the form for an athlete's programme: the one there is, or a template.
func (s *server) programmePage(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	p, there := lift.TemplateOf(r.URL.Query().Get("from"))
	switch {
	case there:
	case t.Has():
		p = t.Program.Program
	default:
		p = strength.Default()
	}
	f := &form{values: url.Values{}}
	f.fill("key", string(key), "of", idText(t.Program.ID))
	f.fillProgramme(&p)
	return s.showProgramme(w, r, http.StatusOK, b, &t, f)
}

// giveProgramme keeps it, or ends it.
func (s *server) giveProgramme(w http.ResponseWriter, r *http.Request) error {
	b, t, err := s.lifts(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	if f.ticked("more") {
		f.oneMore()
		return s.showProgramme(w, r, http.StatusOK, b, &t, f)
	}
	of, _ := f.number("of")
	var p strength.Program
	if !f.ticked("end") {
		p = f.programme(t.Library)
	}
	err = s.Lift.Give(r.Context(), actorOf(r), b.id, roster.ProgramID(of), p, f.faults, roster.Key(f.text("key")))
	if fault.KindOf(err) == fault.Conflict {
		f.values.Set("of", idText(t.Program.ID))
		f.faults = []fault.Field{{Place: "", Message: fault.MessageOf(err)}}
		return s.showProgramme(w, r, http.StatusConflict, b, &t, f)
	}
	f.faults = nil
	if f.take(err) {
		for i := range f.faults {
			f.faults[i].Place = strings.NewReplacer("sessions[", "session[", "slots[", "slot[").Replace(f.faults[i].Place)
		}
		return s.showProgramme(w, r, http.StatusUnprocessableEntity, b, &t, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.base+strengthAt+"?said=changed")
	return nil
}

func (s *server) showProgramme(w http.ResponseWriter, r *http.Request, status int, b subject, t *lift.Today, f *form) error {
	v := page.Programme{
		Desk: s.desk(r, "Strength of "+t.Athlete.Name, part.InRoster), Name: t.Athlete.Name, Back: b.base + strengthAt,
		Action: b.base + strengthAt + "/programme", Key: f.text("key"), Of: f.text("of"), AWeek: f.text("a_week"),
		Groups: groupsOf(t.Library), Ends: t.Has(), Errors: f.errors(), Sessions: f.programmeSessions(),
	}
	v.Desk.Loads, v.More = []string{part.LiftStyle}, len(v.Sessions) < strength.MostSessions
	labels := map[string]string{"a_week": "Sessions a week"}
	for _, session := range v.Sessions {
		for _, slot := range session.Slots {
			for what, word := range map[string]string{"exercise": "", "sets": ", sets", "low": ", from", "high": ", to", "reserve": ", left over"} {
				labels[slot.Field(what)] = "Session " + session.Name + ", place " + strconv.Itoa(slot.N+1) + word
			}
		}
	}
	v.Mistakes = f.mistakes(labels)
	return s.page(w, r, status, page.ProgrammePage(v))
}

func sessionPlace(i int) string { return "session[" + strconv.Itoa(i) + "]" }

func slotField(i, n int, what string) string {
	return sessionPlace(i) + ".slot[" + strconv.Itoa(n) + "]." + what
}

// fillProgramme lays a programme into the form.
func (f *form) fillProgramme(p *strength.Program) {
	f.fill("a_week", strconv.Itoa(p.AWeek))
	for i := range p.Sessions {
		f.fillSession(i, &p.Sessions[i])
	}
}

func (f *form) fillSession(i int, session *strength.Session) {
	f.fill(sessionPlace(i)+".name", session.Name)
	for n, slot := range session.Slots {
		var may []string
		for _, pattern := range slot.Patterns {
			may = append(may, pattern.String())
		}
		t := slot.Target
		f.fill(slotField(i, n, "exercise"), slot.Exercise, slotField(i, n, "patterns"), strings.Join(may, " "), slotField(i, n, "sets"), strconv.Itoa(t.Sets),
			slotField(i, n, "low"), strconv.Itoa(t.Low), slotField(i, n, "high"), strconv.Itoa(t.High), slotField(i, n, "reserve"), strconv.Itoa(t.Reserve))
	}
}

// oneMore adds a session to those of the form: that of the usual programme, under the
// next letter.
func (f *form) oneMore() {
	i := len(f.programmeSessions())
	if i == strength.MostSessions {
		return
	}
	usual := strength.Default().Sessions
	next := usual[i%len(usual)]
	next.Name = f.freeLetter()
	f.fillSession(i, &next)
}

// freeLetter is the first letter that names no session of the form.
func (f *form) freeLetter() string {
	for letter := 'A'; ; letter++ {
		name := string(letter)
		if !slices.ContainsFunc(f.programmeSessions(), func(s page.ProgrammeSession) bool { return s.Name == name }) {
			return name
		}
	}
}

// programme reads the form. A place without an exercise is left out, as is a session
// without places. Faults stand where the form has them.
func (f *form) programme(l strength.Library) strength.Program {
	p := strength.Program{}
	p.AWeek, _ = f.number("a_week")
	for i := range strength.MostSessions {
		s := strength.Session{Name: f.text(sessionPlace(i) + ".name")}
		if s.Name == "" {
			break
		}
		for n := range strength.MostSlots + 1 {
			if f.text(slotField(i, n, "exercise")) != "" {
				s.Slots = append(s.Slots, f.slot(i, n, l))
			}
		}
		if len(s.Slots) > 0 {
			p.Sessions = append(p.Sessions, s)
		}
	}
	f.close(p)
	return p
}

// slot reads one place. Where another kind of exercise was picked, that is what may
// stand there from now on. An empty number is what a beginner does.
func (f *form) slot(i, n int, l strength.Library) strength.Slot {
	slot := strength.Slot{Exercise: f.text(slotField(i, n, "exercise"))}
	for _, name := range strings.Fields(f.text(slotField(i, n, "patterns"))) {
		if pattern, known := strength.ParsePattern(name); known {
			slot.Patterns = append(slot.Patterns, pattern)
		}
	}
	e, _ := l.Find(slot.Exercise)
	if !slices.Contains(slot.Patterns, e.Pattern) {
		slot.Patterns = []strength.Pattern{e.Pattern}
	}
	usual := strength.Beginner()
	if e.Measure == strength.Hold {
		usual = strength.BeginnerHold()
	}
	number := func(what string, usual int) int {
		if got, told := f.number(slotField(i, n, what)); told {
			return got
		}
		return usual
	}
	slot.Target = strength.Target{Sets: number("sets", usual.Sets), Low: number("low", usual.Low), High: number("high", usual.High), Reserve: number("reserve", usual.Reserve)}
	return slot
}

// close lays what was read into the form anew, without the gaps, so that faults of the
// programme stand at their places.
func (f *form) close(p strength.Program) {
	kept := url.Values{"key": f.values["key"], "of": f.values["of"]}
	if len(f.faults) > 0 {
		return
	}
	f.values = kept
	f.fillProgramme(&p)
}

// programmeSessions are the sessions as they stand in the form, each with one place more.
func (f *form) programmeSessions() []page.ProgrammeSession {
	var all []page.ProgrammeSession
	for i := range strength.MostSessions {
		s := page.ProgrammeSession{N: i, Name: f.text(sessionPlace(i) + ".name")}
		if s.Name == "" {
			break
		}
		last := -1
		for n := range strength.MostSlots {
			if f.text(slotField(i, n, "exercise")) != "" {
				last = n
			}
		}
		for n := range min(last+2, strength.MostSlots) {
			at := func(what string) string { return f.text(slotField(i, n, what)) }
			s.Slots = append(s.Slots, page.ProgrammeSlot{
				M: i, N: n, Exercise: at("exercise"), Patterns: at("patterns"), Sets: at("sets"), Low: at("low"), High: at("high"), Reserve: at("reserve"),
				Words: at("exercise"),
			})
		}
		all = append(all, s)
	}
	return all
}

// groupsOf is the library as it can be picked from.
func groupsOf(l strength.Library) []page.ExerciseGroup {
	var groups []page.ExerciseGroup
	for _, pattern := range strength.Patterns() {
		g := page.ExerciseGroup{Name: wording.Capital(pattern.Words())}
		for _, e := range l.Of(pattern) {
			words := e.Name
			if needs := needsWords(e.Needs); needs != "" {
				words += " (" + needs + ")"
			}
			g.Items = append(g.Items, part.Option{Value: e.ID, Words: words})
		}
		groups = append(groups, g)
	}
	return groups
}

// needsWords are the things that an exercise needs; empty: none.
func needsWords(g strength.Gear) string {
	var things []string
	for _, thing := range g.Things() {
		things = append(things, strings.ToLower(gearWords[thing]))
	}
	return strings.Join(things, ", ")
}
