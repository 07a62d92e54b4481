package httpd

import (
	"net/http"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/days"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/weekplan"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// The week of an athlete: the athlete's own under /week, and for coaches under the
// athlete's address. The same handlers serve both.

// week is the athlete's week, with what is done there.
func (b subject) week(what string) string { return b.base + part.WeekAt + what }

// kindNames are what forms and addresses call the kinds of session of a week.
var kindNames = [...]string{weekplan.Run: "run", weekplan.Walk: "run", weekplan.Strength: "strength", weekplan.Legs: "legs"}

// partNames are what forms call the parts of a day.
var partNames = [...]string{weekplan.Any: "", weekplan.Morning: "morning", weekplan.Midday: "midday", weekplan.Evening: "evening"}

// kindNamed is the kind of the name; false where there is none of it.
func kindNamed(name string) (weekplan.Kind, bool) {
	for i, n := range kindNames {
		if n == name {
			return weekplan.Kind(i), true
		}
	}
	return 0, false
}

// partNamed is the part of the name; any time where it is none.
func partNamed(name string) weekplan.Part {
	for i, n := range partNames {
		if n == name {
			return weekplan.Part(i)
		}
	}
	return weekplan.Any
}

// weekView is what a page about a week is made of.
type weekView struct {
	b      subject
	w      days.Week
	d      wording.Dates
	key    roster.Key
	f      *form // what was typed and is wrong; never nil
	moving *days.Session
	places []days.Choice
	tried  day.Date // to which a move was refused just now; zero: none was
	why    string
	notice part.Notice
}

// ownWeek shows a week: the present one, or that of the Monday which the address
// names. With move and from in the address it asks where that session should go.
func (s *server) ownWeek(w http.ResponseWriter, r *http.Request) error {
	monday, err := mondayIn(r.URL.Query().Get("monday"))
	if err != nil {
		return err
	}
	v, err := s.readWeek(r, monday)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	if from, err := day.Parse(q.Get("from")); err == nil && q.Get("move") != "" {
		v.move(actorOf(r), q.Get("move"), from)
	}
	return s.showWeek(w, r, http.StatusOK, v)
}

// mondayIn is the Monday that an address names; no date where it names none.
func mondayIn(text string) (day.Date, error) {
	if text == "" {
		return 0, nil
	}
	d, err := day.Parse(text)
	if err != nil {
		return 0, fault.New(fault.NotFound, "")
	}
	return weekplan.Monday(d), nil
}

// readWeek reads the week of the Monday of whom the request is about.
func (s *server) readWeek(r *http.Request, monday day.Date) (*weekView, error) {
	b, err := subjectOf(r)
	if err != nil {
		return nil, err
	}
	week, err := s.Days.Week(r.Context(), actorOf(r), b.id, monday)
	if err != nil {
		return nil, err
	}
	key, err := s.newKey()
	return &weekView{b: b, w: week, d: datesFor(r), key: key, f: &form{}}, err
}

// move begins to ask where a session should go; one that is not there is not asked
// about.
func (v *weekView) move(who roster.Actor, name string, from day.Date) {
	k, known := kindNamed(name)
	if !known {
		return
	}
	for _, s := range v.w.Sessions() {
		if s.On != from || kindNames[min(s.Kind, weekplan.Legs)] != name || !movable(&s) {
			continue
		}
		places, err := v.w.Choices(who, k, from)
		if err == nil {
			v.moving, v.places = &s, places
		}
		return
	}
}

// movable says whether a session can be moved: one to be done, or one that was let go.
func movable(s *days.Session) bool {
	return s.State == days.Planned || s.State == days.Missed && s.Now == 0
}

func (s *server) showWeek(w http.ResponseWriter, r *http.Request, status int, v *weekView) error {
	ways, err := s.weekWays(r, v)
	if err != nil {
		return err
	}
	list := v.list()
	if !v.b.byCoach() {
		p := page.OwnWeek{Phone: s.phone(r, list.Title, part.WeekAt, ""), Week: list, Ways: ways, Away: part.Link{Href: "/away", Words: "I am away, or cannot on a day"}}
		p.Phone.Loads = []string{part.WeekStyle}
		p.Phone.Notice = orNotice(v.notice, p.Phone.Notice)
		return s.page(w, r, status, page.OwnWeekPage(p))
	}
	p := page.CoachWeek{
		Desk: s.desk(r, v.w.Athlete.Name+", "+list.Title, part.InWeeks), Name: v.w.Athlete.Name, Href: v.b.base, Week: list, Ways: ways,
		Links: []part.Link{
			{Href: v.b.week("/print?monday=" + v.w.Monday.String()), Words: "Print this week"},
			{Href: v.b.week("/enter?monday=" + v.w.Monday.String()), Words: "Enter it from paper"}, {Href: v.b.base + "/leave", Words: "Times away"}, {Href: part.WeeksAt, Words: "Everybody's week"}, {Href: part.GroupsAt, Words: "Groups and holidays"}},
	}
	p.Desk.Loads = []string{part.WeekStyle}
	p.Desk.Notice = orNotice(v.notice, p.Desk.Notice)
	return s.page(w, r, status, page.CoachWeekPage(p))
}

// weekOwner is whose week it is; for a coach only an athlete who is there.
func (s *server) weekOwner(r *http.Request) (subject, error) {
	b, err := subjectOf(r)
	if err == nil && b.byCoach() {
		_, err = s.athleteOf(r)
	}
	return b, err
}

func orNotice(first, other part.Notice) part.Notice {
	if first.Text != "" {
		return first
	}
	return other
}

// moveSession puts a session on another day. What is refused says why at that day,
// and everything else stays as it was.
func (s *server) moveSession(w http.ResponseWriter, r *http.Request) error {
	b, err := s.weekOwner(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	kind, known := kindNamed(f.text("kind"))
	x := days.Shift{Key: f.key(), Kind: kind, From: f.date("from"), To: f.date("to"), Part: partNamed(f.text("part")), Insist: f.ticked("insist")}
	if !known || len(f.faults) > 0 || x.From == 0 || x.To == 0 {
		return errStale()
	}
	moved, err := s.Days.Move(r.Context(), actorOf(r), b.id, x)
	switch {
	case fault.KindOf(err) == fault.Conflict:
		v, readErr := s.readWeek(r, weekplan.Monday(x.To))
		if readErr != nil {
			return readErr
		}
		v.notice = part.Notice{Text: fault.MessageOf(err), Warn: true}
		return s.showWeek(w, r, http.StatusConflict, v)
	case err != nil:
		return err
	case moved.Refused != weekplan.NoRule:
		v, err := s.readWeek(r, weekplan.Monday(x.To))
		if err != nil {
			return err
		}
		v.move(actorOf(r), f.text("kind"), x.From)
		v.tried, v.why = x.To, "Not here: "+wording.Hinders(moved.Refused)+". Nothing was moved."
		return s.showWeek(w, r, http.StatusUnprocessableEntity, v)
	}
	s.redirect(w, r, b.week("?monday="+weekplan.Monday(x.To).String()+"&said=moved#"+dayID(x.To)))
	return nil
}

// dayID is the id of a day's row.
func dayID(on day.Date) string { return strings.ToLower(on.Weekday().String()) }

// fixDay keeps a day fixed for every week.
func (s *server) fixDay(w http.ResponseWriter, r *http.Request) error {
	b, err := s.weekOwner(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	kind, known := kindNamed(f.text("kind"))
	weekday, given := f.number("weekday")
	fixed := days.Fixed{Key: f.key(), Kind: kind, Weekday: weekdayOf(weekday), Part: partNamed(f.text("part"))}
	if !known || !given || len(f.faults) > 0 {
		return errStale()
	}
	if _, err := s.Days.Pin(r.Context(), actorOf(r), b.id, fixed); err != nil {
		return err
	}
	s.redirect(w, r, b.week("?said=fixed"))
	return nil
}

// liftPin ends a fixed day.
func (s *server) liftPin(w http.ResponseWriter, r *http.Request) error {
	b, err := s.weekOwner(r)
	if err != nil {
		return err
	}
	id, err := idIn[roster.PinID](r, "pin")
	if err != nil {
		return err
	}
	if err := s.Days.Unpin(r.Context(), actorOf(r), b.id, id); err != nil {
		return err
	}
	s.redirect(w, r, b.week("?said=unfixed"))
	return nil
}

// setHabits keeps when there is time and, from a coach, strength and the group.
func (s *server) setHabits(w http.ResponseWriter, r *http.Request) error {
	b, err := s.weekOwner(r)
	if err != nil {
		return err
	}
	f, err := formOf(r)
	if err != nil {
		return err
	}
	h := days.Habits{Available: timesIn(f.all("times"))}
	if b.byCoach() {
		h.Strength, _ = f.number("strength")
		h.Legs, _ = f.number("legs")
		group, _ := f.number("group")
		h.Group = roster.GroupID(group)
	}
	if len(f.faults) == 0 {
		err = s.Days.SetHabits(r.Context(), actorOf(r), b.id, h)
	}
	if f.take(err) || len(f.faults) > 0 {
		v, err := s.readWeek(r, 0)
		if err != nil {
			return err
		}
		v.f, v.w.Athlete.Available = f, h.Available
		return s.showWeek(w, r, http.StatusUnprocessableEntity, v)
	}
	if err != nil {
		return err
	}
	s.redirect(w, r, b.week("?said=habits"))
	return nil
}

// timesIn reads ticked boxes such as monday-morning.
func timesIn(ticked []string) roster.Available {
	var a roster.Available
	for i := range 7 {
		on := weekdayOf(i + 1)
		for p := roster.Morning; p <= roster.Evening; p++ {
			for _, name := range ticked {
				if name == timeName(i, p) {
					a = a.With(on, p)
				}
			}
		}
	}
	return a
}

// timeName names a part of a day, from Monday on.
func timeName(i int, p roster.DayPart) string {
	return strings.ToLower(weekdayOf(i+1).String()) + "-" + partNames[int(p)+1]
}

// mondayQuery is the address of the week so many weeks on.
func (v *weekView) mondayQuery(weeks int) string {
	return v.b.week("?monday=" + (v.w.Monday + day.Date(7*weeks)).String())
}

// itoa is a number as forms carry it.
func itoa(n int) string { return strconv.Itoa(n) }
