package httpd

import (
	"net/http"
	"strconv"

	"halfhour.app/halfhour/internal/enrol"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// newPerson shows the form for a new athlete.
func (s *server) newPerson(w http.ResponseWriter, r *http.Request) error {
	return s.showNewPerson(w, r, http.StatusOK, page.Person{Zone: clubOf(r).Zone, AWeek: "3", Answers: onPhone})
}

// addPerson takes an athlete in and answers with the sign-in link, which is what a
// coach needs next.
func (s *server) addPerson(w http.ResponseWriter, r *http.Request) error {
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	p := personFrom(f, enrol.Person{})
	id, err := s.Enrol.Add(r.Context(), actorOf(r), p, startFrom(f, &p), key)
	if f.faults = nil; f.take(err) {
		return s.showNewPerson(w, r, http.StatusUnprocessableEntity, typedPerson(f))
	}
	if err != nil {
		return err
	}
	title := p.Name + " is in. Here is the way in."
	if f.text("answers") == onPhone {
		title = "Here is the invitation for " + p.Name
	}
	return s.showLink(w, r, id, title, true)
}

// Who asks the health questions of a new athlete.
const (
	onPhone = "phone"
	onPaper = "paper"
)

// usualWeek is how many sessions a week somebody has before anything is known.
const usualWeek = 3

// startFrom reads how the athlete comes in: by the questions on the phone, or asked
// on paper by the coach.
func startFrom(f *form, p *enrol.Person) enrol.Start {
	if f.text("answers") == onPhone {
		p.BirthYear, p.SessionsAWeek, p.HeartUsable = 0, usualWeek, true // the answers say
		p.Unread = nil
		return enrol.Start{}
	}
	start := enrol.Start{OnPaper: true, Phase: f.text("phase"), Paper: roster.Paper{On: f.date("asked_on"), By: f.text("asked_by")}}
	p.Unread = f.faults
	return start
}

func (s *server) showNewPerson(w http.ResponseWriter, r *http.Request, status int, v page.Person) error {
	shelf, err := s.Enrol.Shelf(r.Context(), clubOf(r).ID)
	if err != nil {
		return err
	}
	if !soundKey(v.Key) {
		key, err := s.newKey()
		if err != nil {
			return err
		}
		v.Key = string(key)
	}
	v.Today = s.today(r).String()
	if v.AskedBy == "" {
		v.AskedBy = visitorOf(r).Coach.Name
	}
	v.New, v.Title, v.Action, v.Back = true, "A new athlete", "/athletes", part.RosterAt
	if v.Answers == "" {
		v.Answers = onPaper
	}
	v.Phases = phaseOptions(&shelf.Pathway)
	v.Zones = zones()
	v.Desk = s.desk(r, v.Title, part.InRoster)
	v.Desk.Loads = []string{part.JoinStyle}
	return s.page(w, r, status, page.PersonPage(v))
}

// phaseOptions are the phases to begin with.
func phaseOptions(p *pathway.Pathway) []page.PhaseOption {
	options := make([]page.PhaseOption, len(p.Phases))
	for i, phase := range p.Phases {
		options[i] = page.PhaseOption{Value: phase.ID, Stage: wording.Capital(phase.Stage), Words: pathway.Words(phase.Blocks)}
	}
	return options
}

// editPerson shows what is known of an athlete, to be changed.
func (s *server) editPerson(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	return s.showPerson(w, r, http.StatusOK, &a, personShown(&a))
}

// changePerson stores what was changed. Where somebody else was quicker, the form
// comes back with what was typed: sent again, it replaces theirs.
func (s *server) changePerson(w http.ResponseWriter, r *http.Request) error {
	a, err := s.athleteOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	p := personFrom(f, enrol.PersonOf(&a))
	version, _ := f.number("version")
	err = s.Enrol.Change(r.Context(), actorOf(r), a.ID, version, p)
	switch f.faults = nil; {
	case f.take(err):
		return s.showPerson(w, r, http.StatusUnprocessableEntity, &a, typedPerson(f))
	case fault.KindOf(err) == fault.Conflict:
		v := typedPerson(f)
		v.Version = strconv.Itoa(a.Version)
		v.Desk.Notice = part.Notice{Warn: true, Text: "Somebody else changed this meanwhile. Below is what you typed; store it again to replace theirs."}
		return s.showPerson(w, r, http.StatusConflict, &a, v)
	case err != nil:
		return err
	}
	s.redirect(w, r, athletePath(a.ID)+"?said=changed")
	return nil
}

func (s *server) showPerson(w http.ResponseWriter, r *http.Request, status int, a *roster.Athlete, v page.Person) error {
	notice := v.Desk.Notice
	v.Title, v.Action, v.Back = "Change what is known of "+a.Name, athletePath(a.ID)+"/edit", athletePath(a.ID)
	v.Zones = zones()
	if v.Email == a.Email {
		v.Refused = s.refusedWords(r, a, "to this address")
	}
	v.Desk = s.desk(r, v.Title, part.InRoster)
	v.Desk.Notice = notice
	return s.page(w, r, status, page.PersonPage(v))
}

// refusedWords say that mail was refused and when; empty where it was not.
func (s *server) refusedWords(r *http.Request, a *roster.Athlete, to string) string {
	if a.MailRefused.IsZero() || a.Email == "" {
		return ""
	}
	return "Mail " + to + " was refused " + s.onDay(r, a.MailRefused) + "."
}

// personShown is the form filled in with what is known.
func personShown(a *roster.Athlete) page.Person {
	v := page.Person{
		Version: strconv.Itoa(a.Version), Name: a.Name, Email: a.Email, Zone: a.Zone, AWeek: strconv.Itoa(a.SessionsAWeek),
		HeartOff: !a.HeartUsable, InjuredOn: a.InjuredOn.String(),
	}
	if a.BirthYear != 0 {
		v.BirthYear = strconv.Itoa(a.BirthYear)
	}
	return v
}

// typedPerson is the form as it was sent, with what is wrong with it.
func typedPerson(f *form) page.Person {
	return page.Person{
		Key: f.text("key"), Version: f.text("version"), Name: f.text("name"), Email: f.text("email"),
		BirthYear: f.text("birth_year"), Zone: f.text("zone"), AWeek: f.text("sessions_a_week"), HeartOff: f.ticked("heart_off"),
		Phase: f.text("phase"), Answers: f.text("answers"), AskedOn: f.text("asked_on"), AskedBy: f.text("asked_by"),
		InjuredOn: f.text("injured_on"), Errors: f.errors(), Mistakes: f.mistakes(personLabels()),
	}
}

// personFrom reads the form over what is known already.
func personFrom(f *form, p enrol.Person) enrol.Person {
	p.Name, p.Email, p.Zone = f.text("name"), f.text("email"), f.text("zone")
	p.BirthYear, _ = f.number("birth_year")
	p.SessionsAWeek, _ = f.number("sessions_a_week")
	p.HeartUsable = !f.ticked("heart_off")
	p.InjuredOn = f.date("injured_on")
	p.Unread = f.faults
	return p
}

// personLabels name the fields as the page does.
func personLabels() map[string]string {
	return map[string]string{
		"name": "Name", "email": "E-mail", "birth_year": "Year of birth", "zone": "Time zone",
		"sessions_a_week": "Sessions a week", "phase": "Phase to begin with", "injured_on": "Injured on",
		"asked_on": "Asked on", "asked_by": "Asked by",
	}
}

// left marks an athlete as gone.
func (s *server) left(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	if err := s.Enrol.Leave(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, part.RosterAt+"?said=left")
	return nil
}

// returned takes an athlete in again.
func (s *server) returned(w http.ResponseWriter, r *http.Request) error {
	id, err := athleteIn(r)
	if err != nil {
		return err
	}
	if err := s.Enrol.Return(r.Context(), actorOf(r), id); err != nil {
		return err
	}
	s.redirect(w, r, athletePath(id)+"?said=returned")
	return nil
}

// athleteOf is the athlete named in the address, of the coach's club.
func (s *server) athleteOf(r *http.Request) (roster.Athlete, error) {
	id, err := athleteIn(r)
	if err != nil {
		return roster.Athlete{}, err
	}
	return s.Enrol.Athlete(r.Context(), clubOf(r).ID, id)
}
