package httpd

import (
	"net/http"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// Times away are noted by coaches, under the athlete's address, and by athletes,
// under /away. The same handlers serve both.

// aboutWhom is the athlete a time away is about: whom a coach's address names, or
// the athlete who asks.
func (s *server) aboutWhom(r *http.Request) (roster.Athlete, error) {
	if v := visitorOf(r); v.IsAthlete() {
		return *v.Athlete, nil
	}
	return s.athleteOf(r)
}

// awayBase is the address under which the times away of the athlete stand.
func awayBase(r *http.Request, a *roster.Athlete) string {
	if visitorOf(r).IsAthlete() {
		return "/away"
	}
	return athletePath(a.ID) + "/leave"
}

// awayDone is where a change leads: the athlete's page, or the athlete's own page
// of times away.
func awayDone(r *http.Request, a *roster.Athlete) string {
	if visitorOf(r).IsAthlete() {
		return "/away"
	}
	return athletePath(a.ID)
}

// awayPage shows the times away with the form for another.
func (s *server) awayPage(w http.ResponseWriter, r *http.Request) error {
	a, err := s.aboutWhom(r)
	if err != nil {
		return err
	}
	return s.showAway(w, r, http.StatusOK, &a, &form{})
}

// addAway notes a time away.
func (s *server) addAway(w http.ResponseWriter, r *http.Request) error {
	a, err := s.aboutWhom(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	key := f.key()
	l := roster.Leave{
		Athlete: a.ID, Kind: roster.LeaveKind(f.text("kind")), Span: day.Span{From: f.date("from"), To: f.date("to")}, Why: f.text("why"),
	}
	if len(f.faults) == 0 {
		_, err = s.Enrol.Away(r.Context(), actorOf(r), l, key)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showAway(w, r, http.StatusUnprocessableEntity, &a, f)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, awayDone(r, &a)+"?said=away")
	return nil
}

// endAway notes the last day of a time away.
func (s *server) endAway(w http.ResponseWriter, r *http.Request) error {
	a, id, err := s.awayIn(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	last := f.date("to")
	if len(f.faults) == 0 {
		err = s.Enrol.Back(r.Context(), actorOf(r), a.ID, id, last)
	}
	if f.take(err) || len(f.faults) > 0 {
		return s.showAway(w, r, http.StatusUnprocessableEntity, &a, f)
	}
	if err != nil {
		return err
	}
	l, err := s.Enrol.Time(r.Context(), actorOf(r), a.ID, id)
	if err != nil {
		return err
	}
	to := awayDone(r, &a)
	if l.Kind != roster.OnHoliday {
		to = awayBase(r, &a) + "/" + idText(id) + "/back"
	}
	s.redirect(w, r, to+"?said=away")
	return nil
}

// neverAway takes a time away out again.
func (s *server) neverAway(w http.ResponseWriter, r *http.Request) error {
	a, id, err := s.awayIn(r)
	if err != nil {
		return err
	}
	if err := s.Enrol.Never(r.Context(), actorOf(r), a.ID, id); err != nil && fault.KindOf(err) != fault.NotFound {
		return err
	}
	s.redirect(w, r, awayDone(r, &a)+"?said=unsaid")
	return nil
}

// awayIn is the athlete and the time away named in the address.
func (s *server) awayIn(r *http.Request) (roster.Athlete, roster.LeaveID, error) {
	a, err := s.aboutWhom(r)
	if err != nil {
		return a, 0, err
	}
	id, err := idIn[roster.LeaveID](r, "leave")
	return a, id, err
}

func (s *server) showAway(w http.ResponseWriter, r *http.Request, status int, a *roster.Athlete, f *form) error {
	leaves, err := s.Enrol.Leaves(r.Context(), a.Club, a.ID)
	if err != nil {
		return err
	}
	v := page.AwayPage{Phone: s.phone(r, "Times away", "", part.TodayAt)}
	if visitorOf(r).IsCoach() {
		v.Phone.For, v.Phone.Back = a.Name, athletePath(a.ID)
	}
	if v.Leave, err = s.leaveView(r, a, leaves, f); err != nil {
		return err
	}
	return s.page(w, r, status, page.LeavePage(v))
}

// leaveView is the times away of an athlete with the form for another; the form
// holds what was typed and what is wrong with it.
func (s *server) leaveView(r *http.Request, a *roster.Athlete, leaves []roster.Leave, f *form) (page.Leave, error) {
	key, err := s.newKey()
	if err != nil {
		return page.Leave{}, err
	}
	today, base, write := a.Today(s.Now()), awayBase(r, a), datesFor(r)
	v := page.Leave{
		Action: base, Key: string(key), Kind: f.text("kind"), From: f.text("from"), To: f.text("to"), Why: f.text("why"),
		Errors: f.errors(), Times: make([]page.Time, len(leaves)),
	}
	if typed := f.text("key"); soundKey(typed) {
		v.Key = typed
	}
	for i, l := range leaves {
		at := base + "/" + idText(l.ID)
		v.Times[i] = page.Time{
			Words: leaveWords(l, write, today), Open: l.To == 0 || l.To > today, Over: overWords(l.Kind), Back: at + "/back", Never: at + "/never", Today: today.String(),
		}
	}
	return v, nil
}

// overWords say on a button that today is the last day of a time away.
func overWords(kind roster.LeaveKind) string {
	switch kind {
	case roster.Ill:
		return "Well again today"
	case roster.Injured:
		return "Healed today"
	}
	return "Back today"
}

// leaveWords say a time away: "20 to 27 March, ill, a cold".
func leaveWords(l roster.Leave, write wording.Dates, today day.Date) string {
	var words string
	switch {
	case l.To == 0:
		words = "since " + write.Day(l.From, today)
		if l.From > today {
			words = "from " + write.Day(l.From, today)
		}
	case l.From == l.To:
		words = write.Day(l.From, today)
	default:
		words = write.Span(l.From, l.To, today)
	}
	switch l.Kind {
	case roster.Ill:
		words += ", ill"
	case roster.Injured:
		words += ", injured"
	}
	if l.Why != "" {
		words += ", " + l.Why
	}
	return wording.Capital(words)
}
