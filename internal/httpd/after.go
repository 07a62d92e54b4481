package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// logPage is the empty form for a session of a kind.
func (s *server) logPage(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	kind := r.URL.Query().Get("kind")
	if _, ok := readiness.ParseKind(kind); !ok {
		kind = readiness.Planned.String()
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	f := freshForm(kind, key, &t, s.Now())
	if err := s.hotFor(r, b, &t, f); err != nil {
		return err
	}
	return s.showAfter(w, r, http.StatusOK, b, &t, f, nil)
}

// log takes in a session.
func (s *server) log(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	a := answersOf(f)
	result, err := s.Entry.Log(r.Context(), actorOf(r), b.id, a.e)
	if err != nil {
		return s.again(w, r, b, a, result, nil, err)
	}
	said := "logged"
	if result.Again {
		said = "logged-before"
	}
	return s.after(w, r, b, result, said)
}

// correctPage is the form for a session that is there.
func (s *server) correctPage(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	return s.showAfter(w, r, http.StatusOK, b, &t, storedForm(&stored, t.Athlete.Place()), &stored)
}

// correct takes in what is told of it now.
func (s *server) correct(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	a := answersOf(f)
	version, known := f.number("version")
	if !known {
		return errStale()
	}
	keepUntold(a, &stored)
	result, err := s.Entry.Correct(r.Context(), actorOf(r), b.id, stored.ID, version, a.e)
	if err != nil {
		return s.again(w, r, b, a, result, &stored, err)
	}
	return s.after(w, r, b, result, "corrected")
}

// stored is the session in the address, and whose it is.
func (s *server) stored(r *http.Request) (subject, roster.Session, error) {
	b, err := subjectOf(r)
	if err != nil {
		return b, roster.Session{}, err
	}
	id, err := idIn[roster.SessionID](r, "session")
	if err != nil {
		return b, roster.Session{}, err
	}
	stored, err := s.Entry.Session(r.Context(), actorOf(r), b.id, id)
	return b, stored, err
}

// kept is what a program gets to know of an entry that was stored.
type kept struct {
	ID    roster.SessionID `json:"id"`
	Again bool             `json:"again"` // it had been stored before
	Stop  *string          `json:"stop"`  // where it says to stop; null: nowhere
}

// after leads on from an entry: a warning sign or a pain that stops running comes
// before anything else.
func (s *server) after(w http.ResponseWriter, r *http.Request, b subject, result entry.Result, said string) error {
	stop := ""
	if result.Stop || result.Bone || result.Hurt {
		stop = b.session(result.ID, "/stopped")
	}
	if wantsJSON(r) {
		told := kept{ID: result.ID, Again: result.Again}
		if stop != "" {
			told.Stop = &stop
		}
		return s.json(w, r, http.StatusOK, told)
	}
	if stop != "" {
		s.redirect(w, r, stop)
		return nil
	}
	to := b.home() + "?said=" + said
	if said == "logged" && recordable(&result.Session) {
		to += "&at=" + idText(result.ID)
	}
	s.redirect(w, r, to)
	return nil
}

// again shows the form once more with what was typed: with its faults, or with
// what is there already; any other error is given back.
func (s *server) again(w http.ResponseWriter, r *http.Request, b subject, a *answers, result entry.Result, stored *roster.Session, cause error) error {
	kind := fault.KindOf(cause)
	conflict := kind == fault.Conflict && result.There.ID != 0
	if kind != fault.Invalid && !conflict {
		return cause
	}
	a.refused(cause)
	if len(a.faults) == 0 && !conflict {
		return cause
	}
	if !conflict && wantsJSON(r) {
		return s.json(w, r, http.StatusUnprocessableEntity, refusal{Fields: refusedFields(a.faults)})
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	if !conflict {
		return s.showAfter(w, r, http.StatusUnprocessableEntity, b, &t, a.form, stored)
	}
	notice := part.Notice{Warn: true, Text: fault.MessageOf(cause), More: []string{
		"There: " + thereWords(&result.There, datesFor(r), &t),
	}}
	if wantsJSON(r) {
		return s.json(w, r, http.StatusConflict, refusal{Message: notice.Text + " " + notice.More[0], There: b.session(result.There.ID, "")})
	}
	if stored != nil && result.There.ID == stored.ID { // corrected on another phone
		a.values.Set("version", strconv.Itoa(result.There.Version))
		notice.Text += " What you typed is below; storing it now replaces what is there."
		notice.More = differences(&result.Session, &result.There)
	}
	return s.showAfter(w, r, http.StatusConflict, b, &t, a.form, stored, notice)
}

// thereWords say which session is there already.
func thereWords(there *roster.Session, f wording.Dates, t *entry.Today) string {
	return f.Near(there.Date, t.Date) + " at " + f.Clock(there.StartedAt, t.Athlete.Place()) + ", " + wording.Session(there) + "."
}

// showAfter shows the form; stored is the session that is corrected, or nil.
func (s *server) showAfter(w http.ResponseWriter, r *http.Request, status int, b subject, t *entry.Today, f *form, stored *roster.Session, notice ...part.Notice) error {
	v := afterForm(f, &t.Shelf.Pathway, t.Date)
	v.Title, v.Action = "How was it?", b.base+"/log"
	back := b.home()
	if stored == nil {
		v.Other = otherKinds(b, v.Kind)
	} else {
		v.DateMin, v.DateMax = min(v.DateMin, stored.Date.String()), max(v.DateMax, stored.Date.String())
		v.Title = "Correct " + sessionOf(datesFor(r).Near(stored.Date, t.Date))
		v.Action, v.Delete = b.session(stored.ID, ""), b.session(stored.ID, "/delete")
		sets, err := s.setsOf(r, b, stored)
		if err != nil {
			return err
		}
		v.Sets = sets
		back = b.list()
	}
	v.Phone = s.phoneFor(r, b, &t.Athlete, v.Title, "")
	v.Phone.Back = back
	if len(notice) > 0 {
		v.Phone.Notice = notice[0]
	}
	return s.page(w, r, status, page.AfterPage(v))
}

// sessionOf is "Sunday’s session", "today’s session", "the session of 14 April".
func sessionOf(day string) string {
	if strings.ContainsAny(day, "0123456789") {
		return "the session of " + day
	}
	return day + "’s session"
}

// otherKinds are the forms for other kinds of session.
func otherKinds(b subject, kind string) []part.Link {
	var links []part.Link
	for _, o := range [...]struct {
		kind  readiness.SessionKind
		words string
	}{
		{readiness.Planned, "The planned session"}, {readiness.Extra, "A run or walk outside the plan"},
		{readiness.Strength, "Strength training"}, {readiness.Other, "Something else"},
	} {
		if o.kind.String() != kind {
			links = append(links, part.Link{Href: b.log(o.kind.String()), Words: o.words})
		}
	}
	return links
}
