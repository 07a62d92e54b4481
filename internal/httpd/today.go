package httpd

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/entry"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// todayPage is what an athlete's phone shows first.
func (s *server) todayPage(w http.ResponseWriter, r *http.Request) error {
	return s.showToday(w, r, http.StatusOK, 0, nil)
}

// showToday shows it; f is a follow-up about the session that came back with
// faults, or nil.
func (s *server) showToday(w http.ResponseWriter, r *http.Request, status int, about roster.SessionID, f *form) error {
	b, err := subjectOf(r)
	if err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	plan, err := s.follow(r, b, &t)
	if err != nil {
		return err
	}
	key, err := s.newKey()
	if err != nil {
		return err
	}
	w.Header().Set(whoHeader, whoOf(&t.Athlete))
	d := datesFor(r)
	v := page.Today{
		Phone: s.phoneFor(r, b, &t.Athlete, "Today", part.TodayAt), Name: firstName(t.Athlete.Name),
		Word: t.Athlete.CoachWord, WordBy: wordBy(&t, d), Moved: movedWords(&t, d), Away: awayWords(&t, d),
		Back:    easierWords(&t),
		WeekSum: strconv.Itoa(min(t.Done, t.Of)) + " of " + strconv.Itoa(t.Of) + " done",
		Others:  append(otherKinds(b, readiness.Planned.String()), part.Link{Href: b.list(), Words: "My sessions"}, part.Link{Href: b.heart(""), Words: "Heart rate"}, part.Link{Href: "/away", Words: "I am away"}),
	}
	v.Phone.Loads = []string{part.WaitingScript}
	if v.News.Logins, err = s.newLogins(r, part.MeAt+"/logins/"); err != nil {
		return err
	}
	prescribe(&v, &t, b, d)
	plan.tell(&v, &t, b, d)
	if err := s.liftOn(r, &v, &t, b); err != nil {
		return err
	}
	if err := s.warmUpFor(r, &v, &t); err != nil {
		return err
	}
	if err := s.outlookFor(r, &v, &t); err != nil {
		return err
	}
	if err := s.askAgain(r, &v, &t, b); err != nil {
		return err
	}
	backTomorrow(&v, &t)
	if v.Limits = t.Limits.Limits; v.Limits != "" {
		v.LimitBy = t.Limits.GivenBy + ", " + d.When(t.Limits.GivenOn, t.Date)
	}
	for i := range t.FollowUps {
		v.Follow = append(v.Follow, followUp(&t.FollowUps[i], b, key, d, t.Date))
		if f != nil && t.FollowUps[i].Session.ID == about {
			typedAgain(&v.Follow[i], f)
		}
	}
	return s.page(w, r, status, page.TodayPage(v))
}

// liftOn puts strength on the page; whoever has a programme tells the sets there.
func (s *server) liftOn(r *http.Request, v *page.Today, t *entry.Today, b subject) (err error) {
	if t.Way > entry.OnLeave {
		return nil
	}
	if v.Lift, err = s.liftCard(r, b, t.Date); err == nil && v.Lift.Has {
		v.Others = slices.DeleteFunc(v.Others, func(l part.Link) bool { return l.Href == b.log(readiness.Strength.String()) })
	}
	return err
}

// prescribe says what to do today, or why nothing is to be done.
func prescribe(v *page.Today, t *entry.Today, b subject, d wording.Dates) {
	v.Day = t.Date.Weekday().String()
	v.Week = weekDays(t, b, d)
	if before := beforeFirst(t, b); before != nil {
		v.Before, v.Big = before, "Welcome, "+v.Name
		v.Week, v.WeekSum = nil, ""
		v.Others = slices.DeleteFunc(v.Others, func(l part.Link) bool { return isTraining(l.Href) })
		return
	}
	if t.Way == entry.FromTomorrow {
		v.Big, v.Rest = stopOf(t.Way, "").Title, wayWords(t.Way)
		return
	}
	if words := wayWords(t.Way); words != "" {
		v.Stop = stopOf(t.Way, words)
		v.Big = v.Stop.Title
		return
	}
	v.Day += ", session " + strconv.Itoa(t.Number()) + " of " + strconv.Itoa(t.Of)
	v.Big = bigWords(t.Plan)
	strip := planStrip(t.Plan, part.Medium)
	v.Strip = &strip
	v.Advice = wording.Pace(t.Plan)
	v.Done = part.Link{Href: b.log(readiness.Planned.String()), Words: "I have done it already"}
	v.Start = part.Link{Href: part.GoAt, Words: "Start"}
	if t.Next > t.Date {
		v.Day = t.Date.Weekday().String() + ", " + strconv.Itoa(min(t.Done, t.Of)) + " of " + strconv.Itoa(t.Of) + " done"
		v.Rest = "Next session from " + d.Near(t.Next, t.Date) + ". Rest is part of it."
	}
}

