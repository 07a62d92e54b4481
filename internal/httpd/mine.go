package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/morning"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// mine lists all sessions of an athlete.
func (s *server) mine(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	all, err := s.Entry.Mine(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	f := datesFor(r)
	v := page.Mine{Lead: mineWords(all, t.Date, f)}
	if t.Athlete.Arrival == roster.Here {
		v.LogHref = b.log(readiness.Planned.String())
	}
	v.Phone = s.phoneFor(r, b, &t.Athlete, "Sessions", part.MineAt)
	pulse, err := s.Heart.Pulse(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	for i := range all {
		row := sessionRow(&all[i], &t.Shelf.Pathway, b, f, t.Date)
		row.Heard = heardLink(&all[i], pulse.Recorded, b, "Heart rate", "Add a recording")
		v.Sessions = append(v.Sessions, row)
	}
	return s.page(w, r, http.StatusOK, page.MinePage(v))
}

func mineWords(all []roster.Session, today day.Date, f wording.Dates) string {
	if len(all) == 0 {
		return "Nothing logged yet"
	}
	return wording.Capital(wording.Count(len(all), "session", "sessions")) + " since " + f.Day(all[len(all)-1].Date, today)
}

// sessionRow is one line of a list of sessions.
func sessionRow(s *roster.Session, p *pathway.Pathway, b subject, f wording.Dates, asked day.Date) page.SessionRow {
	row := page.SessionRow{
		Date: s.Date.Weekday().String()[:3] + " " + f.Day(s.Date, asked), What: rowWords(s),
		Strip: sessionStrip(s, p, f, asked, part.Small), Effort: typed(s.Effort), Talk: talkWords(s.Talk),
		Pain: painWords(&s.Session), Note: s.Note, Href: b.session(s.ID, ""),
	}
	if minutes := wording.Minutes(s); minutes > 0 {
		row.Length = strconv.Itoa(minutes) + " min"
	}
	if settle, ok := morning.Median(s.Blocks); ok {
		row.Breath = pathway.Time(settle)
	} else {
		row.Breath = [...]string{"", "early", "at half", "late"}[s.Breath]
	}
	return row
}

// rowWords say in a cell what the session was.
func rowWords(s *roster.Session) string {
	switch {
	case s.Kind == readiness.Planned:
		return wording.Capital(wording.Outcome(s.Became()))
	case s.Kind == readiness.Extra && wording.Ran(s):
		return "Extra run"
	case s.Kind == readiness.Extra:
		return "Extra walk"
	case s.Kind == readiness.Other && wording.Minutes(s) == 0:
		return "Rest day"
	}
	return wording.Kind(s.Kind)
}

// painWords say what hurt: "left shin 4, next morning 2", "none"; empty: not told.
func painWords(s *readiness.Session) string {
	var words []string
	for _, p := range s.Pain {
		w := p.Site + " " + strconv.Itoa(int(p.Score))
		if next, told := p.NextMorning.Get(); told {
			w += ", next morning " + strconv.Itoa(next)
		}
		words = append(words, w)
	}
	if s.Limp {
		words = append(words, "a limp")
	}
	for _, sign := range s.Signs {
		words = append(words, sign.Words())
	}
	if len(words) == 0 && s.PainAsked {
		return "none"
	}
	return strings.Join(words, "; ")
}

// deletePage asks before a session goes.
func (s *server) deletePage(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	return s.showDelete(w, r, http.StatusOK, b, &stored, part.Notice{})
}

func (s *server) showDelete(w http.ResponseWriter, r *http.Request, status int, b subject, stored *roster.Session, notice part.Notice) error {
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	f := datesFor(r)
	v := page.Delete{
		Title:   "Delete " + sessionOf(f.Near(stored.Date, t.Date)) + "?",
		Session: sessionRow(stored, &t.Shelf.Pathway, b, f, t.Date), Action: b.session(stored.ID, "/delete"),
		Version: strconv.Itoa(stored.Version), Back: b.session(stored.ID, ""),
	}
	v.Phone = s.phoneFor(r, b, &t.Athlete, v.Title, "")
	v.Phone.Back, v.Phone.Notice = v.Back, notice
	return s.page(w, r, status, page.DeletePage(v))
}

// remove deletes a session as it was shown; what is gone already is as good.
func (s *server) remove(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	id, err := idIn[roster.SessionID](r, "session")
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	version, known := f.number("version")
	if !known {
		return errStale()
	}
	result, err := s.Entry.Delete(r.Context(), actorOf(r), b.id, id, version)
	if fault.KindOf(err) == fault.Conflict && result.There.ID != 0 {
		return s.showDelete(w, r, http.StatusConflict, b, &result.There, part.Notice{Warn: true, Text: fault.MessageOf(err) + " This is what is there now."})
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.list()+"?said=deleted")
	return nil
}

// morningAfter takes in how a pain felt the morning after.
func (s *server) morningAfter(w http.ResponseWriter, r *http.Request) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	id, err := idIn[roster.SessionID](r, "session")
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	var mornings []entry.Morning
	for i := range roster.MostPains {
		at := "morning[" + strconv.Itoa(i) + "]."
		if site := f.text(at + "site"); site != "" {
			mornings = append(mornings, entry.Morning{Site: site, Score: f.maybe(at + "score")})
		}
	}
	if len(f.faults) > 0 {
		return s.showToday(w, r, http.StatusUnprocessableEntity, id, f)
	}
	result, err := s.Entry.NextMorning(r.Context(), actorOf(r), b.id, id, mornings)
	if f.take(err) {
		return s.showToday(w, r, http.StatusUnprocessableEntity, id, f)
	}
	if err != nil {
		return err
	}
	return s.after(w, r, b, result, "morning")
}

// differences lists what two people told of the same session, where it is not the
// same.
func differences(yours, there *roster.Session) []string {
	var lines []string
	line := func(label, mine, theirs string) {
		if mine == "" {
			mine = "not told"
		}
		if theirs == "" {
			theirs = "not told"
		}
		if mine != theirs {
			lines = append(lines, label+": you typed “"+mine+"”, there is “"+theirs+"”.")
		}
	}
	line("Day", yours.Date.String(), there.Date.String())
	line("What became of it", wording.Session(yours), wording.Session(there))
	line("Effort", typed(yours.Effort), typed(there.Effort))
	line("Talking", talkWords(yours.Talk), talkWords(there.Talk))
	line("Breath", wording.Breath(yours.Breath), wording.Breath(there.Breath))
	line("Pain and signs", painWords(&yours.Session), painWords(&there.Session))
	line("Note", yours.Note, there.Note)
	if len(lines) == 0 {
		lines = append(lines, "Both say the same in words; a time or a block may differ.")
	}
	return lines
}