// backTomorrow leads whoever is well again to how to come back, unless something else
// comes first.
func backTomorrow(v *page.Today, t *entry.Today) {
	if t.Way == entry.FromTomorrow && v.Before == nil {
		v.Before = &page.Before{
			Words: []string{"How to begin again, one step after the other, is written down for you."},
			Next:  part.Link{Href: "/away/" + idText(t.Leave.ID) + "/back", Words: "How to come back"},
		}
	}
}

// isTraining says whether the address is about training, which is not asked of
// whoever has not begun.
func isTraining(href string) bool {
	return slices.ContainsFunc([]string{"/log", "/heart", "/away"}, func(at string) bool { return strings.HasPrefix(href, at) })
}

// beforeFirst is what comes before the first session, with the way there; nil where
// nothing does.
func beforeFirst(t *entry.Today, b subject) *page.Before {
	var next string
	switch t.Way {
	case entry.Invited:
		next = "To the questions"
	case entry.Answered:
		next = "What my answers come to"
	case entry.Clearance:
		next = "Why, and whom to ask"
	case entry.Withdrawn:
		next = "Read it again"
	default:
		return nil
	}
	return &page.Before{Words: []string{wayWords(t.Way)}, Next: part.Link{Href: b.joining(""), Words: next}}
}

// stopOf is why nothing is prescribed, as the page shows it.
func stopOf(way entry.Way, words string) *page.Stop {
	stop := page.Stop{Kind: "paused", Title: "No running for now", Words: []string{words}}
	switch way {
	case entry.Ill:
		stop.Title = "Get well first"
	case entry.Hurt:
		stop.Title = "Let it heal first"
	case entry.FromTomorrow:
		stop.Title = "Back from tomorrow"
	case entry.CheckFirst:
		stop.Title = "Your coach looks first"
	case entry.StopSigned:
		stop.Kind, stop.Title = "stop", "Stop, and have this looked at"
	case entry.ReferBone:
		stop.Kind = "bone"
	case entry.Referred:
		stop.Kind = "referred"
	case entry.Invited, entry.Answered, entry.Withdrawn:
		stop.Kind, stop.Title = "before", "Before the first step"
	case entry.Clearance:
		stop.Kind, stop.Title = "referred", "First a doctor's word"
	}
	stop.Words = append(stop.Words, wording.NoAdvice)
	return &stop
}

// stopped is the page after a warning sign, or a pain that stops running, was
// logged.
func (s *server) stopped(w http.ResponseWriter, r *http.Request) error {
	b, stored, err := s.stored(r)
	if err != nil {
		return err
	}
	t, err := s.Entry.Today(r.Context(), actorOf(r), b.id)
	if err != nil {
		return err
	}
	way := entry.Paused
	for _, sign := range stored.Signs {
		if !sign.Bone() {
			way = entry.StopSigned
		} else if way == entry.Paused {
			way = entry.ReferBone
		}
	}
	stop := alarmOf(way)
	v := page.Stopped{Stop: *stop, Next: part.Link{Href: b.home(), Words: "Stored. Back to the first page"}}
	v.Phone = s.phoneFor(r, b, &t.Athlete, stop.Title, "")
	v.Phone.Back = b.home()
	return s.page(w, r, http.StatusOK, page.StoppedPage(v))
}

// alarmOf is what is said at once after a warning sign, or pain that stops running,
// was told.
func alarmOf(way entry.Way) *page.Stop {
	stop := stopOf(way, wayWords(way))
	if way == entry.StopSigned {
		stop.Words = append([]string{"If you feel it now: stop, sit down, and call the local emergency number."}, stop.Words...)
	}
	return stop
}

// bigWords say the session large: "Run 2 minutes, walk 3, six times".
func bigWords(plan []pathway.Block) string {
	whole := len(plan) >= 2 && plan[0].Planned%60 == 0 && plan[1].Planned%60 == 0 && plan[0].Kind == pathway.Run
	for i := range plan {
		whole = whole && plan[i] == plan[i%2]
	}
	switch {
	case len(plan) == 1 && plan[0].Planned%60 == 0:
		return wording.Capital(plan[0].Kind.String()) + " " + strconv.Itoa(plan[0].Planned/60) + " minutes"
	case !whole || len(plan)%2 != 0:
		return wording.Capital(pathway.Words(plan))
	}
	run, times := plan[0].Planned/60, " minutes"
	if run == 1 {
		times = " minute"
	}
	words := "Run " + strconv.Itoa(run) + times + ", walk " + strconv.Itoa(plan[1].Planned/60)
	switch n := len(plan) / 2; n {
	case 1:
		return words
	case 2:
		return words + ", twice"
	default:
		return words + ", " + pathway.Number(n) + " times"
	}
}

func firstName(name string) string {
	first, _, _ := strings.Cut(name, " ")
	return first
}

func wordBy(t *entry.Today, d wording.Dates) string {
	n := t.Newest
	if n == nil || n.Word == "" || n.Word != t.Athlete.CoachWord || n.By == "" {
		return ""
	}
	return firstName(n.By) + ", " + d.When(t.Athlete.Today(n.At), t.Date)
}

// movedWords tell of a move of the last days.
func movedWords(t *entry.Today, d wording.Dates) string {
	n := t.Newest
	if n == nil || n.Before.Phase == n.After.Phase || t.Date-t.Athlete.Today(n.At) >= 7 {
		return ""
	}
	when := " " + d.When(t.Athlete.Today(n.At), t.Date) + "."
	if t.Shelf.Find(n.After.Phase) > t.Shelf.Find(n.Before.Phase) {
		return "You moved up" + when
	}
	return "Your coach made the next sessions a little easier" + when
}

func awayWords(t *entry.Today, d wording.Dates) string {
	switch {
	case t.Way != entry.OnLeave:
		return ""
	case t.Leave.To == 0:
		return "You are away at the moment."
	}
	return "You are away until " + d.Near(t.Leave.To, t.Date) + "."
}

// weekDays are the sessions of the week: those done, then those still to come.
func weekDays(t *entry.Today, b subject, d wording.Dates) []page.WeekDay {
	var days []page.WeekDay
	for _, s := range t.Week {
		what := wording.Session(s)
		if effort, told := s.Effort.Get(); told {
			what += ", effort " + strconv.Itoa(effort)
		}
		days = append(days, page.WeekDay{
			Day: wording.Capital(d.Near(s.Date, t.Date)), What: what,
			Strip: sessionStrip(s, &t.Shelf.Pathway, d, t.Date, part.Small), Href: b.session(s.ID, ""),
		})
	}
	if len(t.Plan) > 0 {
		for range t.Of - t.Done {
			days = append(days, page.WeekDay{Day: "Still to come", What: pathway.Words(t.Plan), Strip: planStrip(t.Plan, part.Small)})
		}
	}
	return days
}

// followUp asks how the pains of a session felt the morning after.
func followUp(u *entry.FollowUp, b subject, key roster.Key, d wording.Dates, today day.Date) page.FollowUp {
	v := page.FollowUp{
		Action: b.session(u.Session.ID, "/morning"), Key: string(key),
		After: "After " + sessionOf(d.Near(u.Session.Date, today)),
	}
	when := "the morning after"
	if today-u.Session.Date == 1 {
		when = "this morning"
	}
	for _, p := range u.Pain {
		how := "How was your "
		if when == "this morning" {
			how = "How is your "
		}
		v.Pains = append(v.Pains, page.Morning{Site: p.Site, Words: how + strings.ToLower(p.Site) + " " + when + "?"})
	}
	return v
}

// typedAgain puts back what was typed into a follow-up, and what is wrong with it.
func typedAgain(v *page.FollowUp, f *form) {
	for i := range v.Pains {
		for n := range roster.MostPains {
			at := "morning[" + strconv.Itoa(n) + "]."
			if f.text(at+"site") == v.Pains[i].Site {
				v.Pains[i].Value = f.text(at + "score")
				if m := f.faultAt(at + "score"); m != "" && n != i {
					f.wrong("morning["+strconv.Itoa(i)+"].score", m)
				}
			}
		}
	}
	v.Errors = f.errors()
}
